"""Everything that lasts, in one folder: sessions open and closed, the catalogue, the index."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Final

from store import journal, sealed
from store.catalogue import Catalogue, Index, Row
from store.chain import Sound, identity
from store.disk import Disk, is_name
from store.faults import Absent, Damaged, Declined, Fault, plain
from store.journal import Journal, journal_name
from store.margin import Margin, Written
from store.places import CLOSED, OPEN
from store.sealed import document_name, revision_name
from store.trail import Trail

if TYPE_CHECKING:
    from store.audit import Audit

_TOLD: Final = 5
"""How many sessions are named where a beginning fits several."""


class Shelf:
    """The store as the wiring hands it on.  Raises Fault, each one line for people."""

    def __init__(self, folder: Path, disk: Disk | None = None) -> None:
        self._disk = disk or Disk(folder)
        self._open: dict[str, Journal] = {}
        self.catalogue = Catalogue(self._disk)
        self.index = Index(self._disk)
        self._margin = Margin(self._disk)

    def ready(self) -> None:
        """There is a folder to keep things in.  Raises NotWritten, NotRead."""
        self._disk.ready()

    # --- writing a session ---

    def begin(self, session: str) -> Journal:
        """A new session's journal.  Declined where there is one by that identity."""
        opened = Journal.begin(self._disk, session)
        try:
            if self._disk.mark(document_name(session)) is not None:
                self._disk.remove(journal_name(session))
                raise Declined(f"there is already a session {session}")
        except Fault:
            opened.close()
            raise
        return self._keep(opened)

    def open(self, session: str) -> Journal:
        """An open session's journal: opening is resuming.  Raises Absent, Declined, InUse."""
        if self._closed(session):
            raise Declined(f"session {session} is closed; it can be amended")
        opened = Journal.open(self._disk, session)
        try:
            # Sealed by another program between the question and the lock.
            if self._closed(session):
                raise Declined(f"session {session} is closed; it can be amended")
        except Fault:
            opened.close()
            raise
        return self._keep(opened)

    def amend(self, session: str) -> Journal:
        """A closed session's journal, open again; whoever asked appends the reason first."""
        return self._keep(sealed.amend(self._disk, session))

    def seal(self, session: str) -> str:
        """The session is closed; returns the digest of its records.

        A journal that was opened here is closed with it.  After NotWritten it is still open.
        """
        opened = self._open.get(session)
        mine = opened is not None and not opened.closed
        if opened is None or opened.closed:
            opened = self.open(session)
        try:
            return sealed.seal(self._disk, opened)
        except BaseException:
            if not mine:
                opened.close()
            raise

    def close(self) -> None:
        """Every journal opened here is closed; others may write."""
        for opened in self._open.values():
            opened.close()
        self._open.clear()

    def _keep(self, opened: Journal) -> Journal:
        self._open[opened.session] = opened
        return opened

    # --- reading ---

    def read(self, session: str) -> Sound:
        """What the session holds, open or closed.  Raises Absent, Damaged, Newer."""
        try:
            return self._read(session)
        except (Absent, Damaged):
            # Or it was being sealed or amended just then; what is damaged stays damaged.
            return self._read(session)

    def _read(self, session: str) -> Sound:
        if self._disk.mark(journal_name(session)) is not None and not self._closed(session):
            return journal.read(self._disk, session)
        return sealed.read(self._disk, session)

    def trail(self, session: str) -> Trail:
        """For following the session while another program writes it."""
        return Trail(self._disk, session)

    def document(self, session: str) -> bytes:
        """The bytes that the session's file holds, as they stand.

        Raises Absent; Damaged where there are two, and the one does not go on from the other.
        """
        try:
            return self._document(session)
        except Damaged:
            # Or it was being sealed or amended just then; what is damaged stays damaged.
            return self._document(session)

    def _document(self, session: str) -> bytes:
        names = [document_name(session), journal_name(session)]
        if self._disk.mark(names[1]) is not None and not self._closed(session):
            names.reverse()
        for name in names:
            if (data := self._disk.read(name)) is not None:
                return data
        raise Absent(f"there is no session {session}")

    def earlier(self, session: str, records: int) -> bytes | None:
        """The sealed file that it was when it held so many records; None where there is none.

        While an amendment is open, the last one is the sealed file itself.
        """
        kept = self._disk.read(revision_name(session, records))
        return self._disk.read(document_name(session)) if kept is None else kept

    def documents(self, session: str) -> tuple[bytes | None, bytes | None]:
        """The bytes of its sealed file and of its journal, whatever they hold."""
        closed, live = document_name(session), journal_name(session)
        return self._disk.read(closed), self._disk.read(live)

    def audit(self, session: str) -> Audit:
        """What the session's files prove, and everything that is wrong with them."""
        from store import audit

        try:
            return audit.audit(self.document(session))
        except Damaged:
            closed, live = self.documents(session)
            if closed is None or live is None:
                raise
            return audit.side_by_side(session, closed, live)

    def _closed(self, session: str) -> bool:
        """There is a sealed document, and no journal that goes on from it."""
        if self._disk.mark(document_name(session)) is None:
            return False
        return not sealed.open_again(self._disk, session)

    # --- finding ---

    def live(self) -> list[str]:
        """The sessions that are open, being amended included."""
        sealed_too = set(self._named(CLOSED, ".json"))
        return [each for each in self._named(OPEN, ".journal") if self._is_live(each, sealed_too)]

    def sealed(self) -> list[str]:
        """The sessions that have been closed, those being amended included."""
        return self._named(CLOSED, ".json")

    def resolve(self, beginning: str) -> str:
        """The one session whose identity begins so; raises Absent, or Declined naming several."""
        every = sorted({*self._named(OPEN, ".journal"), *self.sealed()})
        if beginning in every:
            return beginning
        found = [session for session in every if beginning and session.startswith(beginning)]
        if len(found) == 1:
            return found[0]
        if not found:
            raise Absent(f'there is no session "{plain(beginning)}"')
        more = f" and {len(found) - _TOLD} more" if len(found) > _TOLD else ""
        raise Declined(
            f'"{plain(beginning)}" fits {len(found)} sessions: {", ".join(found[:_TOLD])}{more}'
        )

    def _is_live(self, session: str, sealed_too: set[str]) -> bool:
        if session not in sealed_too:
            return True
        try:
            return sealed.open_again(self._disk, session)
        except Fault:
            return True  # whoever opens it is told what is wrong

    def _named(self, folders: Iterable[str], ending: str) -> list[str]:
        found = []
        for name in (name for folder in folders for name in self._disk.names(folder)):
            with suppress(Absent):
                if name.endswith(ending):
                    found.append(identity(name.removesuffix(ending)))
        return found

    # --- the index ---

    def rows(self) -> list[Row]:
        """One row a session, as it is shown."""
        return self.index.rows()

    def put_row(self, session: str, row: Row) -> None:
        self.index.put(session, row)

    def rebuild(self, rows: Mapping[str, Row]) -> None:
        """The index holds these rows, by session, and no others."""
        self.index.rebuild(rows)

    # --- beside a session, never in it ---

    def remarks(self, session: str) -> list[Written]:
        """What a trainer said about its moments: t [s since it was opened], seq, by, text."""
        return self._margin.written(session, "remarks")

    def remark(self, session: str, what: Written) -> None:
        self._margin.write(session, "remarks", what)

    def rounds(self, session: str) -> list[Written]:
        """What people answered to questions about it: by, at, answers."""
        return self._margin.written(session, "rounds")

    def add_round(self, session: str, what: Written) -> None:
        self._margin.write(session, "rounds", what)

    # --- order ---

    def sweep(self) -> int:
        """Files left behind by programs that died are gone; returns how many.

        Never another program's: each is removed under the lock of what it belongs to.
        """
        swept = 0
        for session in self._named(OPEN, ".journal"):
            with suppress(Fault):
                swept += self._sweep_journal(session)
        for folder in (*OPEN, *CLOSED):
            for name in self._disk.names(folder):
                session = name.split(".")[0]
                if name.endswith(".tmp") and is_name(name):
                    with suppress(Fault), journal.lock(self._disk, session):
                        self._disk.remove(f"{folder}/{name}")
                        swept += 1
        return swept

    def _sweep_journal(self, session: str) -> int:
        if self._disk.mark(document_name(session)) is None or not self._closed(session):
            return 0
        with journal.lock(self._disk, session):
            if not self._closed(session):
                return 0
            self._disk.settle(document_name(session))
            self._disk.remove(journal_name(session))
        return 1
