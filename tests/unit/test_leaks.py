"""Which sightings count, and what comes of them."""

from __future__ import annotations

from typing import Any, Final

import pytest

from engine import facts as f
from engine.asking.commands import Abandon, Announce, PassStage, Sign, StartHold, StartWait, Write
from engine.grades import Grade
from engine.judging.leaks import primary_leaks
from tests.plans import plan
from tests.story import Story
from tests.told import (
    back,
    beside,
    credited,
    finished,
    held,
    hold_of,
    leave,
    outcome,
    readings,
    rules,
)

OK = 13.5
MENDED = f.Mended(what="tee tightened")
STANDS: Final[dict[str, Any]] = {"procedure__may_stand": "2 h"}


@pytest.mark.parametrize("grade", ["drip", "pool", "run", "spray"])
def test_a_leak_past_the_primary_fails(grade: Grade) -> None:
    story = held()
    story.see("primary", grade)
    assert outcome(story) == "fail"
    assert rules(story) == {"primary_leak"}


@pytest.mark.parametrize("grade", ["damp", "beads"])
def test_damp_and_beads_are_no_leakage_and_stay_on_the_paper(grade: Grade) -> None:
    story = held().hold()
    story.see("primary", grade, clock=3.0)
    assert outcome(leave(story)) == "pass"
    assert "seen_harmless" in beside(story)


def test_a_procedure_may_call_beads_leakage() -> None:
    story = held(procedure__leak_from="beads")
    story.see("primary", "beads")
    assert outcome(story) == "fail"


def test_damp_that_comes_back_at_the_invert_is_leakage() -> None:
    story = held()
    story.see("primary", "damp", clock=6.0, returns=True)
    assert outcome(story) == "fail"


def test_damp_that_comes_back_high_up_is_not() -> None:
    story = held()
    story.see("primary", "damp", clock=2.0, returns=True)
    assert outcome(story) != "fail"


def test_what_was_seen_before_the_vent_was_closed_is_kept_and_does_not_count() -> None:
    story = Story(plan()).to("vent")
    story.see("primary", "run")
    story.to("hold").raise_to().hold()
    assert outcome(finished(story)) == "pass"
    assert "seen_outside" in beside(story)


def test_what_was_seen_after_the_release_is_kept_and_does_not_count() -> None:
    story = leave(held().hold())
    story.see("primary", "drip")
    assert outcome(story) == "pass"
    assert "seen_outside" in beside(story)


def test_a_leak_in_a_hold_after_a_release_counts_though_the_vent_stage_still_stood() -> None:
    story = held().pass_time(60)
    story.turn("vent", 1.0)
    story.pass_time(60).release()
    story.see("primary", "damp", clock=6.0, returns=True)
    assert outcome(story) == "undecided"
    story.turn("vent", 0.0)
    story.read(6.0)
    story.pass_time(30).read(OK)
    story.turn("inlet", 0.0)
    story.ask(StartWait("settle"))
    story.pass_time(1800).ask(StartHold())
    story.see("primary", "run")
    assert outcome(finished(story.hold())) == "fail"


def test_drips_while_the_pocket_is_filled_anew_do_not_count() -> None:
    story = held()
    back(story, "vent")
    story.see("primary", "run")
    story.read(5.0)
    story.to("hold").raise_to().hold()
    assert outcome(finished(story)) == "pass"


@pytest.mark.parametrize("held_again", [False, True])
def test_a_leak_counts_after_the_vent_stage_was_taken_up_again(held_again: bool) -> None:
    """From the first pressure on, the burp's, though the pocket was not filled anew."""
    story = held()
    back(story, "vent")
    if held_again:
        story.to("hold").raise_to()
    else:
        story.read(5.0)
    story.see("primary", "run")
    if not held_again:
        story.to("hold").raise_to()
    assert outcome(finished(story.hold())) == "fail"


def test_what_was_seen_under_pressure_counts_though_written_down_after_the_release() -> None:
    story = leave(held().hold().pass_time(60))
    story.pass_time(30)
    story.write(f.Sighted(place="primary", grade="drip", clock=6.0, ago=60.0))
    assert outcome(story) == "fail"


def test_what_was_seen_while_bleeding_counts() -> None:
    story = held().hold().go_on()
    story.turn("vent", 0.02)
    story.pass_time(5).read(6.0)
    story.see("primary", "drip")
    assert outcome(story) == "fail"


def test_a_struck_sighting_was_never_made() -> None:
    story = held()
    seen = story.see("primary", "drip")
    story.strike(seen, "it was the hose")
    assert outcome(story) == "undecided"
    assert story.session.struck(seen)


# --- a drip that dries --------------------------------------------------------------------------


def test_a_drip_that_may_stand_is_open_until_wiped_and_looked_dry() -> None:
    story = readings(held(**STANDS), OK, OK)
    story.see("primary", "drip")
    assert outcome(story) == "undecided"
    assert "drip_open" in rules(story)
    story.pass_time(30).look(dry=True, wiped=False)
    assert "drip_open" in rules(story)
    story.pass_time(30).look(dry=True, wiped=True)
    assert "drip_open" not in rules(story)


def test_credit_begins_again_when_the_drip_is_seen_to_have_dried() -> None:
    story = readings(held(**STANDS), *[OK] * 6)
    story.see("primary", "drip")
    story.pass_time(30).look(wiped=True)
    assert credited(story) == 0
    story.pass_time(30)
    assert credited(readings(story, OK, OK)) == pytest.approx(60)


