"""A file cut at every byte, and with every bit of it turned."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from engine.facts import HoldStarted
from store import chain, journal, sealed
from store.audit import audit
from store.chain import Sound
from store.disk import Disk
from store.faults import Damaged, Fault
from store.journal import Journal
from store.trail import Trail
from tests.ledger import BY, SESSION, add, closed, disk, stamp, texts, written


def test_cut_anywhere_a_journal_holds_the_whole_lines_and_can_be_gone_on_with(
    memory: Path,
) -> None:
    path = written(memory, "a", "b", "c")
    whole = path.read_bytes()
    store = disk(memory)
    for cut in range(len(chain.heading(SESSION)) + 1, len(whole) + 1):
        path.write_bytes(whole[:cut])
        lines = max(whole[:cut].count(b"\n") - 1, 0)
        found = journal.read(store, SESSION)
        assert texts(found.records) == ["a", "b", "c"][:lines]
        assert found.torn == (not whole[:cut].endswith(b"\n"))
        assert texts(Trail(store, SESSION).new()) == ["a", "b", "c"][:lines]
        opened = Journal.open(store, SESSION)
        add(opened, "new")
        opened.close()
        assert texts(journal.read(store, SESSION).records) == [*["a", "b", "c"][:lines], "new"]


def test_cut_in_its_heading_a_journal_is_damaged(memory: Path) -> None:
    """It appeared with its heading, or not at all: whatever it held is gone."""
    path = written(memory, "a", "b", "c")
    whole = path.read_bytes()
    for cut in range(len(chain.heading(SESSION)) + 1):
        path.write_bytes(whole[:cut])
        for use in (journal.read, Journal.open):
            with pytest.raises(Damaged, match="at the heading") as refused:
                use(disk(memory), SESSION)
            assert refused.value.sound == ()
        assert path.read_bytes() == whole[:cut]


def test_cut_anywhere_a_document_is_damaged(memory: Path) -> None:
    path = closed(memory, "a", "b")
    whole = path.read_bytes()
    ends = [end for end, byte in enumerate(whole) if byte == ord("\n")]
    for cut in range(len(whole)):
        path.write_bytes(whole[:cut])
        with pytest.raises(Damaged) as refused:
            sealed.read(disk(memory), SESSION)
        # The last record stands on its line without a comma: it may be all there before its end.
        finished = sum(cut >= end - (n < 2) for n, end in enumerate(ends[1:3], 1))
        assert texts(refused.value.sound) == ["a", "b"][:finished]


def _flips(data: bytes) -> Iterator[tuple[int, bytes]]:
    for at in range(len(data)):
        for bit in range(8):
            flipped = bytearray(data)
            flipped[at] ^= 1 << bit
            yield at, bytes(flipped)


def _minimal(path: Path) -> list[object]:
    """A journal of three small records at `path`."""
    opened = Journal.begin(Disk(path.parent.parent), SESSION)
    facts = [opened.append(HoldStarted(), stamp(n), BY) for n in range(3)]
    opened.close()
    return list(facts)


def _found(read: Callable[[Disk, str], Sound], store: Disk) -> Sound | Damaged:
    try:
        return read(store, SESSION)
    except Damaged as damage:
        return damage


def test_any_bit_turned_in_a_journal_is_damage_or_tears_the_last_line(memory: Path) -> None:
    path = memory / "store" / "live" / f"{SESSION}.journal"
    records = _minimal(path)
    whole = path.read_bytes()
    starts = [end + 1 for end, byte in enumerate(whole) if byte == ord("\n")]
    for at, flipped in _flips(whole):
        path.write_bytes(flipped)
        found = _found(journal.read, disk(memory))
        if at == len(whole) - 1:
            assert isinstance(found, Sound) and found.torn
            assert found.records == records[:2]
            continue
        assert isinstance(found, Damaged), at
        in_record = sum(at >= start for start in starts)
        assert found.number == in_record
        before = found.sound if in_record else ()
        assert list(before) == records[: max(in_record - 1, 0)]
        assert not audit_or_refuse(flipped)


def test_any_bit_turned_in_a_document_is_damage(memory: Path) -> None:
    path = memory / "store" / "live" / f"{SESSION}.journal"
    records = _minimal(path)
    opened = Journal.open(disk(memory), SESSION)
    sealed.seal(disk(memory), opened)
    path = memory / "store" / sealed.document_name(SESSION)
    for at, flipped in _flips(path.read_bytes()):
        path.write_bytes(flipped)
        found = _found(sealed.read, disk(memory))
        assert isinstance(found, Damaged), at
        assert list(found.sound) == records[: len(found.sound)]
        assert not audit_or_refuse(flipped)


def audit_or_refuse(data: bytes) -> bool:
    """Whether an audit of these bytes finds them sound; a refusal in words is no."""
    try:
        return audit(data).sound
    except Fault:
        return False
