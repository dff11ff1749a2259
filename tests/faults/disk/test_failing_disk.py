"""Every call to the operating system fails in turn, once or for ever: nothing is lost."""

from __future__ import annotations

import errno
import shutil
from contextlib import suppress
from pathlib import Path

import pytest

from store.faults import Absent, Damaged, Declined, Fault, InUse, NotRead, NotWritten
from store.journal import Journal, read
from store.trail import Trail
from tests.faults.disk.failing import Broken, FailingDisk, Plan, PowerCut, Stingy
from tests.faults.disk.life import PATIENCE, Life, grown
from tests.ledger import BY, SESSION, Swift, add, disk, note, shelf, stamp, texts, written

ONCE = [Plan(0, errno.ENOSPC, half=True), Plan(0, errno.EIO)]
FOREVER = [Plan(0, errno.ENOSPC, forever=True, half=True), Plan(0, errno.EIO, forever=True)]
NAMES = [False, True]


def test_a_life_without_failures(memory: Path) -> None:
    grown(memory)


def test_an_operating_system_that_takes_a_little_at_a_time(memory: Path) -> None:
    life = Life(memory, Stingy())
    life.go_on()
    life.check_end()


@pytest.mark.parametrize("plan", ONCE, ids=str)
def test_a_call_that_fails_once_loses_nothing_and_leaves_nothing_over(
    memory: Path, plan: Plan
) -> None:
    """Tried again on the very same journal: what was refused is not there, and then it is, once."""
    for at in range(1, 10_000):
        failing = FailingDisk(plan._replace(at=at))
        life = Life(memory / str(at), failing)
        life.go_on(patience=PATIENCE)
        life.die().check_end()
        if not failing.failed:
            return
        shutil.rmtree(memory / str(at))
    pytest.fail("never came to an end")


@pytest.mark.parametrize("plan", FOREVER, ids=str)
def test_a_disk_that_fails_for_ever_keeps_what_was_acknowledged(memory: Path, plan: Plan) -> None:
    for at in range(1, 10_000):
        failing = FailingDisk(plan._replace(at=at))
        life = Life(memory / str(at), failing)
        try:
            life.go_on()
        except Fault as fault:
            assert isinstance(fault, NotWritten | NotRead), fault
            assert str(memory) not in str(fault)
        after = life.die()
        after.check(perhaps=1)
        after.go_on()
        after.check_end()
        if not failing.failed:
            return
        shutil.rmtree(memory / str(at))
    pytest.fail("never came to an end")


@pytest.mark.parametrize("names", NAMES, ids=["names as synced", "names as they were"])
def test_power_lost_at_any_call_keeps_what_was_acknowledged(memory: Path, names: bool) -> None:
    """What was never synced is gone; only so does it show that everything is synced in time."""
    for at in range(1, 10_000):
        cut = PowerCut(at)
        (memory / str(at)).mkdir()
        (after := memory / f"{at}-after").mkdir()
        life = Life(memory / str(at), cut)
        try:
            life.go_on()
        except Fault as fault:
            assert isinstance(fault, NotWritten | NotRead), fault
        cut.left(memory / str(at) / "store", after / "store", names=names)
        again = life.die(folder=after)
        again.check(perhaps=1)
        again.go_on()
        again.check_end()
        if not cut.failed:
            return
        shutil.rmtree(memory / str(at))
        shutil.rmtree(after)
    pytest.fail("never came to an end")


@pytest.mark.parametrize("names", NAMES, ids=["names as synced", "names as they were"])
def test_what_the_next_program_shows_outlives_the_power(memory: Path, names: bool) -> None:
    """A program died at any call, another opened what it left or tidied up, the power went."""
    for at in range(1, 10_000):
        machine = PowerCut(at)
        (memory / str(at)).mkdir()
        (after := memory / f"{at}-after").mkdir()
        life = Life(memory / str(at), machine)
        with suppress(Fault):
            life.go_on()
        machine.restart()
        next_life = life.die(machine)
        next_life.shelf.sweep()
        with suppress(Absent, Declined):
            life.said = next_life.shelf.open(SESSION).records()
        next_life.shelf.close()
        machine.left(memory / str(at) / "store", after / "store", names=names)
        life.die(folder=after).check(perhaps=1)
        if machine.calls < at:
            return
        shutil.rmtree(memory / str(at))
        shutil.rmtree(after)
    pytest.fail("never came to an end")


