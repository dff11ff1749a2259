"""What may be asked when, and what is refused in which words."""

from __future__ import annotations

from typing import Any

import pytest

from engine import facts as f
from engine.asking.commands import (
    Abandon,
    Announce,
    Command,
    Confirm,
    Measure,
    PassStage,
    Refused,
    Reopen,
    Sign,
    StartHold,
    StartWait,
    Strike,
    Waive,
    Write,
    decide,
)
from engine.judging.rules import find
from engine.planfile import PlanFile
from engine.repeat import OPENED
from engine.session import Session
from engine.stages import checks_for
from engine.units import q
from tests.plans import plan
from tests.story import Story
from tests.told import back, held, leave, readings, settled

OK = 13.5


def opened(planned: PlanFile | None = None, **more: Any) -> Story:
    """Opened with what a test that follows another is opened with."""
    story = Story(planned or plan())
    story.session, story.records = Session(), []
    chosen = planned or plan()
    story.write(f.SessionOpened(plan=chosen, **{"checks": checks_for(chosen), **more}))
    return story


# --- observations are refused only where they cannot be understood ------------------------------


@pytest.mark.parametrize("fact", [
    f.PressureRead(pressure=q(18, "psi"), ago=0.0),
    f.ToppedUp(before=q(12, "psi"), after=q(13.5, "psi")),
    f.Sighted(place="primary", grade="spray", clock=None, ago=0.0),
    f.SpecimenDisturbed(how="dropped"),
])  # fmt: skip
def test_what_happened_is_written_down_however_unwelcome(fact: f.Fact) -> None:
    story = Story(plan(procedure__top_ups=False)).to("fill")
    assert story.write(fact) == story.session.seq


@pytest.mark.parametrize("fact", [
    f.PressureRead(pressure=q(OK, "psi"), ago=3600.0),
    f.Sighted(place="primary", grade="drip", clock=6.0, ago=3600.0),
    f.Looked(dry=True, ago=3600.0),
    f.TemperatureRead(what="water", temperature=q(12, "degC"), ago=3600.0),
])  # fmt: skip
def test_nothing_was_seen_before_the_test_was_opened(fact: f.Fact) -> None:
    story = Story(plan()).pass_time(600)
    assert "was opened 10:00 min ago" in story.refusal(Write(fact))


def test_a_reading_of_a_gauge_nobody_knows_is_refused() -> None:
    fact = f.PressureRead(pressure=q(OK, "psi"), mark="G-99", ago=0.0)
    assert "G-07" in held().refusal(Write(fact))


def test_a_gauge_that_was_not_planned_has_to_be_described() -> None:
    said = held().refusal(Write(f.GaugeFitted(mark="G-99", height=q(1, "in"))))
    assert "calibration" in said


def test_claims_cannot_be_written_down_as_if_they_had_been_seen() -> None:
    story = held()
    for fact in (f.CheckConfirmed(check="credit"), f.StagePassed(stage="hold"),
                 f.HoldStarted(), f.Signed(name="A", role="witness", verdict=1)):  # fmt: skip
        assert "asked for" in story.refusal(Write(fact))


# --- checks -------------------------------------------------------------------------------------


def test_a_safety_check_cannot_be_waived() -> None:
    story = Story(plan()).to("fill")
    assert "cannot be waived" in story.refusal(Waive("clear", "in a hurry"))


def test_a_waiver_wants_a_reason() -> None:
    assert "why" in Story(plan()).refusal(Waive("faces", "  "))


def test_verdict_and_signature_cannot_be_waived() -> None:
    story = leave(held().hold())
    assert "cannot be waived" in story.refusal(Waive("announced", "known"))


def test_a_later_check_cannot_be_answered_now() -> None:
    assert "comes later" in Story(plan()).refusal(Confirm("homed"))


def test_what_is_worked_out_cannot_be_confirmed() -> None:
    story = held()
    assert story.refusal(Confirm("credit")).startswith("Hold until the credit is complete")


