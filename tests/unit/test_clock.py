"""The session's own time, whatever clocks and machines do."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from engine import facts as f
from engine.asking.commands import StartWait
from engine.clock import Axis, Stamp, left
from engine.judging.verdict import verdict
from engine.session import Session, evolve, fold
from engine.units import q
from tests.plans import plan
from tests.story import Story
from tests.told import beside, credited, finished, held, outcome, readings, settled

NOON = datetime(2026, 6, 3, 12, 0, tzinfo=UTC)
OK = 13.5


def stamp(ticks: float, wall: float = 0.0, boot: str = "a") -> Stamp:
    return Stamp(NOON + timedelta(seconds=wall), boot, ticks)


def test_within_one_start_the_counter_decides() -> None:
    assert Axis(stamp(100)).at(stamp(160, wall=-9999)) == 60


def test_across_a_restart_only_the_wall_clock_is_left() -> None:
    assert Axis(stamp(100)).at(stamp(3, wall=90, boot="b")) == 90


def test_time_never_runs_back() -> None:
    axis = Axis(stamp(100), 50.0)
    assert axis.at(stamp(90)) == 50
    assert axis.at(stamp(3, wall=-500, boot="b")) == 50
    assert axis.moved(stamp(3, wall=-500, boot="b")).moved(stamp(13, boot="b")).t == 60


def test_a_wait_that_has_not_begun_has_no_end() -> None:
    assert left(None, 300, 1000) is None
    assert left(900, 300, 1000) == 200
    assert left(900, 300, 5000) == 0


def test_a_wait_may_cross_a_restart() -> None:
    story = Story(plan())
    story.ask(StartWait("bond_cured"))
    story.pass_time(43_200)
    story.boot, story.ticks = "boot-2", 10.0
    story.write(f.Noted(text="power was off"))
    story.pass_time(43_200)
    assert settled(story, "bond_cured")


def test_a_clock_that_is_set_ends_no_wait() -> None:
    story = Story(plan())
    story.ask(StartWait("bond_cured"))
    story.wall += timedelta(days=2)
    assert not settled(story, "bond_cured")


def test_a_test_that_went_over_a_restart_says_so() -> None:
    story = Story(plan())
    story.boot, story.ticks = "boot-2", 10.0
    story.to("hold").raise_to().hold()
    finished(story)
    assert outcome(story) == "pass"
    assert "machine_restarted" in beside(story)


def test_a_restart_inside_the_hold_costs_the_run_and_no_more() -> None:
    story = readings(held(), *[OK] * 6)
    story.look()
    story.boot, story.ticks = "boot-2", 10.0
    story.pass_time(30).hold()
    finished(story)
    assert outcome(story) == "pass"
    assert credited(story) == pytest.approx(600)


def test_a_late_record_stands_where_it_was_made() -> None:
    story = readings(held(), OK, OK)
    story.pass_time(60)
    story.write(f.TemperatureRead(what="water", temperature=q(12, "degC"), ago=90.0))
    story.write(f.Looked(dry=True, ago=30.0))
    start = story.session.evidence.readings[-2].t
    assert story.session.evidence.temperatures[-1].t == pytest.approx(start + 30)
    assert story.session.evidence.looks[-1].t == pytest.approx(start + 90)


def test_resuming_is_folding_what_is_there() -> None:
    story = finished(held().hold())
    for cut in (0, 1, 20, len(story.records)):
        begun, rest = story.records[:cut], story.records[cut:]
        assert fold(rest, fold(begun)) == story.session


def test_an_earlier_session_stays_as_it_was_while_another_goes_on() -> None:
    story = held()
    before = story.session
    readings(story, OK, OK, OK)
    branch = evolve(before, f.record(before.seq + 1, f.Noted(text="x"), story.stamp, "B"))
    assert len(before.evidence.readings) + 3 == len(story.session.evidence.readings)
    assert branch.records[-1].by == "B"
    assert story.session.records[before.seq].by == "R. Example"


def test_sessions_of_equal_length_are_not_taken_for_each_other() -> None:
    one, other = held(), held()
    for story, psi in ((one, OK), (other, 12.0)):
        readings(story, *[psi] * 11)
    assert one.session.seq == other.session.seq
    assert credited(one) == pytest.approx(600)
    assert credited(other) == 0
    assert verdict(one.session) != verdict(other.session)
    assert one.session != other.session


def test_nothing_is_known_before_the_first_record() -> None:
    assert Session().now(stamp(5)) == 0
    assert not Session().under_pressure
    assert not Session().closed
