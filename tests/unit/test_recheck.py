"""Gauges due, and the passes that hang on a gauge found wrong afterwards."""

from __future__ import annotations

import datetime as dt
from functools import cache

import pytest

from engine.asking.commands import Abandon
from engine.judging.verdict import verdict
from engine.recheck import Recheck, as_if_true, gauges_due, hang_on, lost_passes
from engine.session import Session
from engine.units import q
from tests.again import pair
from tests.plans import PIPE
from tests.story import Story

HIGH = q(0.6, "psi")
TWO = [{**PIPE["gauge"], "mark": "G-08", "governs": True}, PIPE["gauge"]]


def held_at(psi: float, zero: float = 0.0, mark: str = "G-07") -> Session:
    """A whole test held at a reading that does not move; no two at the same moments."""
    story = Story(pair(gauge={**PIPE["gauge"], "mark": mark})).pass_time(60 * psi + zero)
    story.to("hold", zero).raise_to(psi).hold(psi=psi).go_on()
    return story.end().session


@cache
def past() -> tuple[tuple[str, Session], ...]:
    """The needed reading of the pipe is 13.018 psi, as the gauge stands half an inch below the
    crown; 13.0 to 13.6 with the gauge's error of 0.6."""
    fail = Story(pair()).to("hold").raise_to(14.0).hold(psi=14.0)
    fail.see("primary", "spray")
    given_up = Story(pair()).to("hold")
    given_up.release()
    given_up.ask(Abandon("rain"))
    return (
        ("far-above", held_at(14.5)),
        ("just-above", held_at(13.75)),
        ("just-below", held_at(13.5)),
        ("far-below", held_at(13.1)),
        ("other-gauge", held_at(13.1, mark="G-08")),
        ("zeroed", held_at(13.75, zero=0.25)),
        ("leaked", fail.go_on().end().session),
        ("abandoned", given_up.session),
        ("open", Story(pair()).to("hold").raise_to(13.1).session),
    )


def found(by: float, since: dt.date | None = None) -> dict[str, Recheck]:
    return {r.session: r for r in hang_on(past(), "G-07", q(by, "psi"), since)}


def test_the_passes_of_a_gauge_that_read_high_are_the_right_ones() -> None:
    rechecks = found(0.6)
    assert [r.session for r in lost_passes(rechecks.values())] == [
        "just-below", "far-below", "zeroed"
    ]  # fmt: skip
    for name in ("just-below", "far-below", "zeroed"):
        assert rechecks[name].after == "undecided"
        assert {"credit_short", "check_owed"} & {r.rule for r in rechecks[name].reasons}
    assert rechecks["far-above"].after == rechecks["just-above"].after == "pass"


def test_every_closed_test_of_that_gauge_hangs_on_it_and_no_other() -> None:
    assert set(found(0.6)) == {
        "far-above", "just-above", "just-below", "far-below", "zeroed", "leaked", "abandoned"
    }  # fmt: skip


def test_a_leak_stays_a_leak() -> None:
    leaked = found(0.6)["leaked"]
    assert (leaked.before, leaked.after, leaked.turns) == ("fail", "fail", False)


def test_the_margin_is_what_is_left_above_the_reading_needed() -> None:
    # 13.75 read; 13.0 at the crown, 0.5 in of water above the gauge 0.018 psi; 0.6 taken off.
    assert found(0.6)["just-above"].margin == pytest.approx(13.75 - 13.018 - 0.6, abs=0.0005)
    assert found(0.6)["zeroed"].margin == pytest.approx(13.75 - 13.018 - 0.85, abs=0.0005)


def test_no_error_turns_nothing() -> None:
    assert not any(r.turns for r in found(0.0).values())


def test_a_gauge_that_read_low_let_the_cap_be_passed_unseen() -> None:
    [lost] = lost_passes(found(-0.6).values())
    assert (lost.session, lost.after) == ("far-above", "undecided")
    assert [r.check for r in lost.reasons] == ["peak_inspected"]


def test_only_tests_since_it_was_known_to_be_right_are_asked_about() -> None:
    assert found(0.6, since=dt.date(2026, 6, 3)).keys() == found(0.6).keys()
    assert found(0.6, since=dt.date(2026, 6, 4)) == {}


def test_a_second_gauge_that_did_not_govern_turns_nothing() -> None:
    story = Story(pair(gauge=None, gauges=TWO)).to("hold")
    story.read(13.1, mark="G-07")
    session = story.raise_to(13.5).hold(psi=13.5).go_on().end().session
    sessions = [("two", session)]
    assert [r.turns for r in hang_on(sessions, "G-07", HIGH)] == [False]
    assert [r.turns for r in hang_on(sessions, "G-08", HIGH)] == [True]


def test_the_records_stay_as_they_are() -> None:
    session = dict(past())["just-below"]
    before = verdict(session).outcome
    assert verdict(as_if_true(session, "G-07", HIGH)).outcome != before
    assert verdict(session).outcome == before == "pass"


# Two graduations of half a psi above its zero a gauge may still be at rest.


def psi_of(session: Session, mark: str) -> list[float]:
    return [r.psi for r in session.evidence.readings if (r.mark or "G-07") == mark]


def test_at_rest_is_by_the_zero_as_it_was_when_the_gauge_was_read() -> None:
    story = Story(pair())
    story.zero(1.5)
    story.read(2.5)  # nothing on it
    story.zero(0.0)  # set right
    for psi in (1.0, 2.0, 14.0):
        story.read(psi)
    story.release()
    story.zero(1.5)
    for psi in (2.5, 2.75):
        story.read(psi)
    read = psi_of(as_if_true(story.session, "G-07", HIGH), "G-07")
    assert read == pytest.approx([2.5, 1.0, 1.4, 13.4, 2.5, 2.15])


def test_at_rest_is_by_the_zero_and_the_marks_of_that_gauge() -> None:
    fine = [{**TWO[0], "graduation": "0.1 psi"}, TWO[1]]
    story = Story(pair(gauge=None, gauges=fine))
    story.zero(0.0, "G-08")
    story.zero(1.0, "G-07")
    for mark in ("G-07", "G-08"):
        story.read(2.0, mark=mark)
    story.read(2.25, mark="G-07")
    assert psi_of(as_if_true(story.session, "G-07", HIGH), "G-07") == [2.0, pytest.approx(1.65)]
    assert psi_of(as_if_true(story.session, "G-08", HIGH), "G-08") == [pytest.approx(1.4)]


# --- dates --------------------------------------------------------------------------------------


def test_gauges_are_told_the_most_pressing_first() -> None:
    gauges: list[dict[str, object]] = [
        {"mark": "G-1", "calibration_due": "2027-03-31"},
        {"mark": "G-2", "calibration_due": "2026-06-02"},
        {"mark": "G-3"},
        {"mark": "G-4", "calibration_due": dt.date(2026, 6, 20)},
        {"mark": "G-5", "calibration_due": "2026-01-31"},
        {"mark": "G-6", "calibration_due": "next spring"},
    ]
    told = gauges_due(gauges, dt.date(2026, 6, 3))
    assert [(g.mark, g.state, g.days) for g in told] == [
        ("G-5", "out of date", -123),
        ("G-2", "out of date", -1),
        ("G-3", "no date", None),
        ("G-6", "no date", None),
        ("G-4", "due", 17),
        ("G-1", "in date", 301),
    ]


def test_a_gauge_is_good_on_its_last_day() -> None:
    [told] = gauges_due([{"mark": "G-1", "calibration_due": "2026-06-03"}], dt.date(2026, 6, 3))
    assert (told.state, told.days) == ("due", 0)
