"""The whole program on a store in a folder, at a moment of the test's own, driven by keys."""

from __future__ import annotations

import datetime as dt
from argparse import Namespace
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import count
from pathlib import Path
from typing import Any, Final

from textual.app import App
from textual.pilot import Pilot

from engine.clock import Stamp
from engine.entries import entries
from engine.facts import Record
from engine.present.row import Row, row
from engine.session import fold
from store.shelf import Shelf
from tests.ledger import disk, shelf
from tests.plans import written
from tests.screens.picture import picture
from tests.story import Story
from tui.__main__ import Wiring
from tui.app import HoldwaterApp
from tui.bench import Bench
from tui.memory import MemoryIndex
from tui.outside import Outside
from tui.theme import Look

NOW: Final = dt.datetime(2026, 6, 5, 9, 0, tzinfo=dt.UTC)
_NAMED: Final = {"enter", "escape", "tab", "up", "down", "left", "right", "space", "home", "end",
                 "backspace", "pagedown", "ctrl+u", "ctrl+c"}  # fmt: skip


def made(session: str, records: Sequence[Record], damaged: bool) -> Row:
    return row(session, fold(records), damaged)


def kept(store: Shelf, session: str, story: Story) -> None:
    """A finished test and its row, as the program would have kept them."""
    journal = store.begin(session)
    for record in story.records:
        journal.append(record.fact, record.stamp, record.by)
    store.put_row(session, row(session, story.session))
    store.seal(session)
    journal.close()


def catalogued(store: Shelf, **changed: Any) -> None:
    """The pipe's plan as entries."""
    for entry in entries(written(**changed)):
        store.catalogue.put(entry.kind, entry.name, entry.values)


def outside(folder: Path, by: str = "R. Example") -> Outside:
    """The wiring on the store in `folder`, with a clock of its own and without waiting on disk."""
    wiring = Wiring(Namespace(verb=None, store=str(folder / "store"), by=by))
    wiring.shelf = shelf(folder)
    numbers = count(1)
    return replace(
        wiring.outside,
        clock=lambda: Stamp(NOW, "boot-b", 5000.0),
        identity=lambda: f"2026-06-05-{next(numbers)}",
        catalogue=wiring.shelf.catalogue,
    )


class Benched:
    """The program on a store, and what is on it."""

    def __init__(self, folder: Path, by: str = "R. Example", mended: bool = False) -> None:
        """With `mended` the index is held against the sessions, else it is believed."""
        self.store = shelf(folder)
        found = outside(folder, by)
        self.bench = Bench(found if mended else replace(found, index=MemoryIndex()))
        self.app = HoldwaterApp(self.bench, Look())

    def records(self, session: str) -> Sequence[Record]:
        return self.store.read(session).records

    @property
    def lines(self) -> list[str]:
        return picture(self.app)

    @property
    def text(self) -> str:
        return "\n".join(self.lines)


async def pressed(pilot: Pilot[None], *keys: str) -> None:
    """Keys by name, or texts to be typed."""
    for key in keys:
        signs = [key] if key in _NAMED else [_spelt(sign) for sign in key]
        await pilot.press(*signs)
    await pilot.pause()


def _spelt(sign: str) -> str:
    return {" ": "space", "/": "slash", ".": "full_stop", ",": "comma", "-": "minus"}.get(
        sign, sign
    )


def versions(store: Shelf, kind: str, name: str) -> list[Mapping[str, Any]]:
    return [entry.values for entry in store.catalogue.versions(kind, name)]


__all__ = ["App", "Benched", "catalogued", "disk", "kept", "made", "pressed", "versions"]
