"""A session as it grows under another program's hands, followed without touching it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from store import chain, sealed
from store.chain import Bad, heading, start
from store.disk import Disk, Mark
from store.faults import Absent, Damaged
from store.journal import apart, journal_name
from store.sealed import document_name

if TYPE_CHECKING:
    from engine.facts import Record


class Trail:
    """What is new in a session since the last time.  Reads only, and repairs nothing."""

    def __init__(self, disk: Disk, session: str) -> None:
        self._disk = disk
        self.session = session
        self._marks: tuple[Mark | None, Mark | None] | None = None
        self._rewind()

    def new(self) -> list[Record]:
        """The records that were finished since the last call.

        If the first of them is record 1, begin anew: what was given before does not stand.  (A
        watcher can see a line whose writer is then refused the certainty that it is on the disk,
        and cuts it off.)  Raises Absent, Newer; Damaged once everything sound was given.
        """
        marks = (
            self._disk.mark(journal_name(self.session)),
            self._disk.mark(document_name(self.session)),
        )
        if marks == self._marks:
            return []
        self._marks = None
        try:
            found = self._take()
        except Damaged:  # or read while it was being changed: then it is whole now
            found = self._take()
        self._marks = marks if found.whole else None
        return found.records

    def _rewind(self) -> None:
        self._number = 0
        self._head = start(self.session)
        self._offset = len(heading(self.session)) + 1
        self._last = b""

    def _take(self) -> _Taken:
        lines, amiss = self._fresh()
        try:
            records = chain.records(
                self.session, lines, amiss, head=self._head, first=self._number + 1
            )
        except Damaged as damage:
            if not damage.sound:
                raise
            records = list(damage.sound)
        for line in lines[: len(records)]:
            self._number += 1
            self._offset += len(line) + 1
            self._head = chain.digest(line)
            self._last = line + b"\n"
        return _Taken(records, len(records) == len(lines) and amiss is None)

    def _fresh(self) -> tuple[Sequence[bytes], Bad | None]:
        """Finished lines behind the last one given, or all of them where that one is gone."""
        known = self._offset - len(self._last) if self._number else 0
        data = self._disk.read(journal_name(self.session), known)
        if data is None:
            return self._closed()
        if not data.startswith(self._last):
            self._rewind()
            return self._fresh()
        if self._number:
            return data[len(self._last) :].split(b"\n")[:-1], None
        pages = apart(data, self.session)
        return pages.lines, pages.amiss

    def _closed(self) -> tuple[Sequence[bytes], Bad | None]:
        data = self._disk.read(document_name(self.session))
        if data is None:
            raise Absent(f"there is no session {self.session}")
        pages = sealed.apart(data, self.session)
        known = pages.lines[self._number - 1 : self._number] if self._number else []
        if self._number and known != [self._last[:-1]]:
            self._rewind()
        return pages.lines[self._number :], pages.amiss


class _Taken:
    def __init__(self, records: list[Record], whole: bool) -> None:
        self.records = records
        self.whole = whole
