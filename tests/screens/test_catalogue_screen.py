"""The catalogue screen, driven by keys on a store of its own."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from engine.procedures import RECALLED
from store.shelf import Shelf
from tests.again import finished
from tests.benched import Benched, catalogued, kept, pressed, versions
from tests.ledger import shelf
from tests.story import Story
from tui.screens.bench import BenchScreen
from tui.screens.catalogue import CatalogueScreen

PIPE = "54 in pipe, wall B"


@pytest.fixture
def store(tmp_path: Path) -> Shelf:
    found = shelf(tmp_path)
    catalogued(found)
    return found


def joint(store: Shelf) -> list[Any]:
    return list(versions(store, "joint", PIPE))


async def test_a_field_is_edited_with_echo_and_adds_a_version(store: Shelf, tmp_path: Path) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "enter", "down", "enter", "ctrl+u", "60")
        assert "= 60 in" in program.text  # the unit that stood there
        await pressed(pilot, "enter")
        assert "kept as version 2" in program.text
        assert [v["inside"] for v in joint(store)] == ["54 in", "60 in"]
        await pressed(pilot, "v")
        assert "54 in -> 60 in" in program.text


@pytest.mark.parametrize("nonsense", ["13 psi", "twelve", "5,5 in", "-", "5.5.5 in"])
async def test_nonsense_is_refused_in_words_and_stays(
    store: Shelf, tmp_path: Path, nonsense: str
) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "enter", "down", "enter", "ctrl+u", nonsense, "enter")
        assert f"{nonsense}_" in program.text
        assert "! " in program.text
        assert len(joint(store)) == 1


async def test_what_other_fields_contradict_waits_until_it_is_mended(
    store: Shelf, tmp_path: Path
) -> None:
    """A circle becomes a box: three fields, none of which can be changed alone."""
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "enter", "enter", "box", "enter")
        assert "NOT KEPT YET" in program.text
        assert "a box has none" in program.text
        await pressed(pilot, "escape")
        assert "Not kept: inside: " in program.text
        await pressed(pilot, "m", "enter", "ctrl+u", "enter")
        await pressed(pilot, "down", "enter", "6 ft", "enter", "down", "enter", "5 ft", "enter")
        assert "kept as version 2" in program.text
        assert joint(store)[-1]["shape"] == "box"
        assert "inside" not in joint(store)[-1]


@pytest.mark.parametrize("answer", ["m", "escape"])
async def test_who_stays_with_what_is_not_kept_stands_where_it_is_to_be_mended(
    store: Shelf, tmp_path: Path, answer: str
) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "n", "36 in pipe", "enter", "e", "end", "escape")
        assert "Not kept: shape: " in program.text and "d drop what was typed" in program.text
        await pressed(pilot, answer)
        assert "> shape" in program.text
        assert any(line.startswith("shape: found nothing") for line in program.lines)
        await pressed(pilot, "escape", "d")
        assert "36 in pipe" not in program.text


async def test_a_change_that_was_not_kept_can_be_dropped(store: Shelf, tmp_path: Path) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "enter", "enter", "box", "enter", "escape", "d")
        assert "NOT KEPT" not in program.text
        assert len(joint(store)) == 1
        await pressed(pilot, "escape")
        assert isinstance(program.app.screen, BenchScreen)


async def test_a_new_gauge_starts_from_another_without_its_certificate(
    store: Shelf, tmp_path: Path
) -> None:
    store.catalogue.put("gauge", "G-07", {**(store.catalogue.values("gauge", "G-07") or {}),
                                          "certificate": "K-1"})  # fmt: skip
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "tab", "tab", "tab", "n", "G-07", "enter")
        assert "already" in program.text
        await pressed(pilot, "ctrl+u", "G-08", "enter", "l")
        assert "kept as version 1" in program.text
        values = versions(store, "gauge", "G-08")[-1]
        assert values["span"] == ["0 psi", "30 psi"]
        assert "certificate" not in values
        assert "calibration_due" not in values
        await pressed(pilot, "escape")
        assert "NO DATE of calibration" in program.text


async def test_the_gauge_that_is_out_of_date_comes_first(store: Shelf, tmp_path: Path) -> None:
    usual = store.catalogue.values("gauge", "G-07") or {}
    store.catalogue.put("gauge", "G-99", {**usual, "calibration_due": "2026-06-04"})
    store.catalogue.put("gauge", "G-98", {**usual, "calibration_due": "2026-06-20"})
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "tab", "tab", "tab")
        first = next(line for line in program.lines if "G-9" in line or "G-07" in line)
        assert "OUT OF DATE since 2026-06-04" in first
        assert "DUE in 15 days, 2026-06-20" in program.text
        assert "due in 299 days, 2027-03-31" in program.text


async def test_a_recalled_procedure_is_kept_only_as_it_stands_in_its_document(
    store: Shelf, tmp_path: Path
) -> None:
    """Nothing is typed in beforehand, and edition, pressure and time have to be typed."""
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "tab", "down", "enter")
        assert "recalled, not read" in program.text
        await pressed(pilot, "v")
        assert "Nothing of it is kept yet" in program.text
        await pressed(pilot, "escape", "F", "enter", "not stated", "enter")
        assert "expected what the document says" in program.text
        await pressed(pilot, "ctrl+u", "2020", "enter", "7.2", "enter")
        assert "pressure in the document (recalled: 13 psi) _" in program.text
        await pressed(pilot, "enter")
        assert "expected what the document says" in program.text
        await pressed(pilot, "12 psi", "enter", "10", "enter")
        values = versions(store, "procedure", RECALLED[0].name)[-1]
        assert values["confirmed"] is True
        assert (values["pressure"], values["hold"]) == ("12 psi", "10 min")
        assert values["standing"] == "published"
        assert "as recalled" not in values["authority"]


async def test_what_was_typed_before_the_question_that_was_left_is_kept_too(
    store: Shelf, tmp_path: Path
) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "tab", "down", "enter", "F", "enter", "2020", "enter")
        await pressed(pilot, "7.2", "escape", "F", "enter")
        assert "2020_" in program.text
        await pressed(pilot, "enter")
        assert "7.2_" in program.text


async def test_what_was_typed_for_one_entry_is_not_offered_for_another(
    store: Shelf, tmp_path: Path
) -> None:
    store.catalogue.put("joint", "another", store.catalogue.values("joint", PIPE) or {})
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "enter", "end")
        await pressed(pilot, "enter", "8 ft", "escape", "escape")
        await pressed(pilot, "down", "enter", "end", "enter")
        assert "8 ft" not in program.text
        await pressed(pilot, "escape", "escape", "up", "enter", "end", "enter")
        assert "8 ft_" in program.text


async def test_what_somebody_else_changed_meanwhile_stands_too(
    store: Shelf, tmp_path: Path
) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "enter")
        before = store.catalogue.values("joint", PIPE) or {}
        store.catalogue.put("joint", PIPE, {**before, "section_length": "8 ft"})
        await pressed(pilot, "down", "enter", "ctrl+u", "60 in", "enter")
        assert "kept as version 3" in program.text
        assert "somebody else" in program.text
        assert joint(store)[-1]["section_length"] == "8 ft"
        assert joint(store)[-1]["inside"] == "60 in"


async def test_people_are_kept_with_what_they_do(store: Shelf, tmp_path: Path) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "tab", "tab", "tab", "tab", "n", "Q. Sample", "enter")
        await pressed(pilot, "enter", "technician", "enter", "escape")
        assert "technician" in program.text
        assert versions(store, "person", "Q. Sample") == [{}, {"role": "technician"}]


async def test_a_gauge_found_wrong_names_the_passes_that_no_longer_stand(
    store: Shelf, tmp_path: Path
) -> None:
    """At 13.5 psi the pass has less than 0.6 psi to spare; at 14.5 psi it has more."""
    kept(store, "2026-06-03-1", finished())
    spare = Story().to("hold").raise_to(14.5).hold(psi=14.5).go_on().end()
    kept(store, "2026-06-03-2", spare)
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "tab", "tab", "tab", "w", "0.6 psi", "enter", "enter")
        for _ in range(60):
            await pilot.pause(0.05)
            if "no longer stand" in program.text:
                break
        assert "1 of 2 passes that hang on it no longer stand" in program.text
        assert "Nothing of this is written down" in program.text
        lost = program.text.partition("The others")[0]
        assert "2026-06-03-1" in lost
        assert "2026-06-03-2" not in lost
        assert "PASS -> UNDECIDED" in lost


async def test_keys_that_mean_nothing_do_nothing(store: Shelf, tmp_path: Path) -> None:
    program = Benched(tmp_path)
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "c", "z", "9", "w", "F", "left", "enter", "z", "F", "n", "w", "escape")
        assert isinstance(program.app.screen, CatalogueScreen)
        await pressed(pilot, "n", "escape", "escape")
        assert isinstance(program.app.screen, BenchScreen)
        assert len(joint(store)) == 1
