"""Builders for what the store keeps: moments, notes, a store in a folder, journals, documents."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from engine.clock import Stamp
from engine.facts import Amended, Noted, Record
from store.disk import Calls, Disk
from store.journal import Journal, journal_name
from store.sealed import document_name, seal
from store.shelf import Shelf

SESSION = "joint-1"
BY = "A. Tester"
MORNING = datetime(2031, 5, 6, 8, 30, tzinfo=UTC)


class Swift(Calls):
    """The operating system, but for waiting on the disk: what is tried here is order, not speed."""

    def sync(self, file: int) -> None:
        pass


def stamp(seconds: float = 0.0) -> Stamp:
    return Stamp(MORNING + timedelta(seconds=seconds), "boot-a", 100.0 + seconds)


def note(text: str = "n") -> Noted:
    return Noted(text=text)


def amended(reason: str = "wrong mark") -> Amended:
    return Amended(reason=reason)


def disk(folder: Path, calls: Calls | None = None) -> Disk:
    return Disk(folder / "store", calls or Swift())


def shelf(folder: Path, calls: Calls | None = None) -> Shelf:
    return Shelf(folder / "store", disk(folder, calls))


def add(journal: Journal, *texts: str) -> list[Record]:
    return [journal.append(note(text), stamp(n), BY) for n, text in enumerate(texts)]


def texts(records: list[Record] | tuple[Record, ...]) -> list[str]:
    """What the notes among the records say."""
    return [record.fact.text for record in records if isinstance(record.fact, Noted)]


def written(folder: Path, *texts: str, session: str = SESSION) -> Path:
    """The path of a journal that holds these notes, its writer gone."""
    store = disk(folder)
    journal = Journal.begin(store, session)
    add(journal, *texts)
    journal.close()
    return store.root / journal_name(session)


def closed(folder: Path, *texts: str, session: str = SESSION) -> Path:
    """The path of a sealed session that holds these notes."""
    store = disk(folder)
    journal = Journal.begin(store, session)
    add(journal, *texts)
    seal(store, journal)
    return store.root / document_name(session)
