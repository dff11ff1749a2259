"""Programs killed outright, or writing at the same time: nothing acknowledged is lost."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from store.chain import Sound
from store.disk import Disk
from store.faults import InUse
from store.journal import Journal, read
from store.shelf import Shelf
from tests.ledger import BY, SESSION, add, amended, note, stamp, texts

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="programs are forked here")
KILLS = 36


class Program:
    """A forked program that says, a line at a time, what was acknowledged to it."""

    def __init__(self, run: Callable[[Callable[[str], None]], None]) -> None:
        self._from, to = os.pipe()
        self.number = os.fork()
        if self.number == 0:
            self._be(run, to)
        os.close(to)
        self._heard = b""

    def _be(self, run: Callable[[Callable[[str], None]], None], to: int) -> None:
        status = 1
        try:
            run(lambda line: (os.write(to, f"{line}\n".encode()), None)[1])
            status = 0
        finally:
            os._exit(status)

    def hear(self, lines: int) -> list[str]:
        """So many lines at least, or all there will ever be."""
        while self._heard.count(b"\n") < lines and (more := os.read(self._from, 65536)):
            self._heard += more
        return self._heard.decode().splitlines()

    def kill(self) -> list[str]:
        """It is gone, at once; returns everything it said."""
        os.kill(self.number, signal.SIGKILL)
        said = self.hear(sys.maxsize)
        os.waitpid(self.number, 0)
        os.close(self._from)
        return said

    def end(self) -> int:
        """Its exit status, once it has ended by itself."""
        self.hear(sys.maxsize)
        os.close(self._from)
        return os.waitstatus_to_exitcode(os.waitpid(self.number, 0)[1])


def writer(folder: Path, first: int) -> Callable[[Callable[[str], None]], None]:
    """Resumes the session and appends notes numbered from `first` on, without end."""

    def run(say: Callable[[str], None]) -> None:
        store = Shelf(folder)
        journal = store.open(SESSION) if store.live() else store.begin(SESSION)
        say("open")
        number = first
        while True:
            journal.append(note(str(number)), stamp(number), BY)
            say(str(number))
            number += 1

    return run


def test_a_program_killed_while_appending_loses_nothing_acknowledged(tmp_path: Path) -> None:
    """Each is killed after another number of records; the next one takes up where it was."""
    acknowledged: list[str] = []
    for kill in range(KILLS):
        program = Program(writer(tmp_path, first=len(acknowledged)))
        program.hear(1 + kill % 5)
        with pytest.raises(InUse):
            Shelf(tmp_path).open(SESSION)
        said = program.kill()
        assert said[0] == "open"
        acknowledged += said[1:]
        found = texts(Shelf(tmp_path).read(SESSION).records)
        assert found[: len(acknowledged)] == acknowledged
        # One more may have reached the disk before it could be acknowledged: then it counts.
        assert len(found) <= len(acknowledged) + 1
        acknowledged = found
    assert len(acknowledged) > 2 * KILLS
    Shelf(tmp_path).open(SESSION)


def test_a_program_killed_while_sealing_and_amending_loses_nothing(tmp_path: Path) -> None:
    def run(say: Callable[[str], None]) -> None:
        store = Shelf(tmp_path)
        while True:
            journal = store.open(SESSION) if store.live() else store.amend(SESSION)
            say(str(journal.append(amended(), stamp(), BY).seq))
            store.seal(SESSION)

    store = Shelf(tmp_path)
    add(store.begin(SESSION), "one")
    store.seal(SESSION)
    acknowledged = 1
    for kill in range(KILLS // 2):
        program = Program(run)
        program.hear(1 + kill % 3)
        said = [int(number) for number in program.kill()]
        acknowledged = max([acknowledged, *said])
        found: Sound = Shelf(tmp_path).read(SESSION)
        assert acknowledged <= len(found.records) <= acknowledged + 1
        acknowledged = len(found.records)
    assert acknowledged > KILLS // 2
    store = Shelf(tmp_path)
    store.sweep()
    assert list(tmp_path.glob("*/*.tmp")) == []


def test_of_many_programs_one_writes(tmp_path: Path) -> None:
    Journal.begin(Disk(tmp_path), SESSION).close()

    def run(say: Callable[[str], None]) -> None:
        mine = 0
        while mine < 5:
            try:
                journal = Shelf(tmp_path).open(SESSION)
            except InUse:
                continue
            journal.append(note(str(os.getpid())), stamp(), BY)
            journal.close()
            mine += 1

    programs = [Program(run) for _ in range(4)]
    assert [program.end() for program in programs] == [0] * 4
    found = texts(read(Disk(tmp_path), SESSION).records)
    assert sorted(found) == sorted(str(program.number) for program in programs for _ in range(5))


def test_two_programs_on_the_catalogue_lose_nothing_of_each_others(tmp_path: Path) -> None:
    def run(say: Callable[[str], None]) -> None:
        store = Shelf(tmp_path)
        for number in range(15):
            store.catalogue.put("joint", "shared", {"by": os.getpid(), "n": number})
            store.catalogue.put("gauge", f"{os.getpid()}-{number}", {})
            store.put_row(f"s-{os.getpid()}-{number}", {"joint": "shared"})

    programs = [Program(run) for _ in range(2)]
    assert [program.end() for program in programs] == [0, 0]
    found = Shelf(tmp_path)
    versions = found.catalogue.versions("joint", "shared")
    assert [entry.version for entry in versions] == list(range(1, 31))
    assert {(entry.values["by"], entry.values["n"]) for entry in versions} == {
        (program.number, number) for program in programs for number in range(15)
    }
    assert len(found.catalogue.names("gauge")) == len(found.rows()) == 30