def test_a_wait_cannot_be_confirmed() -> None:
    assert "its time" in Story(plan()).refusal(Confirm("bond_cured"))


def test_air_from_the_vent_is_no_yes() -> None:
    story = Story(plan()).to("vent").closed()
    assert "type the reading" in story.refusal(Confirm("burp", "only water"))
    story.read(5.0)
    assert "crack the vent" in story.refusal(Confirm("burp", "only water"))
    story.cracked()
    assert "no yes" in story.refusal(Confirm("burp", "air"))
    assert "say air, or only water" in story.refusal(Confirm("burp", "some"))
    story.turn("vent", 1.0)
    story.pass_time(60).turn("vent", 0.0)
    assert "type the reading" in story.refusal(Confirm("burp", "only water"))


def test_what_proved_the_air_out_falls_with_its_reading() -> None:
    story = Story(plan()).to("vent").closed()
    read = story.read(5.0)
    story.cracked().settle()
    assert settled(story, "burp_read") and settled(story, "burp")
    story.strike(read, "the other dial")
    assert not settled(story, "burp_read") and not settled(story, "burp")
    assert "Raise to about 5 psi" in story.refusal(PassStage("vent"))
    story.read(5.0)
    assert settled(story, "burp_read") and not settled(story, "burp")
    story.cracked()
    assert not settled(story, "burp")  # what came this time is not said yet
    story.settle()
    assert settled(story, "burp")


def test_above_the_cap_or_at_rest_no_air_is_proved_out() -> None:
    for psi, proves in ((25.0, False), (15.0, True), (2.5, True), (2.0, False)):
        story = Story(plan()).to("vent").closed()
        story.read(psi)
        assert settled(story, "burp_read") is proves, psi


def test_what_proved_the_air_out_is_not_made_up_for_by_a_reading_of_the_hold() -> None:
    story = held()
    read = find(story.session, "burp_read").records[0]
    story.strike(read, "the other dial")
    story.read(OK)
    assert not settled(story, "burp_read") and not settled(story, "burp")


def test_the_inlet_is_shut_before_the_vent_and_again_before_it_is_cracked() -> None:
    story = Story(plan()).to("vent")
    story.turn("vent", 0.0)
    assert not settled(story, "inlet_first")
    story.turn("inlet", 0.0)
    assert settled(story, "inlet_first")
    story.turn("inlet", 0.03)
    story.read(5.0)
    assert not settled(story, "burp_read")
    assert "close the inlet" in story.refusal(Confirm("burp", "only water"))
    story.turn("inlet", 0.0)
    assert settled(story, "burp_read")


def test_the_inlet_is_shut_anew_once_the_pressure_is_up() -> None:
    story = Story(plan()).to("hold")
    story.read(OK)
    assert not settled(story, "inlet_shut")
    story.turn("inlet", 0.0)
    assert settled(story, "inlet_shut")


def test_a_gasket_that_is_not_in_its_place_is_no_yes() -> None:
    story = Story(plan()).to("seal")
    assert "no yes" in story.refusal(Confirm("feeler", "no"))


@pytest.mark.parametrize(
    "said", ["noted", "all of it", "12", "in place at 12, 6 and 9", "at 12, 3, 6 rolled and 9"]
)
def test_a_feeler_is_answered_for_each_position(said: str) -> None:
    story = Story(plan()).to("seal")
    assert "say it for 12, 3, 6 and 9" in story.refusal(Confirm("feeler", said))
    story.ask(Confirm("feeler", "At 12, 3, 6 and 9"))


@pytest.mark.parametrize("said", ["noted", "the same or a new one"])
def test_the_gasket_of_the_next_alignment_is_the_same_or_a_new_one(said: str) -> None:
    story = opened(checks=(*OPENED, *checks_for(plan())))
    assert "Say same or new" in story.refusal(Confirm("gasket_again", said))
    story.ask(Confirm("gasket_again", "New, lot 7"))


