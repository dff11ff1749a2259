"""The cursor in a list."""

from __future__ import annotations

import pytest

from tui.widgets.cursor import goal, window


def test_the_cursor_is_always_in_sight() -> None:
    for height in range(1, 8):
        for count in range(1, 12):
            for at in range(count):
                for top in range(count):
                    first, last = window(count, height, at, top)
                    assert 0 <= first <= at < last <= count
                    assert last - first <= height


@pytest.mark.parametrize(
    ("key", "place"),
    [("up", 4), ("down", 6), ("pageup", 2), ("pagedown", 8), ("home", 0), ("end", 9),
     ("left", None), ("enter", None), ("5", None)],
)  # fmt: skip
def test_each_key_leads_where_it_says(key: str, place: int | None) -> None:
    assert goal(key, 5, 10, 3) == place


def test_no_key_leads_out_of_the_list() -> None:
    for key in ("up", "pageup", "home"):
        assert goal(key, 0, 10, 3) == 0
    for key in ("down", "pagedown", "end"):
        assert goal(key, 9, 10, 3) == 9
        assert goal(key, 0, 0, 3) == 0
