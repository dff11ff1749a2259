"""A closed session: one JSON document, holding the very lines that its journal held."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from typing import NamedTuple

from store import chain, journal
from store.chain import FORMAT, Bad, Sound, identity
from store.disk import Disk
from store.faults import Absent, Damaged, Declined, Fault
from store.journal import Journal, journal_name, whole
from store.places import closed_place


def document_name(session: str) -> str:
    return f"{closed_place(session)}.json"


def revision_name(session: str, records: int) -> str:
    """Of the document as it was before an amendment, when it held so many records."""
    return f"{closed_place(session)}.r{records}.json"


class Pages(NamedTuple):
    """A document taken apart, nothing proved yet."""

    lines: list[bytes]
    amiss: Bad | None


def _opening(session: str) -> bytes:
    return b'{"holdwater":%d,"session":"%s","records":[' % (FORMAT, identity(session).encode())


def _ending(lines: Sequence[bytes]) -> bytes:
    return b'],"head":"%s"}' % (chain.digest(lines[-1]).encode() if lines else b"")


def pack(session: str, lines: Sequence[bytes]) -> bytes:
    return b"%s\n%s\n%s\n" % (_opening(session), b",\n".join(lines), _ending(lines))


def apart(data: bytes, session: str) -> Pages:
    """Split at line ends; where the ending is not as written, everything counts as lines."""
    if overlong := chain.overlong(data):
        return Pages([], overlong)
    first, *rest = data.split(b"\n")
    ended = len(rest) > 2 and rest[-1] == b"" and rest[-2].startswith(b"]")
    rows = rest[:-2] if ended else rest[:-1] if rest[-1:] == [b""] else rest
    lines = [row.removesuffix(b",") for row in rows]
    amiss = chain.misheaded(first, _opening(session), session, lines)
    if amiss is None:
        commas = [number for number, row in enumerate(rows[:-1], 1) if not row.endswith(b",")]
        if commas:
            amiss = Bad(commas[0], "it is not what was written")
        elif not ended or not rows or rows[-1].endswith(b",") or rest[-2] != _ending(lines):
            amiss = Bad(len(lines) + 1, "the file does not end as it was written")
    return Pages(lines, amiss)


def lines(data: bytes, session: str) -> list[bytes]:
    """The lines of a document that is sound; else raises Damaged or Newer."""
    pages = apart(data, session)
    if pages.amiss or chain.proved(chain.start(session), pages.lines) < len(pages.lines):
        chain.records(session, pages.lines, pages.amiss)
    return pages.lines


def read(disk: Disk, session: str) -> Sound:
    """What the closed session holds.  Raises Absent, Damaged (with what is sound), Newer."""
    data = disk.read(document_name(session))
    if data is None:
        raise Absent(f"there is no closed session {session}")
    pages = apart(data, session)
    records = chain.records(session, pages.lines, pages.amiss)
    return Sound(session, records, chain.digest(pages.lines[-1]), sealed=True)


def seal(disk: Disk, session: Journal) -> str:
    """The session is closed, its journal gone; returns the digest of all its records.

    A document that was there before, and that this one goes on from, is kept as a revision.  After
    NotWritten the journal is still open and can be sealed again.
    """
    name = session.session
    held = session.lines()
    if not held:
        raise Declined(f"session {name} has no records yet")
    earlier = disk.read(document_name(name))
    if earlier is not None:
        before = lines(earlier, name)
        _goes_on(name, before, held)
        if len(before) < len(held):
            disk.replace(revision_name(name, len(before)), earlier)
    disk.replace(document_name(name), pack(name, held))
    # A journal left over is told by its equal head, and the document wins.
    with suppress(Fault):
        disk.remove(journal_name(name))
    session.close(last=True)
    return session.head


def amend(disk: Disk, session: str) -> Journal:
    """The closed session's journal, open again; the document stays until it is sealed anew."""
    held = journal.lock(disk, session)
    try:
        data = disk.read(document_name(session))
        if data is None:
            raise Absent(f"there is no closed session {session}")
        before = lines(data, session)
        found = disk.read(journal_name(session))
        after = before if found is None else journal.apart(found, session).lines
        _goes_on(session, before, after)
        if len(after) == len(before):
            disk.replace(journal_name(session), whole(session, before))
    except BaseException:
        held.release()
        raise
    return Journal.under(disk, session, held)


def open_again(disk: Disk, session: str) -> bool:
    """Beside the document there is a journal that goes on from it.

    False where the journal holds the same, as after a program died in sealing: the document wins.
    Raises Damaged where the two part ways.
    """
    found, data = disk.read(journal_name(session)), disk.read(document_name(session))
    if found is None or data is None:
        return False
    before, after = lines(data, session), journal.apart(found, session).lines
    _goes_on(session, before, after)
    return len(after) > len(before)


def _goes_on(session: str, before: Sequence[bytes], after: Sequence[bytes]) -> None:
    if list(after[: len(before)]) != list(before):
        same = [a == b for a, b in zip(before, after, strict=False)]
        number = (same.index(False) if False in same else len(same)) + 1
        sound = chain.records(session, before[: number - 1])
        raise Damaged(session, number, "the journal and the closed session part ways", sound)
