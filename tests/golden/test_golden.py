"""What was kept under format 1 reads, is judged and is put on paper as on the day.

A change of the rules that moves a row below raises `RULES_EDITION`.  Where the paper's wording is
changed on purpose, and nothing else:

    holdwater certificate tests/golden/passed.json -o tests/golden/passed.txt

A new kind of fact wants a new file here, with a row below; the old files stay as they are.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Final, NamedTuple, get_args

import pytest

from engine import facts as f
from tests.shelved import Holdwater

HERE: Final = Path(__file__).parent


class Kept(NamedTuple):
    records: int
    outcome: str
    rules: tuple[str, ...]
    readings: int
    credit: float
    """In seconds."""
    head: str


KEPT: Final = {
    "passed.json": Kept(
        93,
        "pass",
        ("credit_complete", "primary_tight", "pressure_simple"),
        23,
        705.0,
        "efc920326e65eaa59c1925a8ddde9413de1cd9e614e57a42ed58cb939e6acf50",
    ),
    "abandoned.journal": Kept(
        102,
        "invalid",
        ("specimen_disturbed",),
        8,
        60.0,
        "0388ff3937f8d010ccd9b0abd8476c7f432bef489da93ec515cb1dadb3956d57",
    ),
}


@pytest.fixture
def holdwater(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Holdwater:
    return Holdwater(tmp_path, capsys)


def test_every_file_that_is_kept_here_is_read() -> None:
    assert {path.name for path in HERE.iterdir() if path.suffix in (".json", ".journal")} == {*KEPT}


@pytest.mark.parametrize("name", KEPT)
def test_it_is_sound_and_to_the_byte_what_was_kept(name: str, holdwater: Holdwater) -> None:
    said = holdwater("audit", str(HERE / name), "--json")
    assert (said.status, said.err) == (0, "")
    assert (said.data["records"], said.data["head"]) == (KEPT[name].records, KEPT[name].head)
    assert (said.data["findings"], said.data["torn"]) == ([], False)


@pytest.mark.parametrize("name", KEPT)
def test_it_is_judged_as_it_was(name: str, holdwater: Holdwater) -> None:
    said = holdwater("show", str(HERE / name), "--json").data
    verdict, kept = said["verdict"], KEPT[name]
    assert verdict["outcome"] == kept.outcome
    assert tuple(reason["rule"] for reason in verdict["reasons"]) == kept.rules
    assert (len(said["readings"]), said["credit"]["counted"][0]) == (kept.readings, kept.credit)


def test_the_paper_says_what_it_said(holdwater: Holdwater) -> None:
    said = holdwater("certificate", str(HERE / "passed.json"))
    assert said.lines == (HERE / "passed.txt").read_text(encoding="utf-8").splitlines()


def test_every_kind_of_fact_is_in_one_of_them() -> None:
    unions = (f.Checking, f.Water, f.Evidence, f.Closing)
    kinds = {fact.model_fields["kind"].default for union in unions for fact in get_args(union)}
    lines = (line for name in KEPT for line in (HERE / name).read_text().splitlines())
    found = {json.loads(line.rstrip(","))["fact"]["kind"] for line in lines if '"fact"' in line}
    assert found == kinds
