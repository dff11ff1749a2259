"""Keys that come in one piece, as after a stall, are taken one by one and in their order."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from textual import events

from engine import facts as f
from tests.faults.driven import Hands, OnDisk, going_on, pressed
from tests.story import Story
from tui.screens.bench import BenchScreen

ONE: Final = "one-1"


def begun(folder: Path) -> OnDisk:
    """In the hold, at pressure."""
    story = Story().to("hold").raise_to()
    story.read(13.5)
    going_on(folder, ONE, story)
    return OnDisk(folder, clock=Hands(story.stamp))


def added(program: OnDisk, count: int) -> list[f.Fact]:
    """The last records; just so many came of what was pressed."""
    story = Story().to("hold").raise_to()
    records = program.records(ONE)
    assert len(records) == len(story.records) + 1 + count
    return [record.fact for record in records[-count:]]


async def test_readings_are_read_one_after_the_other(tmp_path: Path) -> None:
    program = begun(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter", "13.5", "enter", "13.6", "enter", "13.7", "enter")
        read = [fact for fact in added(program, 3) if isinstance(fact, f.PressureRead)]
        assert [fact.pressure.magnitude for fact in read] == [13.5, 13.6, 13.7]


async def test_an_answer_is_never_part_of_the_next_one(tmp_path: Path) -> None:
    program = begun(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        wide = ["0.4", "0.5", "0.6", "0.7"]
        await pressed(pilot, "enter", "o", *(key for each in wide for key in (each, "enter")))
        found = [fact for fact in added(program, 4) if isinstance(fact, f.OpeningMeasured)]
        assert [fact.opening.magnitude for fact in found] == [0.4, 0.5, 0.6, 0.7]


async def test_choices_and_figures_mix(tmp_path: Path) -> None:
    program = begun(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter", "spd6", "enter", "vvo", "ly")
        assert added(program, 3) == [
            f.Sighted(place="primary", grade="drip", clock=6.0, ago=0.0),
            f.ValveTurned(which="vent", share=1.0),
            f.Looked(dry=True, look_from="camera", ago=0.0),
        ]


async def test_what_comes_behind_a_screen_that_is_left_is_for_the_one_before_it(
    tmp_path: Path,
) -> None:
    program = begun(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter", "p", "escape", "13.6", "enter")
        [read] = added(program, 1)
        assert isinstance(read, f.PressureRead) and read.pressure.magnitude == 13.6


async def test_leaving_twice_leaves_once_from_each_screen(tmp_path: Path) -> None:
    program = begun(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter", "q")
        assert isinstance(program.app.screen, BenchScreen)
        await pressed(pilot, "enter", "q", "q")
    assert program.app._exception is None
    assert program.store.open(ONE).records() == list(program.records(ONE))


async def test_what_is_pasted_stands_there_once(tmp_path: Path) -> None:
    program = begun(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "n")
        program.app.screen.post_message(events.Paste("no/such.toml"))
        await pilot.pause()
        assert "no/such.toml_" in program.text
        assert program.text.count("such") == 1
