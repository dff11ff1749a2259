"""Trapped air known from measured volumes, and what it does to a verdict."""

from __future__ import annotations

from typing import Any

import pytest

from engine import facts as f
from engine import present
from engine.asking.commands import Reopen
from engine.judging.trapped import over_limit, trapped
from engine.judging.verdict import verdict
from engine.units import amount, q
from tests.plans import plan
from tests.story import Story
from tests.told import finished, rules

LINEAR, ATMOSPHERE = 0.9, 14.696
CROWN = 0.5 * 0.0361
"""The gauge of the plan hangs half an inch below the crown: it shows that much more."""


def put_in(psi: float, air: float) -> float:
    """mL up to a pressure, by the law of the worked example."""
    return LINEAR * psi + air * psi / (psi + ATMOSPHERE)


def pumped(air: float, start: float = 0.0, **changed: Any) -> Story:
    """Vented for ten seconds, then pumped up from `start` in measured steps of about 2 psi."""
    story = Story(plan(gauge__graduation="0.1 psi", **changed)).to("hold")
    story.turn("inlet", 0.0)
    story.turn("vent", 1.0)
    story.pass_time(10).turn("vent", 0.0)
    if start:
        story.read(start)
    before = put_in(start, air)
    for psi in (2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 13.5):
        if psi <= start:
            continue
        now = put_in(psi, air)
        story.pass_time(15).write(
            f.VolumeAdded(volume=q(now - before, "mL"), after=q(psi + CROWN, "psi"))
        )
        before = now
    return story


def share(story: Story) -> float | None:
    found = trapped(story.session)
    return None if found is None or found.share is None else amount(found.share, "percent")


def test_the_air_that_was_put_in_is_found() -> None:
    found = share(pumped(air=60.0))
    # pi/4 (60^2 - 59^2) in2 by 2.25 in, in mL
    assert found == pytest.approx(100 * 60.0 / (93.462 * 2.25 * 16.387), rel=0.01)


def test_it_is_found_from_a_start_above_zero_too() -> None:
    found = share(pumped(air=60.0, start=4.0))
    assert found == pytest.approx(share(pumped(air=60.0)), rel=0.1)


def test_a_cracked_vent_begins_the_count_anew() -> None:
    story = pumped(air=60.0)
    story.turn("vent", 0.1)
    story.pass_time(5).turn("vent", 0.0)
    for psi in (5.0, 10.0):
        story.pass_time(15).write(f.VolumeAdded(volume=q(9, "mL"), after=q(psi, "psi")))
    found = trapped(story.session)
    assert found is not None
    last = max(v.seq for v in story.session.water.turns)
    assert max(found.records) < last, "two points are too few: the earlier ones stand"


def test_two_points_say_nothing() -> None:
    story = Story(plan()).to("hold")
    for psi in (6.0, 13.0):
        story.write(f.VolumeAdded(volume=q(9, "mL"), after=q(psi, "psi")))
    assert trapped(story.session) is None


def test_venting_again_forgets_the_air() -> None:
    story = pumped(air=60.0)
    story.release()
    story.ask(Reopen("vent", "air suspected"))
    assert trapped(story.session) is None


def held_with(air: float, **changed: Any) -> Story:
    return finished(pumped(air, **changed).raise_to().hold())


def test_known_air_above_the_limit_is_undecided() -> None:
    story = held_with(60.0, procedure__air_limit="1 %")
    assert verdict(story.session).outcome == "undecided"
    assert rules(story) == {"air_over_limit"}
    reason = verdict(story.session).reasons[0]
    sentence = present.reason(story.session, reason)
    assert "1 %" in sentence and "vent again" in sentence
    assert reason.records


def test_air_within_the_limit_or_without_one_changes_nothing() -> None:
    assert verdict(held_with(60.0, procedure__air_limit="4 %").session).outcome == "pass"
    assert verdict(held_with(60.0).session).outcome == "pass"
    assert over_limit(held_with(60.0).session) is None


def test_air_that_the_points_cannot_tell_is_not_held_against_the_joint() -> None:
    story = Story(plan(procedure__air_limit="0.1 %")).to("hold")
    assert trapped(story.session) is None and over_limit(story.session) is None
