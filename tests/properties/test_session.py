"""Laws of the session: whatever is asked, whatever is recorded."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from typing import Any, get_args

import hypothesis.strategies as st
import pytest
from hypothesis import HealthCheck, given, settings

from engine import facts as f
from engine.asking import commands as c
from engine.checks import STAGES
from engine.clock import Stamp
from engine.facts import Record, record
from engine.grades import GRADES, Place
from engine.judging.holding import holding
from engine.judging.settling import standings
from engine.judging.verdict import verdict
from engine.session import Session, evolve, fold
from engine.stages import checks_for
from engine.units import Quantity, q
from tests.plans import plan
from tests.story import START, Story
from tests.told import finished, held

PLAN = plan()
NAMES = st.sampled_from([check.id for check in checks_for(PLAN)] + ["nonsense"])
WORDS = st.sampled_from(["", " ", "ok", "no", "rain", "x" * 2500])
STAGE = st.sampled_from(STAGES)
PSI = st.sampled_from([q(v, "psi") for v in (0.0, 0.5, 5.0, 12.5, 13.0, 13.5, 14.0, 15.5, 32.0)])
AGO = st.sampled_from([0.0, 0.0, 0.0, 30.0, 90.0, 4000.0])
MARK = st.sampled_from([None, "G-07", "G-99"])
FIGURE = st.sampled_from([q(0.25, "in"), q(55, "degF"), q(2, "count"), q(5, "gal"), q(30, "s"),
                          q(15, "psi"), q(-3, "in"), q(1e9, "in")])  # fmt: skip
FEW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])

FACTS = st.one_of(
    st.builds(f.PressureRead, pressure=PSI, ago=AGO, mark=MARK,
              read_from=st.sampled_from([None, "photo"])),
    st.builds(f.ToppedUp, before=PSI, after=PSI),
    st.builds(f.GaugeZeroed, mark=st.just("G-07"), reading=PSI),
    st.builds(f.ValveTurned, which=st.sampled_from(["inlet", "vent"]),
              share=st.sampled_from([0.0, 0.0, 1.0])),
    st.builds(f.VolumeAdded, volume=st.just(q(4, "mL")), after=PSI),
    st.builds(f.PressureReleased, gauge=PSI, vent_quiet=st.booleans()),
    st.builds(f.Mended, what=st.just("tee")),
    st.builds(f.GaugeFitted, mark=st.sampled_from(["G-07", "G-99"]), height=st.just(q(20, "in")),
              gauge=st.sampled_from([None, PLAN.gauge])),
    st.builds(f.OpeningMeasured, clock=st.sampled_from([3.0, 6.0, 9.0, 12.0]),
              opening=st.just(q(0.5, "in"))),
    st.builds(f.Sighted, place=st.sampled_from(get_args(Place)), grade=st.sampled_from(GRADES),
              clock=st.sampled_from([None, 6.0, 12.0]), returns=st.booleans(),
              wets=st.booleans(), ago=AGO),
    st.builds(f.Looked, dry=st.booleans(), wiped=st.booleans(), ago=AGO),
    st.builds(f.TemperatureRead, what=st.just("water"), temperature=st.just(q(12, "degC")),
              ago=AGO),
    st.builds(f.SupplySet, pressure=PSI),
    st.builds(f.Noted, text=st.just("n")),
    st.builds(f.HandedOver, to=st.just("B. Example")),
    st.builds(f.SpecimenDisturbed, how=st.just("dropped")),
)  # fmt: skip
CLAIMS: Any = st.one_of(
    st.builds(c.Confirm, NAMES, st.none() | WORDS),
    st.builds(c.Measure, NAMES, FIGURE),
    st.builds(c.Waive, NAMES, WORDS),
    st.builds(c.StartWait, NAMES, st.sampled_from([0.0, 90_000.0, -1.0, 1e9])),
    st.builds(c.PassStage, STAGE),
    st.builds(c.Reopen, STAGE, WORDS),
    st.just(c.StartHold()),
    st.builds(c.Strike, st.integers(-1, 120), WORDS),
    st.just(c.Announce()),
    st.builds(c.Sign, WORDS, st.booleans()),
    st.builds(c.Abandon, WORDS),
    st.builds(c.Amend, WORDS),
)
COMMANDS: Any = st.one_of(FACTS.map(c.Write), CLAIMS)
STEPS = st.lists(st.tuples(COMMANDS, st.sampled_from([0.0, 5.0, 60.0, 300.0])), max_size=25)
FROM = st.sampled_from(["prepare", "fill", "hold", "holding", "verdict", "closed"])


def begun(at: str) -> Story:
    if at == "closed":
        return finished(held().hold())
    if at == "holding":
        return held()
    return Story(PLAN).to(at)  # type: ignore[arg-type]


BEGUN = {at: begun(at) for at in ("prepare", "fill", "hold", "holding", "verdict", "closed")}


def resumed(at: str) -> Story:
    known, story = BEGUN[at], Story(PLAN)
    story.session, story.records = known.session, list(known.records)
    story.ticks, story.wall = known.ticks, known.wall
    return story


def told(at: str, steps: list[tuple[c.Command, float]]) -> Story:
    """A story gone on with whatever of the steps is not refused."""
    story = resumed(at)
    for command, seconds in steps:
        story.pass_time(seconds)
        try:
            story.ask(command)
        except c.Refused as refused:
            assert str(refused)
            assert "\n" not in str(refused)
    return story


@FEW
@given(FROM, STEPS)
def test_a_command_makes_a_fact_or_is_refused_and_everything_can_be_said_of_the_session(
    at: str, steps: list[tuple[c.Command, float]]
) -> None:
    session = told(at, steps).session
    assert verdict(session).reasons
    for stage in STAGES:
        standings(session, stage, session.t)


@FEW
@given(FROM, STEPS, st.integers(0, 200))
def test_a_session_in_two_parts_is_the_session(
    at: str, steps: list[tuple[c.Command, float]], cut: int
) -> None:
    story = told(at, steps)
    assert fold(story.records[cut:], fold(story.records[:cut])) == story.session


@FEW
@given(FROM, STEPS)
def test_credit_never_exceeds_the_time_that_passed(
    at: str, steps: list[tuple[c.Command, float]]
) -> None:
    session = told(at, steps).session
    hold = holding(session)
    if hold is not None:
        assert 0 <= hold.credit.late <= hold.credit.seconds + 1e-6
        assert hold.credit.seconds <= session.t - hold.begins + 1e-6
    assert all(a <= b for a, b in pairwise(session.times))


@FEW
@given(st.lists(FACTS, max_size=12), st.integers(0, 11))
def test_a_strike_equals_never_having_recorded_it_marks_apart(
    facts: list[f.Fact], place: int
) -> None:
    story = resumed("holding")
    made = [record(story.session.seq + 1 + n, fact, story.pass_time(20).stamp, "A")
            for n, fact in enumerate(facts)]  # fmt: skip
    if place >= len(made) or not isinstance(made[place].fact, f.STRIKABLE):
        return
    of = made[place].seq
    struck = record(made[-1].seq + 1, f.Struck(of=of, reason="x"), story.stamp, "A")
    noted = record(of, f.Noted(text=""), made[place].stamp, "A")
    without = [*made[:place], noted, *made[place + 1 :]]
    empty = record(struck.seq, f.Noted(text=""), struck.stamp, "A")
    one, other = fold([*made, struck], story.session), fold([*without, empty], story.session)
    assert one.checking == other.checking
    assert one.water == other.water
    assert one.evidence.readings == other.evidence.readings
    assert one.evidence.sightings == other.evidence.sightings
    assert one.evidence.looks == other.evidence.looks
    assert one.closing == other.closing
    assert verdict(one) == verdict(other)


@FEW
@given(st.lists(st.tuples(FACTS, st.floats(-1e6, 1e6), st.sampled_from(["a", "b"])), max_size=15))
def test_no_record_is_refused_by_the_fold_and_time_never_runs_back(
    made: list[tuple[f.Fact, float, str]],
) -> None:
    session = Session()
    opened = f.SessionOpened(plan=PLAN, checks=checks_for(PLAN))
    for seq, (fact, ticks, boot) in enumerate([(opened, 0.0, "a"), *made], 1):
        stamp = Stamp(START + timedelta(seconds=ticks), boot, ticks)
        session = evolve(session, record(seq, fact, stamp, "A"))
    assert all(a <= b for a, b in pairwise(session.times))
    assert verdict(session).reasons


def in_kpa(psi: Quantity) -> Quantity:
    return q(psi.m_as("kPa"), "kPa")


@FEW
@given(st.lists(st.tuples(PSI, st.sampled_from([30.0, 60.0, 130.0])), max_size=20))
def test_neither_credit_nor_verdict_depends_on_the_unit_that_was_typed(
    typed: list[tuple[Quantity, float]],
) -> None:
    psi, kpa = resumed("holding"), resumed("holding")
    for pressure, seconds in typed:
        psi.pass_time(seconds).write(f.PressureRead(pressure=pressure, ago=0.0))
        kpa.pass_time(seconds).write(f.PressureRead(pressure=in_kpa(pressure), ago=0.0))
    one, other = holding(psi.session), holding(kpa.session)
    assert one is not None
    assert other is not None
    assert one.credit.seconds == pytest.approx(other.credit.seconds)
    assert verdict(psi.session).outcome == verdict(kpa.session).outcome


@FEW
@given(st.one_of(FACTS, st.just(f.HoldStarted()), st.just(f.Struck(of=3, reason="r")),
                 st.builds(f.CheckMeasured, check=NAMES, measure=FIGURE),
                 st.builds(f.WaitStarted, check=NAMES, ago=AGO),
                 st.builds(f.StageReopened, stage=STAGE, reason=st.just("r"))),
       st.integers(0, 10**9))  # fmt: skip
def test_every_record_reads_back_as_it_was_written(fact: f.Fact, seconds: int) -> None:
    made = record(1, fact, Stamp(START + timedelta(seconds=seconds), "a", 5.0), "A")
    assert Record.model_validate_json(made.model_dump_json()) == made


def test_every_record_of_a_whole_test_reads_back_as_it_was_written() -> None:
    records = BEGUN["closed"].records
    assert {type(r.fact) for r in records} >= {f.SessionOpened, f.StagePassed, f.VerdictGiven}
    for made in records:
        again = Record.model_validate_json(made.model_dump_json())
        assert again == made
        assert again.model_dump_json() == made.model_dump_json()
