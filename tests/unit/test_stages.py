"""What each stage asks, what lets it go, and what reopening it undoes."""

from __future__ import annotations

import pytest

from engine import facts as f
from engine import present
from engine.asking.commands import (
    Confirm,
    Measure,
    PassStage,
    Reopen,
    StartHold,
    StartWait,
    Waive,
)
from engine.checks import STAGES, Stage
from engine.facts import Carried, SessionOpened
from engine.judging.rules import find
from engine.judging.settling import Standing, standing, stopping
from engine.planfile import BadPlan, PlanFile
from engine.session import Session
from engine.stages import CHECKS, checks_for
from engine.units import q
from tests.plans import BOX, plan
from tests.story import Story
from tests.told import back, credited, held, readings, settled

OK = 13.5


def names(planned: PlanFile) -> set[str]:
    return {check.id for check in checks_for(planned)}


def test_every_stage_has_checks_and_every_check_one_identity() -> None:
    assert {check.stage for check in CHECKS} == set(STAGES)
    assert len({check.id for check in CHECKS}) == len(CHECKS)


def test_a_box_is_asked_other_things_than_a_pipe() -> None:
    assert {"vent_corner", "haunch_hold", "soffit_level"} <= names(plan(BOX))
    assert "vent_top" in names(plan())
    assert not {"vent_corner", "haunch_hold"} & names(plan())


def test_a_deflected_joint_has_its_secondary_backed_up() -> None:
    deflected = plan(procedure__alignment="deflected", procedure__opening="0.5 in")
    assert {"backed", "spacers"} <= names(deflected)
    assert "backed" not in names(plan())


def test_a_deflected_joint_does_not_seal_without_its_backing() -> None:
    story = Story(plan(procedure__alignment="deflected", procedure__opening="0.5 in"))
    story.to("seal").openings(0.75, 1.0, 0.75, 0.5)
    story.zero()
    story.settle(but=("backed",))
    assert "Back up the secondary" in story.refusal(PassStage("seal"))
    story.ask(Confirm("backed"))
    story.go_on()


def test_the_joint_must_stand_open_on_the_side_demanded() -> None:
    story = Story(plan(procedure__alignment="deflected", procedure__opening="0.5 in")).to("seal")
    story.openings(0.75, 0.5, 0.75, 1.0)
    assert not settled(story, "openings")
    story.openings(0.75, 1.0, 0.75, 0.5)
    assert settled(story, "openings")


@pytest.mark.parametrize(("widths", "straight"), [
    ((0.5, 0.5, 0.625, 0.5), True), ((0.5, 0.5, 0.6875, 0.5), False)])  # fmt: skip
def test_straight_means_within_the_tolerance(
    widths: tuple[float, float, float, float], straight: bool
) -> None:
    story = Story(plan()).to("seal").openings(*widths)
    assert settled(story, "openings") is straight


def test_three_openings_are_not_enough() -> None:
    story = Story(plan()).to("seal")
    for clock in (12.0, 3.0, 6.0):
        story.write(f.OpeningMeasured(clock=clock, opening=q(0.5, "in")))
    assert not settled(story, "openings")


def test_a_stage_names_the_check_that_stops_it() -> None:
    story = Story(plan())
    said = story.refusal(PassStage("prepare"))
    assert said.startswith("Read the demand")
    assert "more)" in said


def test_only_the_stage_at_hand_can_be_passed() -> None:
    assert "Prepare" in Story(plan()).refusal(PassStage("seal"))


def test_a_wait_is_over_when_its_time_is_and_nothing_is_written() -> None:
    story = Story(plan())
    story.ask(StartWait("bond_cured"))
    seq = story.session.seq
    story.pass_time(86_399)
    assert not settled(story, "bond_cured")
    story.pass_time(1)
    assert settled(story, "bond_cured")
    assert story.session.seq == seq


def test_a_wait_may_have_begun_before_the_test_was_opened() -> None:
    story = Story(plan())
    story.ask(StartWait("bond_cured", ago=86_400.0))
    assert settled(story, "bond_cured")


def test_a_waived_wait_lets_the_stage_go_and_is_written_down_as_waived() -> None:
    story = Story(plan())
    story.ask(Waive("bond_cured", "quick-set resin"))
    story.to("seal")
    how = {s.check: s.how for s in story.session.checking.passed[0].fact.settled}
    assert how["bond_cured"] == "waived"


