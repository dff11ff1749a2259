"""The bench screen: tests opened anew, again, and found, on a store of their own."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from engine.facts import SessionOpened
from engine.procedures import RECALLED
from engine.units import q
from store.shelf import Shelf
from tests.again import finished, many
from tests.benched import Benched, catalogued, kept, pressed
from tests.ledger import shelf
from tests.terminal import ROOT, Terminal
from tui.screens.bench import BenchScreen
from tui.screens.run import RunScreen

PLAN = str(ROOT / "tests" / "examples" / "pipe_us.toml")


@pytest.fixture
def store(tmp_path: Path) -> Shelf:
    """One test that passed, and a catalogue of its plan."""
    found = shelf(tmp_path)
    catalogued(found)
    kept(found, "2026-06-03-1", finished())
    return found


def opened(program: Benched, session: str = "2026-06-05-1") -> SessionOpened:
    fact = program.records(session)[0].fact
    assert isinstance(fact, SessionOpened)
    return fact


async def test_two_keys_repeat_a_test_on_a_new_specimen(store: Shelf, tmp_path: Path) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "r", "3")
        assert isinstance(program.app.screen, RunScreen)
        assert "Read the marks off both sections" in program.text
        assert "from 2026-06-03-1" in program.text
        fact = opened(program)
        assert fact.plan.joint.name == "54 in pipe, wall B"
        assert fact.follows is None
        assert fact.plan.specimen.spigot is None


async def test_held_again_follows_the_test_before(store: Shelf, tmp_path: Path) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "r", "1")
        assert opened(program).follows == "2026-06-03-1"
        assert {c.session for c in opened(program).carried} == {"2026-06-03-1"}


async def test_a_gauge_that_was_calibrated_again_is_in_date_again(
    store: Shelf, tmp_path: Path
) -> None:
    kept_gauge = store.catalogue.values("gauge", "G-07") or {}
    again = {**kept_gauge, "calibration_due": "2029-03-31", "certificate": "K-2", "height": "9 in"}
    store.catalogue.put("gauge", "G-07", again)
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "r", "3")
        gauge = opened(program).plan.gauge
        assert (gauge.calibration_due, gauge.certificate) == (date(2029, 3, 31), "K-2")
        assert gauge.height == q(29.5, "in")  # where it hung, not where it was planned since


async def test_the_next_alignment_asks_only_for_opening_and_side(
    store: Shelf, tmp_path: Path
) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "r", "2", "0.5 inch", "enter", "25", "enter")
        assert "expected a clock position" in program.text
        await pressed(pilot, "ctrl+u", "3", "enter")
        procedure = opened(program).plan.procedure
        assert (procedure.alignment, procedure.open_side) == ("deflected", 3.0)
        assert f"{procedure.opening:~P}" == "0.5 in"
        assert program.text.count("drained: before the joint is opened") >= 1


async def test_what_cannot_be_an_opening_is_refused_and_stays(store: Shelf, tmp_path: Path) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "r", "2", "0 in", "enter", "3", "enter")
        assert "more than nothing" in program.text
        assert "0 in_" in program.text
        await pressed(pilot, "ctrl+u", "half", "enter")
        assert "cannot be read" in program.text
        await pressed(pilot, "escape")
        assert isinstance(program.app.screen, BenchScreen)
        assert program.store.live() == []


async def test_a_product_of_the_catalogue_is_found_by_typing(store: Shelf, tmp_path: Path) -> None:
    store.catalogue.put("joint", "66 in pipe, wall C", {})
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "n")
        assert "66 in pipe" in program.text
        await pressed(pilot, "wall b")
        assert "66 in pipe" not in program.text
        await pressed(pilot, "enter")
        assert "HOLDS" in program.text  # the plan, before it is started
        await pressed(pilot, "enter")
        assert opened(program).plan.procedure.authority.startswith("Works instruction 12")


async def test_a_product_that_cannot_be_planned_says_why_and_stays(
    store: Shelf, tmp_path: Path
) -> None:
    store.catalogue.put("joint", "66 in pipe, wall C", {"shape": "circle"})
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "n", "66", "enter")
        assert "joint.wall: found nothing" in program.text
        assert isinstance(program.app.screen, BenchScreen)


async def test_a_path_is_taken_as_well(store: Shelf, tmp_path: Path) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "n", "/nowhere.toml", "enter")
        assert "no such file" in program.text
        assert "/nowhere.toml_" in program.text
        await pressed(pilot, "ctrl+u", PLAN, "enter", "enter")
        assert opened(program).plan.joint.name == "66 in pipe, wall B"


async def test_no_test_is_opened_with_a_procedure_that_nobody_confirmed(
    store: Shelf, tmp_path: Path
) -> None:
    store.catalogue.put("procedure", RECALLED[0].name, RECALLED[0].values)
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "n", "enter", "astm", "enter", "enter")
        assert "recalled, not read" in program.text
        assert program.store.live() == []
        await pressed(pilot, "escape", "r", "2")
        assert "not confirmed" not in program.text  # none is deflected: the same one is taken


async def test_nobody_named_is_asked_for_and_found_among_the_people(
    store: Shelf, tmp_path: Path
) -> None:
    store.catalogue.put("person", "Q. Sample", {})
    program = Benched(tmp_path, by="")
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "r", "3", "sam", "enter")
        assert program.records("2026-06-05-1")[0].by == "Q. Sample"


async def test_search_narrows_with_every_letter(tmp_path: Path) -> None:
    found = shelf(tmp_path)
    found.index.rebuild({str(row["session"]): row for row in many(400)})
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        assert "0 going on, 400 past" in program.text
        await pressed(pilot, "/", "g-04 fail")
        assert "search: g-04 fail" in program.text
        listed = [line for line in program.lines if "in pipe" in line]
        assert listed
        assert all("FAIL" in line for line in listed)
        await pressed(pilot, "zzz")
        assert "Nothing found." in program.text
        await pressed(pilot, "escape")
        assert "search:" not in program.text


async def test_the_list_is_made_anew_where_the_index_is_gone(store: Shelf, tmp_path: Path) -> None:
    for path in (tmp_path / "store").glob("index*.json"):
        path.unlink()
    program = Benched(tmp_path, mended=True)
    async with program.app.run_test(size=(80, 24)) as pilot:
        for _ in range(100):
            await pilot.pause(0.05)
            if "PASS" in program.text:
                break
        assert "0 going on, 1 past" in program.text
        assert "PASS" in program.text


async def test_an_open_test_comes_first_and_goes_on(store: Shelf, tmp_path: Path) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "r", "3", "q")
        first = next(line for line in program.lines if "54 in pipe" in line)
        assert "Prepare" in first
        await pressed(pilot, "home", "enter")
        assert isinstance(program.app.screen, RunScreen)
        await pressed(pilot, "q", "r", "1")
        assert "still open" in program.text


def test_the_command_line_opens_none_either(
    tmp_path: Path,
) -> None:
    plan = tmp_path / "plan.toml"
    text = Path(PLAN).read_text(encoding="utf-8")
    plan.write_text(text.replace("[procedure]", "[procedure]\nconfirmed = false"))
    assert "confirmed = false" in plan.read_text()
    store = tmp_path / "store"
    with Terminal.python(
        "-m", "tui", "start", str(plan), "--store", str(store), "--by", "R. E"
    ) as t:
        assert t.ended(10) == 2
        assert "recalled, not read" in t.text
    assert Shelf(store).live() == []


async def test_keys_that_mean_nothing_do_nothing(store: Shelf, tmp_path: Path) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "z", "7", "left", "r", "9", "x", "enter", "escape", "escape")
        assert isinstance(program.app.screen, BenchScreen)
        assert program.store.live() == []
        assert "PASS" in program.text
