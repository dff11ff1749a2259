"""Laws of searching and of the chart, for any rows and any typing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.history import LEAST, Point, Search, chart
from tests.again import listed

WORDS = st.sampled_from(["48", "in", "G-0", "g-07", "pass", "FAIL", "d-1", "Ex", "", " ", "zz"])
ROWS = st.lists(
    st.builds(
        lambda n, by, state, gauge: listed(f"a-{n}", by=by, state=state, gauge=gauge),
        st.integers(0, 99),
        st.sampled_from(["R. Example", "A. Tester"]),
        st.sampled_from(["PASS", "FAIL", "Hold"]),
        st.sampled_from(["G-07", "G-08, G-07"]),
    ),
    max_size=12,
)
VALUES = st.lists(st.integers(-50, 50), min_size=LEAST, max_size=30)


@given(rows=ROWS, typing=st.lists(WORDS, max_size=6))
def test_what_is_found_does_not_depend_on_what_was_typed_before(
    rows: list[dict[str, object]], typing: list[str]
) -> None:
    search = Search(rows)
    for typed in typing:
        for length in range(len(typed) + 1):
            assert search.found(typed[:length]) == Search(rows).found(typed[:length])


def points(values: list[float]) -> list[Point]:
    return [Point(str(n), str(n), value) for n, value in enumerate(values)]


@given(values=VALUES, by=st.sampled_from([0.001, 1.0, 6.894757]), up=st.integers(-100, 100))
def test_another_unit_changes_no_judgement(values: list[float], by: float, up: int) -> None:
    here = chart(points(values))
    there = chart(points([up + by * v for v in values]))
    assert here is not None
    assert there is not None
    assert there.mean == pytest.approx(up + by * here.mean, abs=1e-6)
    assert there.high - there.low == pytest.approx(by * (here.high - here.low), abs=1e-6)
    near = 1e-6 * max(1.0, here.mean_step)
    clear = all(min(abs(v - here.low), abs(v - here.high)) > near for v in values)
    if clear:
        assert there.outside == here.outside


@given(values=VALUES)
def test_a_value_between_the_limits_is_never_said_to_be_outside(values: list[float]) -> None:
    found = chart(points(values))
    assert found is not None
    assert found.low <= found.mean <= found.high
    for place, value in enumerate(values):
        if place in found.outside:
            assert not found.low <= value <= found.high
    assert bool(found.word) == (len(values) - 1 in {*found.outside, *found.jumps})
