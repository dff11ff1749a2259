"""Stories told up to a point, and what their sessions say."""

from __future__ import annotations

from typing import Any

from engine import facts as f
from engine.asking.commands import Reopen
from engine.checks import Stage
from engine.judging.holding import Holding, holding
from engine.judging.settling import standing
from engine.judging.verdict import verdict
from engine.units import q
from tests.plans import PIPE, plan
from tests.story import Story


def held(zero: float = 0.0, psi: float = 13.5, **changed: Any) -> Story:
    """At pressure, settled, and the hold just started."""
    return Story(plan(**changed)).to("hold", zero).raise_to(psi)


def hold_of(story: Story) -> Holding:
    hold = holding(story.session)
    assert hold is not None
    return hold


def credited(story: Story) -> float:
    """Seconds of credit."""
    return hold_of(story).credit.seconds


def readings(story: Story, *psi: float, every: float = 60.0) -> Story:
    """One now, and one after each interval."""
    for number, value in enumerate(psi):
        if number:
            story.pass_time(every)
        story.read(value)
    return story


def outcome(story: Story) -> str:
    return verdict(story.session).outcome


def rules(story: Story) -> set[str]:
    """The rules the verdict rests on."""
    return {reason.rule for reason in verdict(story.session).reasons}


def beside(story: Story) -> set[str]:
    return {reason.rule for reason in verdict(story.session).beside}


def settled(story: Story, check: str) -> bool:
    known = story.session.check(check)
    assert known is not None
    return standing(story.session, known, story.now).settled


def top_up(before: float, after: float = 13.5) -> f.ToppedUp:
    return f.ToppedUp(before=q(before, "psi"), after=q(after, "psi"))


def finished(story: Story) -> Story:
    """From a complete hold to the signatures; bled, released, zeroed."""
    return story.go_on().end()


def leave(story: Story, zero: float = 0.0) -> Story:
    """The hold passed, bled, released, zeroed, and all answered but verdict and signature."""
    story.go_on()
    story.read(6.0)
    story.release()
    for gauge in story.session.plan.gauges:
        story.zero(zero, gauge.mark)
    return story.settle(but=("announced", "signed"))


def back(story: Story, stage: Stage) -> Story:
    """Released, zeroed, and back to a stage."""
    story.turn("vent", 1.0)
    story.pass_time(60).release()
    for gauge in story.session.plan.gauges:
        story.zero(0.0, gauge.mark)
    story.ask(Reopen(stage, "once more"))
    return story


def gauge(mark: str, **changed: Any) -> dict[str, Any]:
    """A gauge as a plan writes it."""
    return {**PIPE["gauge"], "mark": mark, **changed}