def test_passing_writes_down_what_was_judged_and_its_limit() -> None:
    passed = Story(plan()).to("seal").session.checking.passed[0].fact
    warmth = next(s for s in passed.settled if s.check == "warmth")
    assert warmth.measure == q(55, "degF")
    assert warmth.limit == q(4, "degC")


def test_a_measure_outside_its_limit_does_not_settle_its_check() -> None:
    story = Story(plan())
    story.ask(Measure("warmth", q(35, "degF")))
    assert not settled(story, "warmth")
    story.ask(Measure("warmth", q(45, "degF")))
    assert settled(story, "warmth")


def test_measured_beats_planned() -> None:
    story = Story(plan(joint__inner_seal="unknown", joint__outer_seal="unknown"))
    story.ask(Measure("inner_seal", q(2.4, "in")))
    assert story.session.plan.joint.inner_seal == q(2.4, "in")


def test_of_a_gauge_fitted_and_a_height_measured_the_later_counts() -> None:
    story = Story(plan()).to("hold")
    story.write(f.GaugeFitted(mark="G-07", height=q(20, "in")))
    assert story.session.plan.gauge.height == q(20, "in")
    story.ask(Measure("gauge_height", q(-30, "in")))
    assert story.session.plan.gauge.height == q(-30, "in")


def test_a_measure_that_was_carried_over_beats_the_plan_too() -> None:
    planned = plan(joint__pocket_width="unknown")
    carried = Carried(check="pocket_width", session="s1", seq=9, by="A", measure=q(2.1, "in"))
    story = Story(planned)
    opened = SessionOpened(plan=planned, checks=checks_for(planned), carried=(carried,))
    story.session, story.records = Session(), []
    story.write(opened)
    assert story.session.plan.joint.pocket_width == q(2.1, "in")
    assert settled(story, "pocket_width")


def test_a_check_of_an_earlier_stage_is_owed_once_its_record_is_struck() -> None:
    story = Story(plan()).to("fill")
    homed = next(r for r in story.records if getattr(r.fact, "check", "") == "homed")
    story.strike(homed.seq, "it was the other joint")
    assert story.session.stage == "fill"
    assert "homed" in {s.check.id for s in stopping(story.session, "fill", story.now)}
    story.ask(Confirm("homed"))
    assert settled(story, "homed")


# --- reopening ----------------------------------------------------------------------------------


def test_reopening_unsettles_that_stage_and_the_later_ones_and_keeps_sightings() -> None:
    story = readings(held(), OK, OK)
    story.see("secondary", "damp")
    story.pass_time(30)
    back(story, "seal")
    assert story.session.stage == "seal"
    assert settled(story, "demand")
    assert not any(settled(story, name) for name in ("homed", "clear", "wiped", "raised"))
    assert not settled(story, "soak")
    assert story.session.hold is None
    assert len(story.session.evidence.sightings) == 1


def test_a_zero_from_before_reseating_does_not_serve_after_it() -> None:
    story = held().pass_time(60)
    back(story, "seal")
    assert not settled(story, "gauge_zeroed")


def test_a_waiver_does_not_outlive_the_reopening_of_its_stage() -> None:
    story = Story(plan())
    story.ask(Waive("faces", "later"))
    story.to("seal")
    story.ask(Reopen("prepare", "look again"))
    assert not settled(story, "faces")


def test_a_carried_check_is_asked_again_once_its_stage_is_reopened() -> None:
    planned = plan()
    carried = Carried(check="faces", session="s1", seq=4, by="A")
    story = Story(planned)
    story.session, story.records = Session(), []
    story.write(SessionOpened(plan=planned, checks=checks_for(planned), carried=(carried,)))
    assert settled(story, "faces")
    story.to("seal")
    story.ask(Reopen("prepare", "chipped while lifting"))
    assert not settled(story, "faces")


@pytest.mark.parametrize("stage", ["prepare", "seal", "fill", "vent"])
def test_nothing_is_reopened_under_pressure(stage: Stage) -> None:
    story = readings(held(), OK, OK)
    assert "release it first" in story.refusal(Reopen(stage, "air?"))