def test_what_was_carried_over_for_a_bell_is_not_taken_for_another() -> None:
    bell = f.Carried(check="drilled", session="s1", seq=3, by="A")
    story = opened(plan(specimen__bell="B-2"), carried=(bell,))
    said = story.refusal(Confirm("marks", "S-1 / B-9"))
    assert "carried over for B-2" in said
    story.ask(Confirm("marks", "S-1 / B-2"))
    pair = f.Carried(check="marks", session="s1", seq=3, by="A", answer="S-1 / B-2")
    story = opened(carried=(pair,))
    assert "carried over" in story.refusal(Confirm("marks", "S-7 / B-2"))
    Story(plan()).ask(Confirm("marks", "S-7 / B-2"))


def test_it_neither_soaks_nor_vents_before_it_was_sealed() -> None:
    story = Story(plan()).to("vent")
    for check in ("soak", "vent_flow"):
        assert "not sealed yet" in story.refusal(StartWait(check, ago=86_400.0))


def test_what_is_asked_for_has_to_be_said() -> None:
    assert "say it" in Story(plan()).refusal(Confirm("marks", " "))


@pytest.mark.parametrize("value", [q(3, "psi"), q(3, "s"), q(1, "count")])
def test_a_figure_of_another_kind_is_refused(value: object) -> None:
    said = Story(plan()).refusal(Measure("vent_top", value))  # type: ignore[arg-type]
    assert "expected a length" in said


def test_a_figure_that_makes_an_impossible_joint_is_refused() -> None:
    story = Story(plan(joint__inner_seal="unknown", joint__outer_seal="unknown"))
    assert "cannot be" in story.refusal(Measure("inner_seal", q(-1, "in")))


def test_what_was_opened_has_to_hold_together() -> None:
    planned = plan()
    checks = checks_for(planned)
    twice = f.SessionOpened(plan=planned, checks=(*checks, checks[0]))
    clear = f.Carried(check="ports_clear", session="s1", seq=3, by="A")
    over = f.SessionOpened(plan=planned, checks=checks, carried=(clear,))
    own = plan(check=[{"id": "whistle", "stage": "fill", "do": "Blow the whistle",
                       "rank": "safety", "stands": "specimen"}])  # fmt: skip
    blown = f.Carried(check="whistle", session="s1", seq=3, by="A")
    safety = f.SessionOpened(plan=own, checks=checks_for(own), carried=(blown,))
    less = f.SessionOpened(plan=planned, checks=tuple(c for c in checks if c.id != "released"))
    stamp = Story(planned).stamp
    for fact, why in ((twice, "one identity"), (over, "never carried over"),
                      (safety, "never carried over"), (less, "left out of no test")):  # fmt: skip
        with pytest.raises(Refused, match=why):
            decide(Session(), Write(fact), stamp)


# --- nothing is opened under pressure -----------------------------------------------------------


def test_neither_zero_nor_mending_nor_a_nut_under_pressure() -> None:
    zero, mended = f.GaugeZeroed(mark="G-07", reading=q(0, "psi")), f.Mended(what="tee")
    for command in (Write(zero), Write(mended), Measure("restraint_on", q(1, "count"))):
        assert "release it first" in readings(held(), OK).refusal(command)


def test_a_gauge_that_still_shows_pressure_is_not_released() -> None:
    fact = f.PressureReleased(gauge=q(4, "psi"), vent_quiet=True)
    assert "go on bleeding" in held().refusal(Write(fact))


def test_a_gauge_at_zero_with_the_vent_still_flowing_is_not_released() -> None:
    story = held()
    story.write(f.PressureReleased(gauge=q(0, "psi"), vent_quiet=False))
    assert story.session.under_pressure
    story.release()
    assert not story.session.under_pressure


@pytest.mark.parametrize("check", ["drained", "no_crack"])
def test_what_is_looked_at_after_the_release_is_not_answered_before_it(check: str) -> None:
    story = held().hold().go_on()
    assert "release the pressure first" in story.refusal(Confirm(check))
    story.release()
    story.ask(Confirm(check))


