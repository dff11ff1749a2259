"""From the first pressure on: leaks count, and nothing is handled before a release."""

from __future__ import annotations

from engine import facts as f
from engine import present
from engine.asking.commands import Confirm
from engine.judging.verdict import verdict
from engine.units import q
from tests.plans import PIPE
from tests.story import Story


def test_a_leak_at_the_burp_fails_the_joint_though_the_hold_was_dry() -> None:
    story = Story().to("vent")
    story.closed_and_burped()
    story.pass_time(5)
    story.see("primary", "run", clock=3.0)
    story.settle().go_on()
    story.to("verdict")
    assert verdict(story.session).outcome == "fail"


def test_what_was_seen_before_there_was_pressure_does_not_count() -> None:
    story = Story().to("vent")
    story.see("primary", "run", clock=3.0)
    story.pass_time(60)
    story.to("verdict").end()
    assert verdict(story.session).outcome == "pass"


def test_a_check_struck_in_the_hold_is_not_done_again_under_pressure() -> None:
    story = Story().to("hold").raise_to()
    done = story.session.checking.settled["line_bled"].seq
    story.strike(done, "ticked too early")
    assert story.refusal(Confirm("line_bled")) == present.NOT_UNDER_PRESSURE
    story.release()
    assert "line_bled" not in story.session.checking.settled
    story.ask(Confirm("line_bled"))


def test_a_gauge_replaced_under_its_own_mark_is_what_it_is_said_to_be() -> None:
    story = Story()
    finer = story.session.plan.gauge.model_copy(update={"graduation": q(0.1, "psi")})
    assert PIPE["gauge"]["mark"] == finer.mark
    story.write(f.GaugeFitted(mark=finer.mark, height=q(29.5, "in"), gauge=finer))
    assert story.session.plan.gauge.graduation == q(0.1, "psi")