def test_the_hold_may_be_taken_up_again_under_pressure_for_nothing_is_opened() -> None:
    story = held().hold().go_on()
    story.ask(Reopen("hold", "the last look was forgotten"))
    assert story.session.hold is None
    assert "needle_rose" not in {s.check.id for s in stopping(story.session, "hold", story.now)}


def test_a_later_stage_cannot_be_reopened() -> None:
    assert "has not been passed" in Story(plan()).refusal(Reopen("fill", "why not"))


def test_the_gauge_has_to_answer_again_after_venting_again() -> None:
    story = readings(held(), OK, OK)
    story.pass_time(30)
    back(story, "vent")
    assert not settled(story, "needle_rose")
    story.to("hold").raise_to()
    assert credited(readings(story, OK, OK)) == pytest.approx(60)


def test_a_second_hold_waits_for_the_first_to_end() -> None:
    story = readings(held(), OK, OK, OK)
    assert "would lose its credit" in story.refusal(StartHold())
    story.pass_time(60).read(12.5)
    story.read(OK)
    story.ask(StartHold())


def test_deflected_openings_are_held_against_each_other_across_the_joint() -> None:
    story = Story(plan(procedure__alignment="deflected", procedure__opening="0.5 in")).to("seal")
    story.openings(0.0, 0.5, 0.25, 0.25)  # 3 against 9 is a quarter inch, whatever 12 says
    assert find(story.session, "openings").ok is False
    story.openings(0.5, 0.75, 0.5, 0.25)
    assert find(story.session, "openings").ok is True


@pytest.mark.parametrize("wrong", [
    {"kind": "measure", "asks": "pressure", "field": "procedure.pressure"},
    {"kind": "measure", "asks": "length", "field": "joint.colour"},
    {"kind": "measure", "asks": "length", "field": "supply.relief"},
    {"kind": "confirm", "field": "joint.inner_seal"},
    {"kind": "wait", "wait": "faults"},
])  # fmt: skip
def test_a_check_of_the_plant_replaces_no_demand_and_nothing_unknown(wrong: dict[str, str]) -> None:
    own = {"id": "own", "stage": "hold", "do": "Read it off"}
    with pytest.raises(BadPlan, match=r"check\.own\."):
        plan(check=[{**own, **wrong}])
    fits = {"kind": "measure", "asks": "length", "field": "joint.inner_seal"}
    assert Story(plan(check=[{**own, **fits}])).session.check("own")


def test_it_is_raised_and_shut_afresh_once_the_pressure_was_let_down() -> None:
    story = readings(held(), OK, OK)
    assert settled(story, "raised") and settled(story, "inlet_shut")
    story.turn("vent", 1.0)
    assert not settled(story, "raised")
    story.release()
    assert not settled(story, "inlet_shut")
    story.turn("vent", 0.0)
    story.turn("inlet", 0.2)
    story.read(10.0)
    assert not settled(story, "raised")
    story.read(OK)
    story.turn("inlet", 0.0)
    assert settled(story, "raised") and settled(story, "inlet_shut")


def test_back_in_the_hold_the_readings_and_the_shut_inlet_of_before_do_not_count() -> None:
    story = held().hold().go_on()
    story.ask(Reopen("hold", "the last look was forgotten"))
    assert not settled(story, "raised") and not settled(story, "inlet_shut")
    story.read(OK)
    story.turn("inlet", 0.0)
    assert settled(story, "raised") and settled(story, "inlet_shut")


def test_only_the_last_reading_says_that_it_is_raised() -> None:
    story = Story(plan()).to("hold")
    story.read(19.75)
    assert "at most" in present.open_check(story.session, standing_of(story, "raised"))
    story.read(10.0)
    story.turn("inlet", 0.0)
    assert "found 10 psi" in present.open_check(story.session, standing_of(story, "raised"))
    story.read(OK)
    assert settled(story, "raised")


def test_what_was_read_later_does_not_undo_how_a_hold_was_started() -> None:
    story = readings(held(), OK, OK, 12.0)
    assert settled(story, "raised")
    story = held().hold()
    story.turn("vent", 1.0)
    story.release()
    assert settled(story, "raised") and settled(story, "inlet_shut")


def standing_of(story: Story, check: str) -> Standing:
    known = story.session.check(check)
    assert known is not None
    return standing(story.session, known, story.now)