def test_a_stuck_needle_names_the_way_out_and_another_gauge_is_one() -> None:
    story = held().hold().go_on()
    fact = f.PressureReleased(gauge=q(OK, "psi"), vent_quiet=True)
    assert "drain by the inlet, then fit another gauge" in story.refusal(Write(fact))
    another = story.session.plan.gauge.model_copy(update={"mark": "G-09"})
    story.write(f.GaugeFitted(mark="G-09", height=q(29.5, "in"), gauge=another))
    story.release()
    assert not story.session.under_pressure


def test_what_was_typed_for_a_zero_and_cannot_be_one_hides_no_pressure() -> None:
    story = Story(plan()).to("seal")
    story.zero(OK)
    story.ask(Waive("gauge_zeroed", "it stands there"))
    story.openings(0.5, 0.5, 0.5, 0.5)
    story.settle().go_on()
    story.turn("inlet", 1.0)
    story.read(OK)
    fact = f.PressureReleased(gauge=q(OK, "psi"), vent_quiet=True)
    assert "go on bleeding" in story.refusal(Write(fact))


def test_the_relief_valve_is_not_lifted_off_a_joint_under_pressure() -> None:
    story = held()
    lifted = next(r for r in story.records if getattr(r.fact, "check", "") == "relief_lifts")
    story.strike(lifted.seq, "another valve")
    assert "release it first" in story.refusal(Measure("relief_lifts", q(15, "psi")))
    story.release()
    story.ask(Measure("relief_lifts", q(15, "psi")))


def test_a_gauge_whose_cock_is_shut_shows_no_release() -> None:
    story = held()
    story.turn("cock", 0.0)
    fact = f.PressureReleased(gauge=q(0, "psi"), vent_quiet=True)
    assert "cock" in story.refusal(Write(fact))


def test_a_zero_that_was_mistyped_and_read_again_hides_no_pressure() -> None:
    story = Story(plan()).to("seal")
    story.zero(OK)
    story.to("hold").raise_to()
    fact = f.PressureReleased(gauge=q(OK, "psi"), vent_quiet=True)
    assert "go on bleeding" in story.refusal(Write(fact))


def test_a_gauge_with_a_large_zero_can_be_released() -> None:
    story = held(zero=1.5, psi=15.0)
    story.release(1.5)
    assert not story.session.under_pressure


def test_a_filled_pocket_is_under_pressure_though_neither_valve_nor_reading_was_written() -> None:
    story = Story(plan()).to("fill")
    story.ask(Waive("valves_open", "written on paper"))
    story.settle().go_on()
    assert story.session.under_pressure
    assert "release" in story.refusal(Reopen("seal", "to reseat"))


def test_a_late_reading_of_before_the_release_raises_no_pressure() -> None:
    story = readings(held(), OK)
    story.pass_time(60).release()
    story.pass_time(60).read(OK, ago=90, read_from="photo")
    assert not story.session.under_pressure


# --- the hold -----------------------------------------------------------------------------------


def test_no_hold_before_the_vent() -> None:
    assert "after the vent" in Story(plan()).to("fill").refusal(StartHold())


def test_no_hold_below_the_pressure_needed() -> None:
    story = Story(plan()).to("hold")
    story.read(12.0)
    assert "not at pressure: read 13.02 psi or more" in story.refusal(StartHold())


def test_no_hold_on_a_reading_from_before_the_release() -> None:
    story = readings(held(), OK, OK)
    story.pass_time(10).release()
    assert "not at pressure" in story.refusal(StartHold())


def test_no_hold_with_the_vent_open() -> None:
    story = held()
    story.turn("vent", 0.02)
    story.read(OK)
    assert "close it first" in story.refusal(StartHold())


def test_no_hold_before_it_has_settled() -> None:
    story = Story(plan()).to("hold")
    story.read(OK)
    story.turn("inlet", 0.0)
    assert "settle" in story.refusal(StartHold())
    story.ask(StartWait("settle"))
    story.pass_time(200)
    assert "1:40 min to wait" in story.refusal(StartHold())


