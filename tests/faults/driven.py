"""The program on a store whose disk has no room, and on clocks that are moved by hand."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from errno import ENOSPC
from pathlib import Path
from typing import Any, Final

from textual import events
from textual.app import App
from textual.pilot import Pilot

from engine.clock import Stamp
from engine.facts import Record
from engine.present.row import row
from engine.session import Session, fold
from store.disk import Calls
from tests.benched import Benched, outside
from tests.ledger import shelf
from tests.story import Story
from tui.app import HoldwaterApp
from tui.bench import Bench
from tui.memory import MemoryIndex
from tui.theme import Look

__all__ = ["FullDisk", "Hands", "OnDisk", "burst", "going_on", "pressed"]


NAMED: Final = (
    *("enter", "escape", "tab", "space", "up", "down", "left", "right", "home", "end"),
    *("pageup", "pagedown", "backspace", "delete", "ctrl+u", "ctrl+a", "f1", "shift+tab"),
)


class FullDisk(Calls):
    """No room for files whose names hold one of `full`; syncing is not waited for."""

    def __init__(self) -> None:
        self.full: tuple[str, ...] = ()
        self._names: dict[int, str] = {}

    def open(self, name: str, flags: int, folder: int | None = None) -> int:
        file = super().open(name, flags, folder)
        self._names[file] = name
        return file

    def write(self, file: int, data: bytes) -> int:
        if any(part in self._names.get(file, "") for part in self.full):
            raise OSError(ENOSPC, os.strerror(ENOSPC))
        return super().write(file, data)

    def sync(self, file: int) -> None:
        pass


class Hands:
    """A machine's clocks, moved by hand."""

    def __init__(self, start: Stamp | None = None) -> None:
        self.stamp = start or Stamp(datetime(2026, 6, 5, 9, 0, tzinfo=UTC), "boot-b", 5000.0)

    def __call__(self) -> Stamp:
        return self.stamp

    def pass_time(self, seconds: float) -> None:
        wall, boot, ticks = self.stamp
        self.stamp = Stamp(wall + timedelta(seconds=seconds), boot, ticks + seconds)

    def set_wall(self, seconds: float) -> None:
        """Somebody sets the clock on the wall; the counter goes on."""
        self.stamp = self.stamp._replace(wall=self.stamp.wall + timedelta(seconds=seconds))

    def start_anew(self, off: float) -> None:
        """The machine was off for so long."""
        wall = self.stamp.wall + timedelta(seconds=off)
        self.stamp = Stamp(wall, f"{self.stamp.boot}+", 3.0)


class OnDisk(Benched):
    """The program on a disk and on clocks of the test's own."""

    def __init__(
        self,
        folder: Path,
        disk: Calls | None = None,
        clock: Hands | None = None,
        mended: bool = False,
    ) -> None:
        self.store = shelf(folder)
        self.clock = clock or Hands()
        found = replace(outside(folder), shelf=shelf(folder, disk), clock=self.clock)
        self.bench = Bench(found if mended else replace(found, index=MemoryIndex()))
        self.app = HoldwaterApp(self.bench, Look())

    def session(self, name: str) -> Session:
        """The fold of what is on the disk."""
        return fold(self.records(name))


async def pressed(pilot: Pilot[Any], *keys: str) -> None:
    """Keys by name, or texts to be typed; in one piece, as on a bad link."""
    await burst(pilot, [sign for key in keys for sign in ([key] if key in NAMED else key)])
    await pilot.pause()


async def burst(pilot: Pilot[Any], keys: Sequence[str]) -> None:
    """All keys in one piece, and then until everything has been dealt with."""
    app: App[Any] = pilot.app
    for key in keys:
        app.post_message(events.Key(key, key if len(key) == 1 else " " if key == "space" else None))
    for _ in range(3):
        if app._exception is not None or not await pilot._wait_for_screen():
            return


def going_on(folder: Path, name: str, story: Story, before: float = 0.0) -> list[Record]:
    """The story, told so many seconds earlier, is on the disk as a test that nobody has open."""
    store = shelf(folder)
    journal = store.begin(name)
    made = []
    for r in story.records:
        earlier = r.stamp.wall - timedelta(seconds=before)
        at = r.stamp._replace(wall=earlier, ticks=r.ticks - before)
        made.append(journal.append(r.fact, at, r.by))
    store.put_row(name, row(name, fold(made)))
    store.close()
    return made
