"""Laws of the straight-line bound and of the rates, for any readings."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.formulas import statistics as stats

# Binary fractions, so that a bound met exactly is met exactly in floating point.
TIMES = st.lists(st.integers(0, 600), min_size=2, max_size=30).filter(lambda t: len(set(t)) > 1)
GRADUATIONS = st.sampled_from([0.125, 0.25, 0.5, 1.0])


def by_brute_force(times: list[int], readings: list[float], r: float) -> tuple[float, float] | None:
    low, high = -math.inf, math.inf
    for (t1, q1), (t2, q2) in combinations(sorted(zip(times, readings, strict=True)), 2):
        if t1 == t2:
            if abs(q2 - q1) > r:
                return None
            continue
        low = max(low, (q2 - q1 - r) / (t2 - t1))
        high = min(high, (q2 - q1 + r) / (t2 - t1))
    return (low, high) if low <= high else None


@given(data=st.data(), times=TIMES, r=GRADUATIONS)
def test_the_bound_is_that_of_all_pairs(data: st.DataObject, times: list[int], r: float) -> None:
    steps = st.integers(48, 54) if data.draw(st.booleans()) else st.integers(51, 52)
    readings = [r * data.draw(steps) for _ in times]
    found = stats.straight_bound(times, readings, r)
    expected = by_brute_force(times, readings, r)
    assert (found is None) == (expected is None)
    if found and expected:
        assert found == pytest.approx(expected, abs=1e-12)


@given(
    times=TIMES,
    r=GRADUATIONS,
    start=st.floats(10, 20),
    slope=st.floats(-0.05, 0.05),
)
def test_the_bound_holds_the_truth_of_any_straight_line(
    times: list[int], r: float, start: float, slope: float
) -> None:
    readings = [round((start + slope * t) / r) * r for t in times]
    bound = stats.straight_bound(times, readings, r)
    assert bound is not None
    assert bound[0] - 1e-9 <= slope <= bound[1] + 1e-9
    assert bound[0] < bound[1] or bound == by_brute_force(times, readings, r)


@given(
    r=GRADUATIONS,
    pressures=st.lists(st.floats(0, 20), min_size=2, max_size=20),
    last=st.floats(1, 600),
)
def test_the_mean_rate_holds_the_truth_of_any_shape(
    r: float, pressures: list[float], last: float
) -> None:
    first_read, last_read = (round(p / r) * r for p in (pressures[0], pressures[-1]))
    rate = stats.mean_rate(first_read, last_read, last, r)
    true = (pressures[-1] - pressures[0]) / last
    assert rate.low - 1e-12 <= true <= rate.high + 1e-12


@given(data=st.data(), times=TIMES, factor=st.sampled_from([6.894757, 0.0625, 100.0]))
def test_the_unit_of_pressure_changes_nothing_but_the_unit(
    data: st.DataObject, times: list[int], factor: float
) -> None:
    readings = [0.25 * data.draw(st.integers(50, 53)) for _ in times]
    scaled = [factor * x for x in readings]
    first, second = (
        stats.straight_bound(times, readings, 0.25),
        stats.straight_bound(times, scaled, 0.25 * factor),
    )
    assert (first is None) == (second is None)
    if first and second:
        assert second == pytest.approx([factor * x for x in first], abs=1e-9 * factor)
    assert stats.theil_sen(times, scaled) == pytest.approx(
        [factor * x for x in stats.theil_sen(times, readings)], abs=1e-9 * factor
    )


@given(times=TIMES, r=GRADUATIONS, shift=st.integers(-1000, 1000))
def test_when_the_clock_started_changes_nothing(times: list[int], r: float, shift: int) -> None:
    readings = [r * (50 + t % 3) for t in times]
    moved = [t + shift for t in times]
    assert stats.straight_bound(times, readings, r) == stats.straight_bound(moved, readings, r)


def test_a_hundred_thousand_readings_are_bounded_on_hulls() -> None:
    times = [0.1 * i for i in range(100_000)]
    readings = [round((13 - 2e-5 * t) / 0.25) * 0.25 for t in times]
    bound = stats.straight_bound(times, readings, 0.25)
    assert bound is not None and bound[0] <= -2e-5 <= bound[1]
