"""Files from elsewhere: read without belief, and taken in whole or not at all.

No path, name or size from inside a file is used before it is proved; a session keeps the identity
that its digests were made with, and never takes the place of another.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal

from store import audit, chain, journal, sealed
from store.audit import Audit, Finding
from store.disk import Disk
from store.faults import Absent, Damaged, Declined, Fault, Malformed
from store.journal import journal_name
from store.paths import contents, expanded
from store.sealed import document_name

if TYPE_CHECKING:
    from engine.facts import Record
    from engine.session import Session
    from store.shelf import Shelf

MOST_BYTES: Final = 64 << 20
"""Of a file from elsewhere."""


@dataclass(frozen=True, slots=True)
class Found:
    """A session as its file holds it: what proved itself, and everything that did not.

    records  those before the damage, all of them where there is none     head  their digest
    torn     an unfinished line follows, which was never acknowledged
    """

    session: str
    records: Sequence[Record]
    head: str
    sealed: bool
    torn: bool
    damage: str | None
    told: Audit
    elsewhere: bool = False
    """It is not of this store: nothing vouches for what it says."""
    revisions: tuple[int, ...] = ()
    """How many records each earlier closing of it held, where that is kept as it was closed."""

    @property
    def sound(self) -> bool:
        return self.damage is None and self.told.sound

    @property
    def findings(self) -> tuple[Finding, ...]:
        return self.told.findings

    def bears_out(self, number: int, digest: str) -> bool:
        """See Audit."""
        return self.told.bears_out(number, digest)


def named(shelf: Shelf, name: str) -> Found:
    """The session of that identity, or whose identity begins so; else the file of that name.

    Raises Absent, Declined where several begin so, Malformed, Newer.
    """
    if "/" not in name and "." not in name:
        try:
            return kept(shelf, shelf.resolve(name))
        except Absent:
            if not _is_file(name):
                raise
    return found(contents(expanded(name), MOST_BYTES))


def _is_file(name: str) -> bool:
    try:
        return Path(name).is_file()
    except OSError:
        return False  # longer than any name, or not to be looked at


def kept(shelf: Shelf, session: str) -> Found:
    """The session of that identity.  Raises Absent, Malformed, Newer, NotRead."""
    try:
        data = shelf.document(session)
    except Damaged as why:
        closed, live = shelf.documents(session)
        if closed is None or live is None:
            raise
        return _parted(session, closed, live, str(why))
    try:
        read = found(data, session)
    except Malformed as why:
        raise Malformed(f"session {session}: {why}") from None
    lines, _, _ = _lines(data, session, read.sealed)
    return replace(read, revisions=tuple(_revisions(shelf, read, lines)))


def _revisions(shelf: Shelf, read: Found, lines: Sequence[bytes]) -> Iterator[int]:
    """Of the earlier closings that the records tell of, those that are still there, unchanged."""
    for record in read.records:
        if record.fact.kind != "amended":
            continue
        before = record.seq - 1
        with suppress(Fault):
            if shelf.earlier(read.session, before) == sealed.pack(read.session, lines[:before]):
                yield before


def _parted(session: str, closed: bytes, live: bytes, damage: str) -> Found:
    """Of a sealed file and a journal that do not go together, what can be read."""
    told = audit.side_by_side(session, closed, live)
    start = chain.start(session)
    either = (_lines(closed, session, True)[0], _lines(live, session, False)[0])
    lines = max(either, key=lambda lines: chain.proved(start, lines))[: len(told.digests)]
    try:
        records = chain.records(session, lines)
    except Damaged as why:
        records = list(why.sound)
    head = told.digests[len(records) - 1] if records else start
    return Found(session, records, head, False, told.torn, damage, told)


def found(data: bytes, session: str | None = None) -> Found:
    """What a session's file holds, open or closed; `session` is who it has to be in this store.

    Raises Malformed for what is no session file, Newer.
    """
    told = audit.audit(data)
    name = session or told.session
    if name is None:
        raise Malformed("its heading names no session: which test it is of cannot be told")
    closed = is_document(data)
    lines, amiss, torn = _lines(data, name, closed)
    damage = None
    try:
        records = chain.records(name, lines, amiss)
    except Damaged as why:
        records, damage = list(why.sound), str(why)
    head = chain.digest(lines[len(records) - 1]) if records else chain.start(name)
    return Found(name, records, head, closed, torn, damage, told, session is None)


def is_document(data: bytes) -> bool:
    """It is a closed session; else, a journal."""
    return data.partition(b"\n")[0].endswith(b'"records":[')


def _lines(data: bytes, name: str, closed: bool) -> tuple[list[bytes], chain.Bad | None, bool]:
    if closed:
        lines, amiss = sealed.apart(data, name)
        return lines, amiss, False
    pages = journal.apart(data, name)
    return pages.lines, pages.amiss, bool(pages.tail)


Taken = Literal["new", "same"]


def take_in(disk: Disk, data: bytes) -> tuple[str, Session, Taken]:
    """The closed session is kept here too, byte for byte; or was already.

    Raises Malformed, Newer, Unbelievable; Declined for an open one, for one that is not sound, and
    where there is another by that identity, which stays as it is.
    """
    from engine.foreign import MOST_RECORDS, believe

    if data.count(b"\n") > MOST_RECORDS + 2:
        raise Malformed(f"more than {MOST_RECORDS} records")
    read = found(data)
    if not read.sound:
        raise Declined(read.damage or read.findings[0].words)
    if not read.sealed:
        raise Declined(f"session {read.session} is still open: close it where it was begun")
    session = believe(read.records)
    return read.session, session, _keep(disk, read.session, data)


def _keep(disk: Disk, session: str, data: bytes) -> Taken:
    held = journal.lock(disk, session)
    try:
        there = disk.read(document_name(session))
        if there == data:
            return "same"
        if there is not None or disk.mark(journal_name(session)) is not None:
            raise Declined(f"there is another session {session} here; it stays as it is")
        disk.replace(document_name(session), data)
        return "new"
    finally:
        held.release(last=True)
