"""Journals and sealed files cut at every byte, and with every bit turned."""

from __future__ import annotations

from pathlib import Path

from engine.facts import Fact, GaugeZeroed, PressureRead, Record
from engine.units import q
from store import chain, journal, sealed
from store.faults import Damaged
from store.journal import Journal
from tests.ledger import BY, SESSION, disk, note, stamp
from tests.long.counting import Long, Row, Rows


def _grown(folder: Path) -> tuple[Path, list[Record]]:
    """A journal of records of several kinds."""
    opened = Journal.begin(disk(folder), SESSION)
    facts: list[Fact] = []
    for n in range(4):
        facts += [note(f"note {n}"), PressureRead(pressure=q(13 + n / 4, "psi"), ago=0.0),
                  GaugeZeroed(mark="G-07", reading=q(0, "psi"))]  # fmt: skip
    records = [opened.append(fact, stamp(n), BY) for n, fact in enumerate(facts)]
    opened.close()
    return folder / "store" / journal.journal_name(SESSION), records


def cut(long: Long) -> Rows:
    folder = long.fresh()
    path, records = _grown(folder)
    whole = path.read_bytes()
    store = disk(folder)
    tried = acknowledged = lost = 0
    for at in range(len(chain.heading(SESSION)) + 1, len(whole) + 1, max(1, round(1 / long.share))):
        path.write_bytes(whole[:at])
        lines = max(whole[:at].count(b"\n") - 1, 0)
        found = journal.read(store, SESSION).records
        tried, acknowledged = tried + 1, acknowledged + lines
        lost += lines - sum(a == b for a, b in zip(found, records[:lines], strict=True))
        opened = Journal.open(store, SESSION)
        opened.append(note("after"), stamp(), BY)
        opened.close()
        lost += journal.read(store, SESSION).records[:lines] != records[:lines]
    yield Row("journal cut at every byte", tried, acknowledged, lost)
    path.write_bytes(whole)
    sealed.seal(store, Journal.open(store, SESSION))
    path = folder / "store" / sealed.document_name(SESSION)
    whole = path.read_bytes()
    silent = 0
    for at in range(len(whole)):
        path.write_bytes(whole[:at])
        silent += not _noticed(folder, closed=True, records=records)
    yield Row("sealed file cut at every byte", len(whole), len(records) * len(whole), silent)


def flip(long: Long) -> Rows:
    for closed in (False, True):
        folder = long.fresh()
        path, records = _grown(folder)
        if closed:
            sealed.seal(disk(folder), Journal.open(disk(folder), SESSION))
            path = folder / "store" / sealed.document_name(SESSION)
        whole = path.read_bytes()
        tried = silent = 0
        for at in range(0, len(whole), max(1, round(1 / long.share))):
            for bit in range(8):
                turned = bytearray(whole)
                turned[at] ^= 1 << bit
                path.write_bytes(turned)
                tried += 1
                silent += not _noticed(folder, closed, records)
        kind = "sealed file" if closed else "journal"
        yield Row(f"every bit of a {kind} turned", tried, tried * len(records), silent)


def _noticed(folder: Path, closed: bool, records: list[Record]) -> bool:
    """The damage is named, or is a torn tail; and what is sound before it is as it was written."""
    try:
        found = (sealed if closed else journal).read(disk(folder), SESSION)
    except Damaged as damage:
        return list(damage.sound) == records[: len(damage.sound)]
    return found.torn and list(found.records) == records[: len(found.records)]
