"""Processes killed outright while they write, and while readings are typed into them."""

from __future__ import annotations

import signal
from collections.abc import Callable
from pathlib import Path
from random import Random

from store.shelf import Shelf
from tests.conducting import holdwater
from tests.faults import test_resume
from tests.faults.disk.test_killed import Program, writer
from tests.ledger import BY, SESSION, add, amended, stamp, texts
from tests.long.counting import Long, Row, Rows


def kill(long: Long) -> Rows:
    yield _killed_appending(long.fresh(long.folder), long.times(300))
    yield _killed_sealing(long.fresh(long.folder), long.times(100))
    yield _killed_at_the_keys(long.store(), long.times(100))


def _killed_appending(folder: Path, times: int) -> Row:
    kept: list[str] = []
    acknowledged = lost = 0
    for number in range(times):
        program = Program(writer(folder, first=len(kept)))
        program.hear(1 + number % 7)
        said = program.kill()[1:]
        acknowledged += len(said)
        found = texts(Shelf(folder).read(SESSION).records)
        lost += _missing([*kept, *said], found)
        kept = found
    return Row("killed while appending", times, acknowledged, lost)


def _killed_sealing(folder: Path, times: int) -> Row:
    def run(say: Callable[[str], None]) -> None:
        store = Shelf(folder)
        while True:
            opened = store.open(SESSION) if store.live() else store.amend(SESSION)
            say(str(opened.append(amended(), stamp(), BY).seq))
            store.seal(SESSION)

    store = Shelf(folder)
    add(store.begin(SESSION), "one")
    store.seal(SESSION)
    acknowledged, lost, highest = 0, 0, 1
    for number in range(times):
        program = Program(run)
        program.hear(1 + number % 4)
        said = [int(text) for text in program.kill()]
        acknowledged += len(said)
        highest = max([highest, *said])
        found = len(Shelf(folder).read(SESSION).records)
        lost += max(0, highest - found)
        highest = found
    return Row("killed while sealing and amending", times, acknowledged, lost)


def _killed_at_the_keys(store: Path, times: int) -> Row:
    """Readings typed into the program; what the screen shows as read was acknowledged."""
    chance = Random(1)
    acknowledged = lost = 0
    for number in range(times):
        with holdwater(store) as terminal:
            test_resume.resumed(terminal, store)
            shown = []
            for reading in range(1 + number % 3):
                value = f"13.{number % 9 + 1}{(number // 9 + reading) % 9 + 1}"
                terminal.type(f"{value}\r").wait_for(f"Read {value} psi")
                shown.append(float(value))
            terminal.type("14.9\r").count(chance.uniform(0.0, 0.03))
            terminal.send(signal.SIGKILL)
            terminal.ended()
        found = [r.psi for r in test_resume.session_of(store).evidence.readings]
        tail = found[:-1] if found[-1] == 14.9 else found
        acknowledged += len(shown)
        lost += sum(a != b for a, b in zip(shown, tail[-len(shown) :], strict=True))
    return Row("killed while readings are typed", times, acknowledged, lost)


def _missing(said: list[str], found: list[str]) -> int:
    same = sum(a == b for a, b in zip(said, found, strict=False))
    return len(said) - same
