"""Clocks that are set, machines that sleep or start anew: a hold is as long as it was."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest

from engine.judging.holding import Holding, holding
from engine.judging.verdict import verdict
from tests.faults.driven import Hands, OnDisk, going_on, pressed
from tests.story import Story
from tui.screens.run import RunScreen

ONE: Final = "one-1"


def in_hold() -> Story:
    story = Story().to("hold").raise_to()
    story.read(13.5)
    return story


def hold(program: OnDisk) -> Holding:
    found = holding(program.session(ONE))
    assert found is not None
    return found


def begun(folder: Path) -> OnDisk:
    """A hold that began now, one good reading in it."""
    story = in_hold()
    going_on(folder, ONE, story)
    return OnDisk(folder, clock=Hands(story.stamp))


@pytest.mark.parametrize("by", [3600.0, -7200.0, 40.0], ids=["on", "back", "by a little"])
async def test_a_clock_that_is_set_changes_no_hold_and_is_marked(tmp_path: Path, by: float) -> None:
    program = begun(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter")
        program.clock.pass_time(20)
        program.clock.set_wall(by)
        program.clock.pass_time(40)
        await pressed(pilot, "13.5", "enter")
        program.clock.pass_time(60)
        await pressed(pilot, "13.5", "enter")
        assert hold(program).credit.seconds == pytest.approx(120)
        assert "2:00 min" in program.text and "Next reading in 1:00 min" in program.text
        await pressed(pilot, "tab")
        assert "(clock set before)" in program.text
    [told] = [r for r in verdict(program.session(ONE)).beside if r.rule == "clock_set"]
    assert told.records == (program.session(ONE).seq - 1,)


async def test_small_corrections_of_the_clock_are_not_worth_a_mark(tmp_path: Path) -> None:
    program = begun(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter")
        for _ in range(5):
            program.clock.pass_time(60)
            program.clock.set_wall(0.4)
            await pressed(pilot, "13.5", "enter")
    assert program.session(ONE).clock_set == ()
    assert hold(program).credit.seconds == pytest.approx(300)


@pytest.mark.parametrize(("asleep", "credit"), [(100.0, 120.0), (300.0, 0.0)])
async def test_time_asleep_is_time_that_passed(
    tmp_path: Path, asleep: float, credit: float
) -> None:
    """The longest gap is two minutes: a nap within it counts, and a longer one ends the run."""
    program = begun(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter")
        program.clock.pass_time(asleep)
        await pilot.pause(0.7)
        assert ("Gap too long" in program.text) == (credit == 0)
        program.clock.pass_time(20)
        await pressed(pilot, "13.5", "enter")
        assert hold(program).credit.seconds == pytest.approx(credit)


async def test_a_machine_that_starts_anew_gives_no_credit_across_and_says_so(
    tmp_path: Path,
) -> None:
    program = begun(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter")
        program.clock.pass_time(60)
        await pressed(pilot, "13.5", "enter", "q")
    program.clock.start_anew(off=30)
    again = OnDisk(tmp_path, clock=program.clock)
    async with again.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter")
        assert isinstance(again.app.screen, RunScreen) and "started anew" in again.text
        await pressed(pilot, "13.5", "enter")
        assert hold(again).credit.seconds == 0
        program.clock.pass_time(60)
        await pressed(pilot, "13.5", "enter")
        assert hold(again).credit.seconds == pytest.approx(60)
        await pressed(pilot, "tab")
        assert "(restart before)" in again.text
    assert "machine_restarted" in {r.rule for r in verdict(again.session(ONE)).beside}


async def test_a_wait_ends_by_the_counter_whatever_the_wall_says(tmp_path: Path) -> None:
    story = Story().to("hold")
    story.read(13.5)
    story.turn("inlet", 0.0)
    story.settle(but=("settle", "credit", "looked_during", "looked_at_end"))
    going_on(tmp_path, ONE, story)
    program = OnDisk(tmp_path, clock=Hands(story.stamp))
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter", "enter")
        program.clock.set_wall(-3600)
        program.clock.pass_time(299)
        await pilot.pause(0.7)
        assert "Let it settle at pressure, topped up as needed: 1 s to wait" in program.text
        program.clock.pass_time(1)
        await pilot.pause(0.7)
        assert "START THE HOLD" in program.lines[2]
