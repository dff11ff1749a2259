"""How fast it falls, and what the dial leaves open."""

from __future__ import annotations

import pytest

from engine.falling.fall import Fall, Run, fall

MINUTES = [60.0 * i for i in range(11)]


def per_minute(found: Fall) -> tuple[float, float, float]:
    assert found.rate is not None
    return (found.rate.low * 60, found.rate.expected * 60, found.rate.high * 60)


def test_eleven_equal_readings_leave_a_twentieth_of_a_psi_each_way() -> None:
    found = fall(MINUTES, [13.5] * 11, 0.5)
    assert per_minute(found) == pytest.approx((-0.05, 0.0, 0.05), abs=1e-15)
    assert found.line is not None
    assert [60 * b for b in found.line] == pytest.approx([-0.05, 0.05], abs=1e-15)
    assert found.seen == "cannot_tell"
    assert found.theil_sen == 0.0


def test_one_step_of_the_needle() -> None:
    found = fall(MINUTES, [13.25] * 3 + [13.0] * 8, 0.25)
    assert found.line is not None and found.straight
    assert [60 * b for b in found.line] == pytest.approx([-0.035714, 0.0], abs=5e-7)
    assert per_minute(found) == pytest.approx((-0.05, -0.025, 0.0))
    assert found.seen == "cannot_tell"


def test_a_fall_is_seen_once_it_is_more_than_the_dial_can_hide() -> None:
    assert fall(MINUTES, [13.5 - 0.05 * i for i in range(11)], 0.25).seen == "yes"
    assert fall(MINUTES, [13.5 - 0.05 * i for i in range(11)], 0.25, 0.25).seen == "cannot_tell"


def test_a_rise_is_no_fall() -> None:
    found = fall(MINUTES, [13.0 + 0.1 * i for i in range(11)], 0.25)
    assert found.seen == "no"
    assert found.crossing(12.5) == (None, None)


def test_a_curve_is_not_called_straight() -> None:
    sagging = [15.0 * 0.8**i for i in range(11)]
    found = fall(MINUTES, sagging, 0.1)
    assert found.line is None and found.straight is False
    assert found.rate is not None and found.rate.high < 0


def test_crossing_is_expected_later_than_it_is_possible() -> None:
    found = fall(MINUTES, [14.0 - 0.05 * i for i in range(11)], 0.25)
    expected, earliest = found.crossing(13.0)
    assert expected == pytest.approx(600.0)
    # from 13.5 less an eighth, at 0.075 psi a minute
    assert earliest == pytest.approx((13.5 - 0.125 - 13.0) / 0.075 * 60)


def test_a_flat_gauge_may_still_cross() -> None:
    expected, earliest = fall(MINUTES, [13.5] * 11, 0.5).crossing(13.0)
    assert expected is None
    assert earliest == pytest.approx(0.25 / 0.05 * 60)


def test_what_is_below_already_crosses_now() -> None:
    assert fall(MINUTES, [14.0 - 0.2 * i for i in range(11)], 0.25).crossing(13.0) == (0.0, 0.0)


def test_a_top_up_is_not_taken_for_a_rise() -> None:
    times = [0.0, 300.0, 300.0, 600.0]
    found = fall(times, [14.0, 13.0, 14.0, 13.0], 0.25, run_starts=[2])
    assert found.rate is not None and found.span_s == 600.0
    assert found.rate.expected * 600 == pytest.approx(-2.0)
    # one width of doubt for each run
    assert found.rate.high * 600 == pytest.approx(-1.5)
    undivided = fall(times, [14.0, 13.0, 14.0, 13.0], 0.25)
    assert undivided.rate is not None and undivided.rate.expected * 600 == pytest.approx(-1.0)


def test_projection_follows_the_latest_run() -> None:
    found = fall([0, 300, 300, 600], [14.0, 13.0, 14.0, 13.5], 0.25, run_starts=[2])
    expected, _ = found.crossing(13.0)
    assert expected == pytest.approx(300.0)


def test_just_topped_up_projects_at_the_rate_before() -> None:
    found = fall([0, 300, 310], [14.0, 13.0, 14.0], 0.25, run_starts=[2])
    assert found.last == 14.0
    expected, _ = found.crossing(13.0)
    assert expected == pytest.approx(300.0)


def test_a_gap_changes_neither_mean_nor_bound() -> None:
    found = fall([0, 60, 3000], [14.0, 14.0, 13.0], 0.25)
    assert found.rate is not None
    assert found.rate.expected == pytest.approx(-1 / 3000)
    assert found.rate.high == pytest.approx(-0.75 / 3000)


def test_two_readings_have_a_rate_but_no_fit() -> None:
    found = fall([0, 600], [13.5, 13.0], 0.25)
    assert per_minute(found) == pytest.approx((-0.075, -0.05, -0.025))
    assert found.theil_sen is None
    assert found.straight is True


@pytest.mark.parametrize("times", [[], [0.0], [5.0, 5.0]])
def test_no_time_no_rate(times: list[float]) -> None:
    found = fall(times, [13.0] * len(times), 0.25)
    assert found.rate is None and found.latest is None and found.straight is None
    assert found.seen == "cannot_tell"
    assert found.crossing(12.0) == (None, None)
    assert found.span_s == 0


def test_two_readings_at_one_moment_that_differ_widely_fit_no_line() -> None:
    found = fall([0, 0, 60, 120], [13.0, 14.0, 13.5, 13.0], 0.25)
    assert found.straight is False


def test_fits_are_made_of_at_most_600_points() -> None:
    run = Run(tuple(map(float, range(100_001))), tuple(13 - 1e-5 * t for t in range(100_001)))
    times, pressures = run.binned()
    assert 500 <= len(times) == len(pressures) <= 600
    found = fall(run.times_s, run.pressures, 0.25)
    assert found.theil_sen == pytest.approx(-1e-5)
    assert found.line is not None and found.line[0] < -1e-5 < found.line[1]


def test_no_interval_is_ever_of_zero_width() -> None:
    for readings in ([13.0] * 11, [13.0 + 0.25 * i for i in range(11)], [14.0, *[13.0] * 10]):
        found = fall(MINUTES, readings, 0.25)
        assert found.rate is not None and found.rate.low < found.rate.expected < found.rate.high


@pytest.mark.parametrize(
    ("times", "pressures", "graduation", "starts", "says"),
    [
        ([0, 60], [13.0], 0.25, [], "2 times, 1 pressures; expected as many"),
        ([60, 0], [13.0, 13.0], 0.25, [], "reading 2: 0 s after 60 s; expected order of time"),
        ([0, 60], [13.0, float("nan")], 0.25, [], "reading 2: 60, nan; expected two finite"),
        ([0, 60], [13.0, 13.0], 0.0, [], "graduation 0; expected more than zero"),
        ([0, 60], [13.0, 13.0], 0.25, [3], "expected numbers from 0 to 2"),
    ],
)
def test_readings_that_make_no_sense_are_refused_in_one_line(
    times: list[float], pressures: list[float], graduation: float, starts: list[int], says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        fall(times, pressures, graduation, run_starts=starts)