@pytest.mark.parametrize("plan", ONCE + FOREVER, ids=str)
def test_failing_while_recovering_loses_nothing_either(memory: Path, plan: Plan) -> None:
    """A torn tail, orphans, and a journal beside its document, met by a disk that fails again."""
    for at in range(1, 10_000):
        folder = memory / str(at)
        left_by_a_crash(folder)
        failing = FailingDisk(plan._replace(at=at))
        store = shelf(folder, failing)
        try:
            store.sweep()
            store.open("torn-1").append(note("c"), stamp(), BY)
            store.seal("torn-1")
            add(store.amend("both-1"), "more")
        except Fault as fault:
            assert isinstance(fault, NotWritten | NotRead), fault
        store.close()
        again = shelf(folder)
        assert texts(again.read("torn-1").records)[:2] == ["a", "b"]
        assert texts(again.read("both-1").records)[:2] == ["a", "b"]
        assert again.catalogue.names("joint") == ["A"]
        again.sweep()
        if "torn-1" in again.live():
            assert again.open("torn-1").records()
            again.seal("torn-1")
        assert list(folder.glob("store/*/*.tmp")) == []
        if not failing.failed:
            assert texts(again.read("torn-1").records) == ["a", "b", "c"]
            return
        shutil.rmtree(folder)
    pytest.fail("never came to an end")


def left_by_a_crash(folder: Path) -> None:
    """A store in which everything that a dying program can leave behind lies about."""
    path = written(folder, "a", "b", session="torn-1")
    path.write_bytes(path.read_bytes() + b'{"digest":"12')
    path = written(folder, "a", "b", session="both-1")
    journal = path.read_bytes()
    store = shelf(folder)
    store.seal("both-1")
    store.catalogue.put("joint", "A", {})
    path.write_bytes(journal)
    for name in ("sessions/torn-1.json.tmp", "live/both-1.journal.tmp", "catalogue.json.tmp"):
        (folder / "store" / name).write_bytes(b"half")


# --- one append that is refused -----------------------------------------------------------------


def test_what_was_refused_is_not_there_even_if_nothing_is_tried_again(memory: Path) -> None:
    calls = Broken()
    opened = Journal.begin(disk(memory, calls), SESSION)
    add(opened, "a")
    calls.broken = {"sync"}
    with pytest.raises(NotWritten, match="the disk reports an error"):
        add(opened, "refused")
    opened.close()
    assert texts(read(disk(memory), SESSION).records) == ["a"]


def test_what_was_refused_is_cut_off_before_anything_else_is_written(memory: Path) -> None:
    """The line is whole on the disk, and a watcher has even seen it."""
    calls = Broken()
    opened = Journal.begin(disk(memory, calls), SESSION)
    trail = Trail(disk(memory), SESSION)
    add(opened, "a")
    calls.broken = {"sync", "truncate"}
    for _ in range(3):
        with pytest.raises(NotWritten):
            add(opened, "refused")
    assert texts(trail.new()) == ["a", "refused"]
    calls.broken = set()
    add(opened, "b")
    again = trail.new()
    assert (again[0].seq, texts(again)) == (1, ["a", "b"])
    assert texts(read(disk(memory), SESSION).records) == ["a", "b"]


def test_what_was_refused_is_not_sealed(memory: Path) -> None:
    calls = Broken()
    store = shelf(memory, calls)
    opened = store.begin(SESSION)
    add(opened, "a")
    calls.broken = {"sync", "truncate"}
    with pytest.raises(NotWritten):
        add(opened, "refused")
    calls.broken = {"unlink"}
    store.seal(SESSION)
    calls.broken = set()
    again = shelf(memory)
    assert again.read(SESSION).sealed
    assert texts(again.read(SESSION).records) == ["a"]
    assert again.live() == []


def test_a_record_that_vanished_stops_the_writer(memory: Path) -> None:
    calls = Broken()
    opened = Journal.begin(disk(memory, calls), SESSION)
    add(opened, "a", "b")
    path = memory / "store" / "live" / f"{SESSION}.journal"
    calls.broken = {"sync"}
    with pytest.raises(NotWritten):
        add(opened, "refused")
    calls.broken = {"sync", "truncate"}
    with pytest.raises(NotWritten):
        add(opened, "refused")
    calls.broken = set()
    heading, first, _ = path.read_bytes().split(b"\n", 2)
    path.write_bytes(heading + b"\n" + first + b"\n")
    with pytest.raises(Damaged, match="record 2") as refused:
        add(opened, "c")
    assert texts(refused.value.sound) == ["a"]


class Racing(Swift):
    """Between opening the lock's file and locking it, its last holder removes it, once."""

    def __init__(self, path: Path) -> None:
        self._path: Path | None = path

    def lock(self, file: int) -> None:
        if self._path is not None:
            self._path.unlink()
            self._path = None
        super().lock(file)


def test_a_lock_on_a_file_that_is_gone_is_no_lock(memory: Path) -> None:
    name = "live/joint-1.lock"
    racing = disk(memory, Racing(memory / "store" / name))
    with racing.lock(name, wait=1.0), pytest.raises(InUse):
        disk(memory).lock(name)
    disk(memory).lock(name).release()
