"""A monkey at the keys of the whole program, and what must hold whatever it presses.

Keys come in bursts, as on a bad link, on a store with a test in every stage; time passes, the
disk has no room now and then.  The same seed presses the same keys.
"""

from __future__ import annotations

import re
import time
from collections import Counter
from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random
from typing import Any, Final

from textual import events
from textual.pilot import Pilot
from textual.screen import Screen

from engine.checks import STAGES
from engine.clock import Stamp
from engine.facts import Fact, Record
from engine.present.row import row
from engine.session import fold
from store.journal import Journal
from store.shelf import Shelf
from tests.benched import catalogued, kept, outside
from tests.faults.driven import NAMED, FullDisk, Hands, burst, going_on
from tests.ledger import disk, shelf
from tests.screens.picture import picture
from tests.story import Story
from tui.app import HoldwaterApp
from tui.bench import Bench
from tui.memory import MemoryIndex
from tui.practice import practise
from tui.screens.bench import BenchScreen
from tui.screens.run import RunScreen
from tui.theme import Look

__all__ = ["Monkey", "Score"]

SIGNS: Final = "abcdefghijklmnopqrstuvwxyzADR0123456789.,:-+/%?[]'\"éß 漢"
SCRIPTS: Final = (
    *("13.5\r", "13.7\r", "12\r", "5\r", "0\r", "d13\r30 s\rw\r", "u12\r13.5\r\r", "ly", "lw"),
    *("spd6\r", "sfr12\ry", "irain\r", "x\rmisread\r", "n", "\ry", "\rnoted\r", "\r0.5\r", "vvs"),
    *("vic", "vvo", "R0\ry", "R0\ry\ry", "z0\r", "hB. Other\r", "w\rno such thing\r", "b1\rwhy\r"),
    *("Awhy\r", "tw12\r", "m\rhose\r", "\r\r", "o0.5\r0.5\r0.5\r0.5\r", "\x1b", "13,5\r"),
    *("135\r\r", "g\x1b", "a5 mL\r13\r", "D\x1b", "\rin place\r", "+", "-", "[", "]", ".", "\ra"),
    *("q", "\r", "r3", "r1", "/54\r", "n54\r\r\r", "h", "c", "\x1b\x1bq", "p\x1b", "\t\t\t?"),
)
PASTED: Final = ("13.5", "13.5\n14", "x" * 500, "\x1b[2J", "", "/no/such/plan.toml", "[b]bold[/b]")
_KEYS: Final = {"\r": "enter", "\t": "tab", "\x1b": "escape", " ": "space"}
_LAST: Final = re.compile(r"^[ x] *(\d+) \d\d:\d\d:\d\d ")


@dataclass
class Score:
    """What the monkey did, and what came of it."""

    keys: int = 0
    records: int = 0
    starts: int = 0
    refused: int = 0
    screens: Counter[str] = field(default_factory=Counter)

    def add(self, other: Score) -> None:
        self.keys += other.keys
        self.records += other.records
        self.starts += other.starts
        self.refused += other.refused
        self.screens += other.screens


class Witness(Shelf):
    """Hears every record that is acknowledged to the program."""

    def __init__(self, folder: Path, calls: FullDisk) -> None:
        super().__init__(folder, disk(folder.parent, calls))
        self.heard: dict[str, list[Record]] = {}

    def _keep(self, opened: Journal) -> Journal:
        append, heard = opened.append, self.heard.setdefault(opened.session, opened.records())

        def acknowledged(fact: Fact, stamp: Stamp, by: str) -> Record:
            record = append(fact, stamp, by)
            heard.append(record)
            return record

        opened.append = acknowledged  # type: ignore[method-assign]
        return super()._keep(opened)


def furnish(folder: Path, clock: Hands) -> None:
    """A test in every stage, a passed one, a damaged one, a practice one, and a catalogue."""
    for number, stage in enumerate(STAGES):
        going_on(folder, f"open-{stage}", Story().to(stage), before=10.0 * number)
    held = Story().to("hold").raise_to()
    held.read(13.5)
    going_on(folder, "open-held", held, before=60)
    clock.stamp = held.stamp
    kept(shelf(folder), "passed-1", Story().to("verdict").end())
    going_on(folder, "damaged-1", Story().to("seal"), before=70)
    path = folder / "store" / "live" / "damaged-1.journal"
    path.write_bytes(path.read_bytes().replace(b"R. Example", b"S. Example", 9))
    catalogued(shelf(folder))
    made_up = practise(outside(folder), "N. Example", "", 7, 1.0)
    shelf(folder).put_row(made_up.name, row(made_up.name, made_up.session))
    made_up.close()


