"""What the third line of the screen says is needed now."""

from __future__ import annotations

from typing import Any, Final

from tests.story import Story
from tests.told import gauge, held
from tui.screens.now_view import needed

ALIKE: Final[dict[str, Any]] = {"gauge": None, "gauges": [gauge("G-07"), gauge("G-08")]}


def now(story: Story) -> str:
    return needed(story.session, story.now)[0]


def test_nobody_is_told_to_pump_where_the_readings_are_good() -> None:
    """Two gauges count alike: their first two readings earn nothing yet, and are good."""
    story = held(**ALIKE)
    story.read(13.5, mark="G-07")
    assert "Read gauge G-08 too" in now(story)
    story.read(13.5, mark="G-08")
    assert "Top up" not in now(story)
    story.pass_time(60).read(13.5, mark="G-07")
    story.read(13.5, mark="G-08")
    assert "Next reading" in now(story)
    story.pass_time(60).read(12.0, mark="G-07")
    assert "NO CREDIT" in now(story) and "Top up" in now(story)


def test_an_inlet_that_stands_open_in_the_hold_is_the_first_thing_to_shut() -> None:
    story = held()
    story.read(13.5)
    story.turn("inlet", 0.2)
    assert "THE INLET IS OPEN" in now(story)
    story.turn("inlet", 0.0)
    assert "INLET" not in now(story)


def test_a_drip_is_told_with_what_a_release_would_cost() -> None:
    strict = held(procedure__may_stand="2 h")
    strict.read(13.5)
    strict.see("primary", "drip")
    assert now(strict) == "DRIP at 6 o'clock: wipe it by pole, look (l w); a release fails it"
    mild = held(procedure__may_stand="2 h", procedure__stand_under_pressure=False)
    mild.read(13.5)
    mild.see("primary", "drip")
    assert "release (R), then wipe" in now(mild)


def test_a_leak_asks_for_no_release_that_was_made() -> None:
    story = held()
    story.read(13.5)
    story.see("primary", "run")
    assert now(story).endswith("Go on (n), then release")
    story.turn("vent", 1.0)
    story.release()
    assert now(story).endswith("It fails: go on (n)")
