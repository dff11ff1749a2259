"""How a test ends: announced, signed, abandoned, taken up again."""

from __future__ import annotations

import pytest

from engine import facts as f
from engine.asking.commands import (
    Abandon,
    Amend,
    Announce,
    Confirm,
    PassStage,
    Reopen,
    Sign,
    StartHold,
    Waive,
    Write,
)
from engine.checks import Stage
from tests.plans import plan
from tests.story import Story
from tests.told import finished, held, leave, outcome, readings

OK = 13.5


@pytest.mark.parametrize("stage", ["prepare", "seal", "fill", "vent", "hold", "verdict"])
def test_abandoning_is_possible_in_every_stage_and_leads_through_the_release(
    stage: Stage,
) -> None:
    story = Story(plan()).to(stage)
    story.ask(Abandon("thunderstorm"))
    if story.session.under_pressure:
        assert not story.session.closed
        assert "release" in story.refusal(PassStage(stage))
        story.release()
    assert story.session.closed
    assert outcome(story) == "undecided"
    story.ask(Announce())
    story.ask(Sign("R. Example"))


def test_what_was_abandoned_does_not_go_on() -> None:
    story = readings(held(), OK)
    story.ask(Abandon("thunderstorm"))
    assert "abandoned" in story.refusal(StartHold())
    story.see("primary", "run")
    assert outcome(story) == "fail"


def test_a_verdict_is_announced_after_the_release_and_signed_after_that() -> None:
    story = held().hold().go_on()
    assert "release it first" in story.refusal(Announce())
    assert "no verdict to sign" in story.refusal(Sign("R. Example"))


def test_a_witness_alone_does_not_sign_a_test_off() -> None:
    story = leave(held().hold())
    story.ask(Announce())
    story.ask(Sign("W. Example", witness=True))
    assert "Sign" in story.refusal(PassStage("verdict"))
    story.ask(Sign("R. Example"))
    story.go_on()
    assert story.session.closed


def test_a_closed_test_takes_a_witness_and_nothing_else() -> None:
    story = finished(held().hold())
    story.ask(Sign("W. Example", witness=True))
    assert story.session.closing.signatures[-1].verdict == story.session.closing.verdicts[-1].seq
    assert "amend" in story.refusal(Confirm("no_crack"))


def test_only_a_closed_test_is_amended() -> None:
    assert "still open" in held().refusal(Amend("a slip"))


def test_after_a_verdict_a_retest_is_a_test_of_its_own() -> None:
    story = leave(held().hold())
    story.ask(Announce())
    assert "follows this one" in story.refusal(Reopen("seal", "once more"))


def test_an_amended_test_is_open_until_it_is_signed_again() -> None:
    story = finished(held().hold())
    assert story.session.closed
    assert "amend" in story.refusal(Write(f.Noted(text="wrong lot")))
    story.ask(Amend("a look was entered for the wrong joint"))
    assert not story.session.closed
    story.strike(story.session.evidence.looks[-1].seq, "wrong joint")
    assert outcome(story) == "undecided"
    assert "announce it again" in story.refusal(Sign("W. Example"))
    assert story.refusal(PassStage("verdict"))
    story.ask(Announce())
    story.ask(Sign("R. Example"))
    assert "Look all round" in story.refusal(PassStage("verdict"))
    story.ask(Waive("looked_at_end", "too late for it"))
    story.ask(PassStage("verdict"))
    assert story.session.closed
    assert outcome(story) == "undecided"


def test_an_abandoned_test_that_is_amended_is_abandoned_again_to_close_it() -> None:
    story = readings(held(), OK)
    seen = story.see("primary", "run")
    story.ask(Abandon("leaks"))
    story.pass_time(60).release()
    story.ask(Amend("the leak was on the joint beside it"))
    assert not story.session.closed
    story.strike(seen, "wrong joint")
    assert "abandoned" in story.refusal(StartHold())
    story.ask(Announce())
    story.ask(Abandon("amended"))
    assert story.session.closed
    assert outcome(story) == "undecided"
