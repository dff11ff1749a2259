"""Whole tests kept in a store, and the command line asked about them in this process."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from engine.planfile import PlanFile
from engine.present.row import row
from engine.session import fold
from store.shelf import Shelf
from tests.ledger import shelf
from tests.story import Story
from tui.__main__ import main

ONE = "2026-06-03-1"


def kept(folder: Path, identity: str, story: Story, closed: bool = True, row_of: int = 0) -> Shelf:
    """The story's records are in the store, closed or still open.

    The index has a row of them; of the first `row_of` alone where that is given.
    """
    store = shelf(folder)
    journal = store.begin(identity)
    for record in story.records:
        journal.append(record.fact, record.stamp, record.by)
    if closed:
        store.seal(identity)
    store.close()
    store.put_row(identity, row(identity, fold(story.records[: row_of or None])))
    return store


class Said(NamedTuple):
    status: int
    out: str
    err: str

    @property
    def lines(self) -> list[str]:
        return self.out.splitlines()

    @property
    def data(self) -> Any:
        return json.loads(self.out)


class Holdwater:
    """`holdwater --store FOLDER ...`, and what it said."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self._store = str(folder / "store")
        self._capsys = capsys

    def __call__(self, *words: str) -> Said:
        self._capsys.readouterr()
        try:
            status = main(["--store", self._store, *words])
        except SystemExit as exit:
            status = int(exit.code or 0)
        return Said(status, *self._capsys.readouterr())


def passed(planned: PlanFile | None = None) -> Story:
    """A test that was conducted to its end, and passed."""
    return Story(planned).to("verdict").end()


def document(folder: Path, session: str = ONE) -> Path:
    return folder / "store" / "sessions" / f"{session}.json"


def spoil(path: Path, old: bytes, new: bytes) -> None:
    """Once where it stands first, a file holds something else."""
    data = path.read_bytes()
    assert old in data
    path.write_bytes(data.replace(old, new, 1))