def test_a_drip_that_dried_may_be_held_again_without_releasing() -> None:
    story = readings(held(**STANDS), *[OK] * 4)
    story.see("primary", "drip")
    story.pass_time(30).look(wiped=True)
    story.read(OK)
    story.ask(StartHold())
    story.hold()
    assert outcome(finished(story)) == "pass"
    assert {"drip_dried", "held_again"} <= beside(story)


def test_a_drip_that_dries_after_its_time_fails() -> None:
    story = held(**STANDS)
    story.see("primary", "drip")
    story.pass_time(7201).look(wiped=True)
    assert outcome(story) == "fail"


def test_a_drip_that_stands_past_its_time_fails_once_anything_is_written_down() -> None:
    story = held(**STANDS)
    story.see("primary", "drip")
    story.pass_time(7201).read(OK)
    assert outcome(story) == "fail"


def test_a_drip_that_still_stands_when_the_hold_is_passed_fails() -> None:
    story = held(**STANDS)
    story.see("primary", "drip")
    story.hold().go_on()
    assert outcome(story) == "fail"


def test_a_drip_that_has_to_dry_under_pressure_cannot_dry_after_the_release() -> None:
    story = held(**STANDS)
    story.see("primary", "drip")
    story.pass_time(60).release()
    assert outcome(story) == "fail"
    story.pass_time(60).look(wiped=True)
    assert outcome(story) == "fail"


def test_a_drip_may_dry_without_pressure_where_the_procedure_says_so() -> None:
    story = held(**STANDS, procedure__stand_under_pressure=False)
    story.see("primary", "drip")
    story.pass_time(60).release()
    story.pass_time(60).look(wiped=True)
    assert outcome(story) == "undecided"
    assert "drip_dried" in beside(story)


@pytest.mark.parametrize("grade", ["pool", "run", "spray"])
def test_more_than_a_drip_fails_at_once_whatever_may_stand(grade: Grade) -> None:
    story = held(**STANDS)
    story.see("primary", grade)
    assert outcome(story) == "fail"


# --- reseated -----------------------------------------------------------------------------------


def test_after_reseating_the_leak_before_it_is_listed_and_no_longer_counts() -> None:
    story = held()
    story.see("primary", "run")
    assert outcome(story) == "fail"
    story.pass_time(30)
    back(story, "seal")
    story.to("hold").raise_to().hold()
    assert outcome(finished(story)) == "pass"
    assert "seen_before_reseating" in beside(story)


def test_a_leak_before_reseating_does_not_count_though_written_down_after_it() -> None:
    story = held().pass_time(300)
    back(story, "seal")
    story.write(f.Sighted(place="primary", grade="run", clock=6.0, ago=120.0))
    assert not primary_leaks(story.session, story.now)


# --- the rig's ----------------------------------------------------------------------------------


def test_a_leak_past_the_secondary_is_no_reason() -> None:
    story = held().hold()
    story.see("secondary", "run")
    assert outcome(finished(story)) == "pass"
    assert "seen_harmless" in beside(story)


def test_a_fitting_that_cannot_wet_the_joint_is_no_reason() -> None:
    story = held().hold()
    story.see("fitting", "drip")
    assert outcome(finished(story)) == "pass"


def test_a_fitting_that_wets_the_joint_keeps_it_open_and_then_spoils_it() -> None:
    story = held()
    story.see("fitting", "drip", wets=True)
    story.hold()
    assert "rig_leak_open" in rules(story)
    story.go_on()
    assert outcome(story) == "invalid"
    assert rules(story) == {"rig_leak"}


def test_mending_alone_does_not_clear_the_hold_it_spoiled() -> None:
    story = held()
    story.see("port", "drip", wets=True)
    story.hold().pass_time(30)
    story.release()
    story.zero()
    story.write(f.Mended(what="nipple resealed"))
    assert outcome(story) == "undecided"
    assert "rig_leak_open" in rules(story)


def test_a_mended_fitting_is_vented_and_held_anew() -> None:
    story = held()
    story.see("fitting", "drip", wets=True)
    story.pass_time(60)
    assert "release" in story.refusal(Write(MENDED))
    story.turn("vent", 1.0)
    story.release()
    assert "zero" in story.refusal(Write(MENDED))
    story.zero()
    story.write(MENDED)
    story.turn("vent", 0.0)
    story.read(OK)
    assert "vent and burp" in story.refusal(StartHold())
    back(story, "vent")
    story.to("hold").raise_to().hold()
    assert outcome(finished(story)) == "pass"
    assert hold_of(story).span.seq > story.session.water.mended[-1].seq


def test_an_abandoned_test_with_a_leaking_rig_is_invalid() -> None:
    story = held()
    story.see("fitting", "run", wets=True)
    story.ask(Abandon("cannot be mended today"))
    assert outcome(story) == "invalid"


def test_a_failed_hold_may_be_left_at_once_and_the_test_closed() -> None:
    story = readings(held(), OK, OK)
    story.see("primary", "run")
    story.ask(PassStage("hold"))
    story.release()
    story.zero()
    story.settle(but=("announced", "signed", "needle_fell"))
    story.ask(Announce())
    story.ask(Sign("R. Example"))
    story.ask(PassStage("verdict"))
    assert outcome(story) == "fail"
    assert story.session.closed
