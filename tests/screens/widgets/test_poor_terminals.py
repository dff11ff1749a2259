"""Every widget on poor terminals: ASCII only, no colour, no room."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from textual.widget import Widget

from tests.screens.picture import picture, styles
from tests.screens.widgets.stand import ESC, HOSTILE, Stand, check, points
from tui.theme import Look
from tui.widgets.banner import Banner
from tui.widgets.checklist import Checklist
from tui.widgets.choices import Choice, Choices
from tui.widgets.clock import Clock, ClockRow
from tui.widgets.entry import Entry
from tui.widgets.keys import KeyHint, Keys
from tui.widgets.trend import Frame, Point, Trend


def furnished() -> tuple[list[Widget], Callable[[], None]]:
    """One of each, and what fills them with hostile text."""
    banner, checklist, clock, trend = Banner(), Checklist(), Clock(), Trend()
    entry, choices, keys = Entry(), Choices(), Keys()

    def fill() -> None:
        banner.update(HOSTILE * 3)
        checklist.update([check(HOSTILE, sign, HOSTILE) for sign in ("open", "blocked", "waiting")])
        clock.update([ClockRow(HOSTILE, HOSTILE, "bad")])
        trend.update([*points(13.5, 12.2, 15.5), Point(200, 13, sign="é")], Frame(600, 13, 15))
        entry.ask(HOSTILE, echo=lambda text: (text, False), text=HOSTILE)
        choices.update([Choice("d", HOSTILE), Choice("é", "x")])
        keys.update([KeyHint("é", HOSTILE), KeyHint("b", HOSTILE, enabled=False)])

    return [banner, checklist, clock, trend, entry, choices, keys], fill


@pytest.mark.parametrize("size", [(80, 24), (20, 24), (5, 7), (1, 1)])
async def test_ascii_mode_shows_nothing_but_ascii(size: tuple[int, int]) -> None:
    widgets, fill = furnished()
    app = Stand(*widgets, look=Look(ascii=True))
    async with app.run_test(size=size) as pilot:
        fill()
        await pilot.pause()
        shown = "".join(picture(app))
        assert shown.isascii()
        assert ESC not in shown


async def test_without_colour_no_cell_has_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    widgets, fill = furnished()
    app = Stand(*widgets, look=Look(colour=False))
    async with app.run_test(size=(80, 24)) as pilot:
        fill()
        await pilot.pause()
        for style in styles(app):
            assert style.color is None or style.color.is_default
            assert style.bgcolor is None or style.bgcolor.is_default
        assert any(style.reverse for style in styles(app))
        assert any(style.underline for style in styles(app))
        assert not any(style.dim for style in styles(app))