class Monkey:
    """Presses keys on the program, and holds what it shows against the disk."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.chance = Random(seed)
        self.folder, self.seed = folder, seed
        self.score = Score()
        self.clock = Hands()
        self.disk = FullDisk()
        furnish(folder, self.clock)
        self.shelf = Witness(folder / "store", self.disk)
        self.before = {name: self._records(name) for name in self._sound()}
        self.pressed: list[str] = []
        self._checked = ("", 0)

    async def play(self, keys: int, seconds: float) -> Score:
        """So many keys, or for so long; the program is started again whenever it was left."""
        until = time.monotonic() + seconds
        while self.score.keys < keys and time.monotonic() < until:
            self.score.starts += 1
            await self._once(keys, until)
        self.disk.full = ()
        self._check_all()
        self.score.records = sum(map(len, self.shelf.heard.values())) - sum(
            len(self.before.get(name, ())) for name in self.shelf.heard
        )
        return self.score

    async def _once(self, keys: int, until: float) -> None:
        found = replace(outside(self.folder), shelf=self.shelf, clock=self.clock,
                        index=MemoryIndex(), identity=self._identity)  # fmt: skip
        app = HoldwaterApp(Bench(found), Look())
        async with app.run_test(size=(80, 24)) as pilot:
            while self.score.keys < keys and time.monotonic() < until and app.is_running:
                await self._turn(app, pilot)
                if app._exception is not None or app._exit:
                    break
        self.shelf.close()

    def _identity(self) -> str:
        return f"new-{self.seed}-{len(self.shelf.heard)}-{self.score.keys}"

    async def _turn(self, app: HoldwaterApp, pilot: Pilot[None]) -> None:
        chance = self.chance
        self.clock.pass_time(chance.choice((0, 0, 0.4, 1, 5, 60, 90)))
        if chance.random() < 0.05:
            self.disk.full = chance.choice(((), (), ("journal",), ("index",), ("json",)))
        if chance.random() < 0.05:
            app.screen.post_message(events.Paste(chance.choice(PASTED)))
        keys = self._keys(app.screen)
        self.pressed += keys
        self.score.keys += len(keys)
        self.score.screens[type(app.screen).__name__] += len(keys)
        await burst(pilot, keys)
        if app._exception is None and not app._exit:
            self._check(app)

    def _keys(self, screen: Screen[Any]) -> list[str]:
        chance = self.chance
        draw = chance.random()
        if isinstance(screen, BenchScreen) and draw < 0.5:
            return [*["down"] * chance.randrange(9), "enter"]
        if draw < 0.12 and not (isinstance(screen, RunScreen) and screen._course.writable):
            return ["escape", "escape", "q"]
        if draw < 0.65:
            script = chance.choice(SCRIPTS)
            keys = [_KEYS.get(sign, sign) for sign in script]
            keys = ["escape", *keys] if chance.random() < 0.6 else keys
        elif draw < 0.85:
            keys = [chance.choice(SIGNS) for _ in range(chance.randrange(1, 8))]
        else:
            keys = [chance.choice(NAMED) for _ in range(chance.randrange(1, 5))]
        # On the bench q is the way out: taken now and then only.
        return [k for k in keys if k != "q" or draw > 0.98 or not isinstance(screen, BenchScreen)]

    # --- what must hold -------------------------------------------------------------------------

    def _check(self, app: HoldwaterApp) -> None:
        screen = app.screen
        if NOT in "\n".join(picture(app)):
            self.score.refused += 1
        if not isinstance(screen, RunScreen) or not screen._course.writable:
            return
        course = screen._course
        heard = self.shelf.heard[course.name]
        shown = [int(found[1]) for line in picture(app) if (found := _LAST.match(line))]
        assert max(shown, default=0) <= len(heard), self._told("shown, and not on the disk")
        assert course.session.seq == len(heard), self._told("not what was acknowledged")
        if (course.name, len(heard)) == self._checked and self.chance.random() < 0.9:
            return
        self._checked = (course.name, len(heard))
        records = self._records(course.name)
        assert records == heard, self._told("not what was acknowledged")
        assert course.session == fold(records), self._told("the session is not its records' fold")
        times = list(course.session.times)
        assert times == sorted(times), self._told("time ran back")

    def _check_all(self) -> None:
        """Every session of the store: numbered from 1 on, nothing lost of what was there."""
        for name in self._sound():
            records = self._records(name)
            assert [r.seq for r in records] == list(range(1, len(records) + 1)), self._told(name)
            said = self.shelf.heard.get(name, self.before.get(name, []))
            assert records == said, self._told(f"{name}: {len(said)} said, {len(records)} kept")
            assert shelf(self.folder).audit(name).sound, self._told(name)

    def _sound(self) -> list[str]:
        found = shelf(self.folder)
        return sorted({*found.live(), *found.sealed()} - {"damaged-1"})

    def _records(self, name: str) -> list[Record]:
        return list(shelf(self.folder).read(name).records)

    def _told(self, what: str) -> str:
        return f"seed {self.seed}, after {self.score.keys} keys: {what}; last {self.pressed[-60:]}"


NOT: Final = "not written down"
