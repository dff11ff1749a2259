"""The record of a session that is still open: read by anyone, written by one."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from typing import TYPE_CHECKING, NamedTuple

from store import chain
from store.chain import Bad, Sound, heading, start
from store.disk import Disk, Lock
from store.faults import Absent, Damaged, Declined, Fault, InUse, Newer, NotWritten, plain
from store.places import open_place

if TYPE_CHECKING:
    from engine.clock import Stamp
    from engine.facts import Fact, Record


def journal_name(session: str) -> str:
    return f"{open_place(session)}.journal"


def lock_name(session: str) -> str:
    return f"{open_place(session)}.lock"


def torn_name(session: str) -> str:
    return f"{open_place(session)}.torn"


def lock(disk: Disk, session: str) -> Lock:
    """This process alone writes to the session."""
    try:
        return disk.lock(lock_name(session))
    except InUse:
        raise InUse(
            f"session {session} is being written by another program; it can be watched"
        ) from None


class Pages(NamedTuple):
    """A journal taken apart, nothing proved yet.

    tail  what stands behind the last finished line     length  bytes before the tail
    """

    lines: list[bytes]
    tail: bytes
    length: int
    amiss: Bad | None


def apart(data: bytes, session: str) -> Pages:
    """Split at line ends, and at nothing else that could pass for one."""
    if amiss := chain.overlong(data):
        return Pages([], b"", 0, amiss)
    *whole, tail = data.split(b"\n")
    # The file appeared with its heading, or not at all: without one it was cut.
    if whole:
        amiss = chain.misheaded(whole[0], heading(session), session, whole[1:])
    else:
        amiss = Bad(0, "it is cut off" if data else "the file is empty")
    return Pages(whole[1:], tail, len(data) - len(tail), amiss)


def whole(session: str, lines: Sequence[bytes]) -> bytes:
    """A journal that holds just these lines."""
    return b"".join(line + b"\n" for line in (heading(session), *lines))


def read(disk: Disk, session: str) -> Sound:
    """What the journal holds; an unfinished last line was never acknowledged and is left out.

    Raises Absent, Damaged (with the records before the damage), Newer.
    """
    data = disk.read(journal_name(session))
    if data is None:
        raise Absent(f"there is no open session {session}")
    pages = apart(data, session)
    records = chain.records(session, pages.lines, pages.amiss)
    head = chain.digest(pages.lines[-1]) if pages.lines else start(session)
    return Sound(session, records, head, bool(pages.tail))


class Journal:
    """The one writer of a session.

    What `append` returned is on the disk.  What it raised NotWritten for is not there: a line that
    arrived whole after all is cut off again, since the operator was told that it was not written
    and may have typed it anew; two readings where one was taken would be worse than none.  (Where
    even cutting fails and the process then dies, whoever opens the journal finds a whole, sound
    line and cannot know of the refusal: it counts.)
    """

    def __init__(self, disk: Disk, session: str, held: Lock) -> None:
        """Take up an existing journal under a lock already held; a torn tail is set aside."""
        self._disk = disk
        self.session = session
        self._lock: Lock | None = held
        self._doubt: bytes | None = None
        data = disk.read(journal_name(session))
        if data is None:
            raise Absent(f"there is no open session {session}")
        pages = apart(data, session)
        self._records = chain.records(session, pages.lines, pages.amiss)
        self._head = chain.digest(pages.lines[-1]) if pages.lines else start(session)
        self._length = pages.length
        if pages.tail:
            earlier = disk.read(torn_name(session)) or b""
            disk.replace(torn_name(session), earlier + pages.tail + b"\n")
        # Even with nothing to cut: the last writer may have died before it came to syncing.
        disk.settle(journal_name(session), pages.length)

    @classmethod
    def open(cls, disk: Disk, session: str) -> Journal:
        """Resume.  Raises Absent, InUse, Damaged, Newer, NotWritten."""
        if disk.mark(journal_name(session)) is None:
            raise Absent(f"there is no open session {session}")
        return cls.under(disk, session, lock(disk, session))

    @classmethod
    def begin(cls, disk: Disk, session: str) -> Journal:
        """Start a new one; Declined where the session already has a record."""
        held = lock(disk, session)
        try:
            bare = whole(session, [])
            if disk.read(journal_name(session)) not in (None, bare):
                raise Declined(f"there is already a session {session}")
            disk.replace(journal_name(session), bare)
        except BaseException:
            held.release()
            raise
        return cls.under(disk, session, held)

    @classmethod
    def under(cls, disk: Disk, session: str, held: Lock) -> Journal:
        """Resume under a lock already held, which is let go if that fails."""
        try:
            return cls(disk, session, held)
        except BaseException:
            held.release()
            raise

    @property
    def closed(self) -> bool:
        """Nothing more can be written here."""
        return self._lock is None

    def records(self) -> list[Record]:
        return list(self._records)

    def lines(self) -> list[bytes]:
        """The acknowledged lines, as they stand on the disk, and nothing behind them."""
        if self.closed:
            raise Declined(f"session {self.session} is closed here")
        self._mend()
        return self._held()

    @property
    def head(self) -> str:
        """The digest of all records."""
        return self._head

    def append(self, fact: Fact, stamp: Stamp, by: str) -> Record:
        """Write down `fact`; what is returned is what will be read back.

        Raises NotWritten; the next call first puts the journal back as it was before the failure.
        """
        if self.closed:
            raise NotWritten(f"not written down: session {self.session} is closed here")
        line, record = self._composed(fact, stamp, by)
        self._mend()
        self._doubt = line + b"\n"
        try:
            self._disk.append(journal_name(self.session), self._doubt, self._length)
        except NotWritten:
            with suppress(Fault):
                self._mend()
            raise
        self._length += len(self._doubt)
        self._doubt = None
        self._head = chain.digest(line)
        self._records.append(record)
        return record

    def _composed(self, fact: Fact, stamp: Stamp, by: str) -> tuple[bytes, Record]:
        number = len(self._records) + 1
        try:
            line = chain.compose(number, self._head, fact, stamp, by)
            [record] = chain.records(self.session, [line], head=self._head, first=number)
        except (Damaged, Newer, ValueError) as error:
            why = error.why if isinstance(error, Damaged) else plain(str(error))
            raise NotWritten(f"not written down: it could not be read back ({why})") from None
        return line, record

    def close(self, *, last: bool = False) -> None:
        """Others may write.  `last`: nobody is to write to this session any more."""
        if self._lock is not None:
            self._lock.release(last=last)
            self._lock = None

    def _mend(self) -> None:
        """After a failure: read again, and cut off what was reported as not written."""
        if self._doubt is None:
            return
        held = self._held()
        left = self._disk.read(journal_name(self.session), self._length) or b""
        if not self._doubt.startswith(left):
            raise Damaged(self.session, len(held) + 1, "another program wrote it", self._records)
        # Cut even where nothing is left over: the file's length on the disk may be another than
        # the one that is seen, and syncing makes them one.
        self._disk.settle(journal_name(self.session), self._length)
        self._doubt = None

    def _held(self) -> list[bytes]:
        data = self._disk.read(journal_name(self.session)) or b""
        pages = apart(data[: self._length], self.session)
        sound = chain.proved(start(self.session), pages.lines)
        held = len(self._records)
        if pages.amiss or pages.tail or not sound == held == len(pages.lines):
            raise Damaged(self.session, sound + 1, "it is no longer there", self._records[:sound])
        return pages.lines