def test_it_did_not_settle_before_it_was_at_pressure() -> None:
    story = Story(plan()).to("hold").pass_time(900)
    story.read(OK)
    assert "not at pressure then" in story.refusal(StartWait("settle", ago=600))


def test_after_going_over_the_cap_it_has_to_settle_afresh() -> None:
    story = Story(plan()).to("hold")
    story.read(OK)
    story.turn("inlet", 0.0)
    story.ask(StartWait("settle"))
    story.pass_time(300).read(15.5)
    story.pass_time(10).read(OK)
    assert "settle" in story.refusal(StartHold())
    story.ask(StartWait("settle"))
    story.pass_time(300)
    story.ask(StartHold())


def test_over_the_cap_before_the_hold_counts_though_it_was_written_down_in_it() -> None:
    story = Story(plan()).to("hold")
    story.read(OK)
    story.turn("inlet", 0.0)
    story.ask(StartWait("settle"))
    story.pass_time(400)
    story.settle(but=("credit", "looked_during", "looked_at_end"))
    story.ask(StartHold())
    story.pass_time(10).read(20.0, ago=100, read_from="photo")
    assert not settled(story, "settle")
    story.pass_time(10).read(20.0)
    assert not settled(story, "settle")


def test_air_is_looked_for_afresh_once_the_vent_stage_is_taken_up_again() -> None:
    story = back(held().hold(3), "vent")
    assert "type the reading" in story.refusal(Confirm("burp", "only water"))
    assert "vent it afresh" in story.refusal(StartWait("vent_flow", ago=600.0))
    story.pass_time(60).ask(StartWait("vent_flow", ago=60.0))
    story.closed_and_burped().ask(Confirm("burp", "only water"))


def test_what_a_gauge_shows_at_rest_is_no_pressure_to_burp_with() -> None:
    story = Story(plan()).to("vent", zero=1.5).closed()
    story.read(1.5)
    assert "type the reading" in story.refusal(Confirm("burp", "only water"))


# --- striking -----------------------------------------------------------------------------------


def test_stages_holds_verdicts_signatures_and_strikes_are_never_struck() -> None:
    story = leave(held().hold())
    noted = story.write(f.Noted(text="x"))
    story.strike(noted)
    story.ask(Announce())
    story.ask(Sign("R. Example"))
    kinds = {"session_opened", "stage_passed", "hold_started", "verdict_given", "signed",
             "struck", "pressure_released", "valve_turned"}  # fmt: skip
    for kind in kinds:
        seq = next(r.seq for r in story.records if r.fact.kind == kind)
        assert "only evidence and checks" in story.refusal(Strike(seq, "no"))


def test_a_record_is_struck_once_and_only_where_it_is() -> None:
    story = held()
    seq = story.read(OK)
    story.strike(seq)
    assert "already" in story.refusal(Strike(seq, "again"))
    assert "no record" in story.refusal(Strike(999, "none"))
    assert "why" in story.refusal(Strike(story.read(OK), ""))


def test_water_is_not_struck_on_the_practice_joint() -> None:
    planned = plan()
    practice = f.Practice(seed=1, fault="none", edition=1)
    story = Story(planned)
    story.session, story.records = Session(), []
    story.write(f.SessionOpened(plan=planned, checks=checks_for(planned), practice=practice))
    story.to("hold")
    added = story.write(f.VolumeAdded(volume=q(4, "mL"), after=q(3, "psi")))
    assert "moved water" in story.refusal(Strike(added, "oops"))
    story.strike(story.read(OK))


# --- whatever is asked --------------------------------------------------------------------------


OVERLONG = "x" * 2001


@pytest.mark.parametrize("command", [
    Confirm("marks", OVERLONG), Waive("faces", OVERLONG),
    Abandon(OVERLONG), StartWait("bond_cured", ago=-5.0),
    StartWait("bond_cured", ago=float("inf")), StartWait("bond_cured", ago=float("nan")),
])  # fmt: skip
def test_what_does_not_fit_into_a_record_is_refused_in_a_line(command: Command) -> None:
    assert "\n" not in Story(plan()).refusal(command)
