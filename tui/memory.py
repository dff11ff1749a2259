"""A shelf that keeps nothing: for demonstration."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from engine.facts import record
from engine.trouble import Trouble
from tui.outside import MakeRow, Row

if TYPE_CHECKING:
    from engine.clock import Stamp
    from engine.facts import Fact, Record


class MemoryJournal:
    """Records that last as long as the process."""

    def __init__(self, session: str) -> None:
        self.session = session
        self._records: list[Record] = []

    def records(self) -> list[Record]:
        return list(self._records)

    def append(self, fact: Fact, stamp: Stamp, by: str) -> Record:
        made = record(len(self._records) + 1, fact, stamp, by)
        self._records.append(made)
        return made

    def close(self) -> None:
        """Nothing is held."""


@dataclass(frozen=True)
class MemoryKept:
    records: Sequence[Record]
    head: str = ""


class _MemoryTrail:
    def __init__(self, journal: MemoryJournal) -> None:
        self._journal, self._seen = journal, 0

    def new(self) -> list[Record]:
        found = self._journal.records()[self._seen :]
        self._seen += len(found)
        return found


@dataclass
class MemoryShelf:
    _journals: dict[str, MemoryJournal] = field(default_factory=dict)
    _sealed: list[str] = field(default_factory=list)
    _rows: dict[str, Row] = field(default_factory=dict)
    _remarks: dict[str, list[Row]] = field(default_factory=dict)
    _rounds: dict[str, list[Row]] = field(default_factory=dict)

    def begin(self, session: str) -> MemoryJournal:
        return self._journals.setdefault(session, MemoryJournal(session))

    def open(self, session: str) -> MemoryJournal:
        if session not in self._journals:
            raise Trouble(f"there is no session {session}")
        return self._journals[session]

    def amend(self, session: str) -> MemoryJournal:
        self._sealed.remove(session)
        return self.open(session)

    def seal(self, session: str) -> str:
        self._sealed.append(session)
        return ""

    def read(self, session: str) -> MemoryKept:
        return MemoryKept(self.open(session).records())

    def trail(self, session: str) -> _MemoryTrail:
        return _MemoryTrail(self.open(session))

    def live(self) -> list[str]:
        return [s for s in self._journals if s not in self._sealed]

    def sealed(self) -> list[str]:
        return list(self._sealed)

    def resolve(self, beginning: str) -> str:
        return beginning

    def rows(self) -> Sequence[Row]:
        return list(self._rows.values())

    def put_row(self, session: str, row: Row) -> None:
        self._rows[session] = row

    def remarks(self, session: str) -> Sequence[Row]:
        return list(self._remarks.get(session, ()))

    def remark(self, session: str, what: Row) -> None:
        self._remarks.setdefault(session, []).append(what)

    def rounds(self, session: str) -> Sequence[Row]:
        return list(self._rounds.get(session, ()))

    def add_round(self, session: str, what: Row) -> None:
        self._rounds.setdefault(session, []).append(what)


@dataclass(frozen=True)
class MemoryEntry:
    kind: str
    name: str
    version: int
    values: Mapping[str, Any]


@dataclass
class MemoryCatalogue:
    """Entries by kind, name and version."""

    notice: str | None = None
    _entries: list[MemoryEntry] = field(default_factory=list)

    def names(self, kind: str) -> list[str]:
        return sorted({entry.name for entry in self._entries if entry.kind == kind})

    def versions(self, kind: str, name: str) -> list[MemoryEntry]:
        return [entry for entry in self._entries if (entry.kind, entry.name) == (kind, name)]

    def every(self, kind: str) -> list[MemoryEntry]:
        return [self.versions(kind, name)[-1] for name in self.names(kind)]

    def values(self, kind: str, name: str) -> Mapping[str, Any] | None:
        found = self.versions(kind, name)
        return found[-1].values if found else None

    def put(self, kind: str, name: str, values: Mapping[str, Any]) -> MemoryEntry:
        before = self.versions(kind, name)
        if before and before[-1].values == values:
            return before[-1]
        made = MemoryEntry(kind, name, len(before) + 1, dict(values))
        self._entries.append(made)
        return made


class MemoryIndex:
    """Of a shelf that writes a row with every session: nothing is ever missing."""

    def unlisted(self) -> Sequence[str]:
        return ()

    def mend(self, make_row: MakeRow) -> Mapping[str, str]:
        return {}
