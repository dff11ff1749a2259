"""What the screen does when the disk says no: says so, keeps what was typed, goes on after."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Final

import pytest
from textual import events
from textual.pilot import Pilot

from engine import facts as f
from store.shelf import Shelf
from tests.conducting import holdwater, plan_file
from tests.faults.driven import FullDisk, Hands, OnDisk, going_on, pressed
from tests.ledger import shelf
from tests.story import Story
from tests.terminal import Terminal
from tui.screens.bench import BenchScreen
from tui.screens.replay import ReplayScreen
from tui.screens.run import RunScreen

ONE: Final = "one-1"
NO: Final = "not written down: the disk is full"


def in_hold() -> Story:
    story = Story().to("hold").raise_to()
    story.read(13.5)
    return story


def opened(folder: Path, story: Story, disk: FullDisk) -> OnDisk:
    """A program whose bench shows the one test that goes on, its clock at the test's."""
    going_on(folder, ONE, story)
    return OnDisk(folder, disk, Hands(story.stamp))


# Each: the keys, and those with which it is tried again; then what must stand in the record.
TYPED: Final = [
    (["13.7", "enter"], ["enter"], "Read 13.7 psi"),
    (["d", "13.6", "enter", "1 s", "enter", "w", "ctrl+u", "M. Example", "enter"],
     ["enter", "enter", "w", "ctrl+u", "M. Example", "enter"], "Read 13.6 psi"),
    (["u", "13.25", "enter", "13.75", "enter", "5 mL", "enter"],
     ["enter", "enter", "enter"], "13.25 psi"),
    (["i", "it rains", "enter"], ["enter"], "it rains"),
    (["h", "B. Other", "enter"], ["h", "enter"], "B. Other"),
    (["s", "s", "d", "4:30", "enter"], ["s", "s", "d", "enter"], "drip"),
    (["D", "y", "a rod slipped", "enter"], ["D", "y", "enter"], "a rod slipped"),
    (["x", "enter", "misread", "enter"], ["enter", "enter"], "misread"),
    (["t", "w", "12 degC", "enter"], ["enter"], "12"),
]  # fmt: skip


@pytest.mark.parametrize(("keys", "again", "says"), TYPED, ids=lambda v: "".join(v)[:12])
async def test_what_was_typed_is_kept_until_there_is_room(
    tmp_path: Path, keys: list[str], again: list[str], says: str
) -> None:
    disk = FullDisk()
    program = opened(tmp_path, in_hold(), disk)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter")
        program.clock.pass_time(60)
        before = program.session(ONE)
        disk.full = ("journal",)
        await pressed(pilot, *keys)
        assert NO in program.text
        assert program.session(ONE) == before
        await _other_things_still_work(pilot, program)
        disk.full = ()
        await pressed(pilot, *again)
        assert program.session(ONE).seq == before.seq + 1
        assert NO not in program.text
        await pressed(pilot, "escape", "tab")
        assert says in program.text


async def _other_things_still_work(pilot: Pilot[None], program: OnDisk) -> None:
    """A second is drawn while the disk is full."""
    program.clock.pass_time(1)
    await pilot.pause()
    assert isinstance(program.app.screen, RunScreen)


async def test_a_test_that_cannot_be_begun_is_begun_once_there_is_room(tmp_path: Path) -> None:
    disk = FullDisk()
    program = OnDisk(tmp_path, disk)
    plan = plan_file(tmp_path / "plan.toml")
    async with program.app.run_test(size=(80, 24)) as pilot:
        disk.full = ("journal",)
        await planned(pilot, program, plan)
        await pressed(pilot, "enter", "enter")
        assert NO in program.text and isinstance(program.app.screen, BenchScreen)
        assert program.bench.rows() == []
        disk.full = ()
        await pressed(pilot, "enter", "enter")
        assert isinstance(program.app.screen, RunScreen)
        [row] = program.bench.rows()
        assert isinstance(program.records(row["session"])[0].fact, f.SessionOpened)
        assert program.store.live() == [row["session"]]


async def test_a_list_that_cannot_be_written_costs_no_record_and_is_said(tmp_path: Path) -> None:
    disk = FullDisk()
    program = OnDisk(tmp_path, disk)
    plan = plan_file(tmp_path / "plan.toml")
    async with program.app.run_test(size=(80, 24)) as pilot:
        disk.full = ("index",)
        await planned(pilot, program, plan)
        await pressed(pilot, "enter", "enter")
        assert isinstance(program.app.screen, RunScreen)
        assert f"every record is kept; the list is behind: {NO}" in flowing(program)
        await pressed(pilot, "i", "kept", "enter", "q")
        assert isinstance(program.app.screen, BenchScreen)
        assert f"every record is kept; the list is behind: {NO}" in flowing(program)
    [name] = program.store.live()
    assert program.session(name).seq == 2
    again = OnDisk(tmp_path, mended=True)
    async with again.app.run_test(size=(80, 24)) as pilot:
        await _until(pilot, again, "1 going on")


