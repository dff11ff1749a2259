"""No look, no pass: which looks count, and which do not."""

from __future__ import annotations

from engine.asking.commands import PassStage
from tests.plans import plan
from tests.story import Story
from tests.told import held, hold_of, leave, outcome, readings, rules, settled

OK = 13.5


def test_no_look_no_pass() -> None:
    story = readings(held(), *[OK] * 11)
    assert {"not_looked_during", "not_looked_at_end"} <= rules(story)


def test_a_look_during_the_hold_is_not_one_at_its_end() -> None:
    story = readings(held(), *[OK] * 5)
    story.look()
    story.pass_time(60)
    readings(story, *[OK] * 6)
    assert "not_looked_at_end" in rules(story)
    assert "not_looked_during" not in rules(story)


def test_one_look_at_the_end_does_not_serve_for_both() -> None:
    story = readings(held(), *[OK] * 11)
    story.look()
    assert "not_looked_during" in rules(story)
    assert not settled(story, "looked_during")
    assert settled(story, "looked_at_end")


def test_a_key_that_was_pressed_twice_looks_once() -> None:
    story = readings(held(), *[OK] * 11)
    story.look()
    story.pass_time(2).look()
    story.pass_time(2).read(OK)
    assert "not_looked_during" in rules(story)
    story.pass_time(58).look()
    story.read(OK)
    assert rules(story) == {"unfinished"}


def test_in_a_hold_no_longer_than_the_longest_gap_one_look_serves_for_both() -> None:
    story = readings(held(procedure__hold="2 min"), OK, OK, OK)
    story.look()
    assert rules(story) == {"unfinished"}


def test_the_look_at_the_end_needs_a_good_reading_after_it() -> None:
    story = readings(held(), *[OK] * 6)
    story.look()
    story.pass_time(60)
    readings(story, *[OK] * 5)
    story.pass_time(30).look()
    assert "no_reading_after_look" in rules(story)
    assert "read the gauge once more" in story.refusal(PassStage("hold"))
    story.pass_time(30).read(OK)
    assert rules(story) == {"unfinished"}


def test_a_look_after_the_release_is_no_look_at_the_end() -> None:
    story = readings(held(), *[OK] * 6)
    story.look()
    story.pass_time(60)
    readings(story, *[OK] * 5)
    story.release()
    story.pass_time(10).look()
    assert "not_looked_at_end" in rules(story)


def test_a_look_while_the_pressure_was_low_does_not_count() -> None:
    story = held(procedure__continuity="cumulative")
    readings(story, OK, OK, 12.0)
    story.pass_time(20).look()
    story.pass_time(40)
    readings(story, *[OK] * 10)
    story.look()
    assert hold_of(story).complete
    assert "not_looked_during" in rules(story)


def test_looks_may_not_be_farther_apart_than_the_procedure_says() -> None:
    story = held(procedure__look_every="4 min").hold()
    assert "looks_too_far_apart" in rules(story)
    story = held(procedure__look_every="5 min").hold()
    assert rules(story) == {"unfinished"}


def test_a_wet_look_without_a_sighting_is_undecided() -> None:
    story = held().hold()
    wet = story.look(dry=False)
    assert "wet_unexplained" in rules(story)
    story.see("primary", "damp")
    assert rules(story) == {"unfinished"}
    story.strike(wet)
    assert rules(story) == {"unfinished"}


def test_a_wet_look_while_it_settles_is_not_made_good_by_dry_ones_in_the_hold() -> None:
    story = Story(plan()).to("hold")
    story.read(OK)
    story.look(dry=False)
    assert rules(story.raise_to().hold()) == {"unfinished", "wet_unexplained"}


def test_what_runs_out_after_the_release_is_no_wet_look() -> None:
    story = leave(held().hold())
    story.look(dry=False)
    assert outcome(story) == "pass"
