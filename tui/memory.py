"""A shelf that keeps nothing: for demonstration."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from engine.facts import record
from engine.trouble import Trouble
from tui.outside import Row

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