async def test_what_cannot_be_sealed_stays_open_and_is_sealed_once_there_is_room(
    tmp_path: Path,
) -> None:
    disk = FullDisk()
    story = Story().to("verdict").end()
    program = opened(tmp_path, story, disk)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter")
        disk.full = (f"{ONE}.json",)
        await pressed(pilot, "q")
        assert f"{ONE} is kept, but not sealed: {NO}" in flowing(program)
        assert (program.store.live(), program.store.sealed()) == ([ONE], [])
        disk.full = ()
        await pressed(pilot, "enter", "q")
        assert "not sealed" not in program.text
    assert (program.store.live(), program.store.sealed()) == ([], [ONE])
    assert [r.fact for r in program.records(ONE)] == [r.fact for r in story.records]


async def test_what_a_program_that_died_left_closed_is_sealed_at_the_next_start(
    tmp_path: Path,
) -> None:
    going_on(tmp_path, ONE, Story().to("verdict").end())
    program = OnDisk(tmp_path, mended=True)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await _until(pilot, program, "0 going on, 1 past")
        while program.store.live():
            await pilot.pause(0.05)
    assert program.store.sealed() == [ONE]


async def test_what_another_program_still_has_open_is_left_to_it(tmp_path: Path) -> None:
    going_on(tmp_path, ONE, Story().to("verdict").end())
    other = shelf(tmp_path).open(ONE)
    program = OnDisk(tmp_path, mended=True)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await _until(pilot, program, "0 going on, 1 past")
        await pilot.pause(0.3)
        assert "to look into" not in program.text
    assert (program.store.live(), program.store.sealed()) == ([ONE], [])
    assert not other.closed


@pytest.mark.parametrize("closed", [False, True], ids=["open", "closed"])
async def test_a_damaged_test_is_shown_up_to_its_damage_and_not_gone_on_with(
    tmp_path: Path, closed: bool
) -> None:
    records = going_on(tmp_path, ONE, Story().to("verdict").end() if closed else in_hold())
    going_on(tmp_path, "two-2", in_hold())
    path = tmp_path / "store" / "live" / f"{ONE}.journal"
    if closed:
        shelf(tmp_path).seal(ONE)
        path = tmp_path / "store" / "sessions" / f"{ONE}.json"
    lines = path.read_bytes().split(b"\n")
    lines[len(records) - 5] = lines[len(records) - 5].replace(b"R. Example", b"S. Example")
    path.write_bytes(b"\n".join(lines))
    spoilt = path.read_bytes()
    shelf(tmp_path).rebuild({})
    program = OnDisk(tmp_path, mended=True)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await _until(pilot, program, "DAMAGED", "1 going on, 1 past", "is damaged at record")
        await pressed(pilot, "down", "enter")
        assert isinstance(program.app.screen, ReplayScreen)
        assert f"DAMAGED behind record {len(records) - 6}" in program.text
        await pressed(pilot, "13.5", "enter", "escape", "q")
        assert isinstance(program.app.screen, BenchScreen)
    assert path.read_bytes() == spoilt


async def planned(pilot: Pilot[None], program: OnDisk, plan: Path) -> None:
    """The plan's path is pasted on the line of a new test."""
    await pressed(pilot, "n")
    program.app.screen.post_message(events.Paste(str(plan)))
    await pilot.pause()


def flowing(program: OnDisk) -> str:
    """What is on the screen, as if lines had no ends."""
    return " ".join(program.text.split())


async def _until(pilot: Pilot[None], program: OnDisk, *texts: str) -> None:
    """The list is made anew in a thread of its own."""
    for _ in range(200):
        if all(text in program.text for text in texts):
            return
        await pilot.pause(0.02)
    pytest.fail(f"{texts} never came:\n{program.text}")


# --- told in a line, on a terminal --------------------------------------------------------------


def said(terminal: Terminal) -> list[str]:
    """The lines on the terminal once the program has ended, which it did with status 2."""
    assert terminal.ended(30) == 2
    return [line for line in terminal.settle().lines() if line]


def test_a_folder_that_cannot_be_made_is_told_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    for place in (tmp_path / "file", tmp_path / "file" / "store"):
        with holdwater(place) as terminal:
            [line] = "".join(said(terminal)).split("holdwater: ")[1:]
            assert "the store's folder cannot be made: something else stands" in line


@pytest.mark.parametrize("away", ["<", "2>"])
def test_without_a_whole_terminal_the_bench_says_so_in_one_line(tmp_path: Path, away: str) -> None:
    shell = f'"$@" {away}/dev/null'
    words = ("-m", "tui", "--store", str(tmp_path))
    with Terminal("sh", "-c", shell, "sh", sys.executable, *words) as terminal:
        assert said(terminal) == [
            "holdwater: screen: this is not a terminal; run it in one, or a verb that prints"
        ]


def test_nobody_is_shown_a_traceback(tmp_path: Path) -> None:
    program = (
        "import tui.bench; tui.bench.Bench.rows = lambda bench: 1 / 0\n"
        f"from tui.__main__ import main; raise SystemExit(main(['--store', {str(tmp_path)!r}]))"
    )
    with Terminal(sys.executable, "-c", program) as terminal:
        [line] = "".join(said(terminal)).split("holdwater: ")[1:]
        assert line.startswith("holdwater failed (ZeroDivisionError: division by zero)")
        assert terminal.restored


def test_the_store_is_not_touched_by_a_start_that_is_left_again(tmp_path: Path) -> None:
    with holdwater(tmp_path / "store") as terminal:
        terminal.wait_for("No tests yet", timeout=30)
        terminal.press("q")
        assert terminal.ended() == 0
    assert Shelf(tmp_path / "store").live() == []
