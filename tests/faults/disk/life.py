"""A store's whole life in steps that can each be taken again, and what it was told on the way."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import ClassVar

from engine.facts import Fact, Record
from store.catalogue import Entry
from store.disk import Calls
from store.faults import Absent, Declined, Fault
from store.journal import Journal
from store.shelf import Shelf
from tests.ledger import BY, SESSION, amended, note, shelf, stamp

PATIENCE = 3


class Life:
    """Begin, append, seal, catalogue, amend, seal again.

    said  the records that were acknowledged, so far     done  how many steps were
    """

    checked: ClassVar[int] = 0
    """How many acknowledged records were looked for, in all lives."""

    def __init__(self, folder: Path, calls: Calls | None = None) -> None:
        self.folder = folder
        self.shelf = shelf(folder, calls)
        self.said: list[Record] = []
        self.entries: list[Entry] = []
        self.row: str | None = None
        self.head: str | None = None
        self.done = 0
        self.steps: list[Callable[[], None]] = [
            self._begin,
            partial(self._append, 1, note("a")),
            partial(self._append, 2, note("b")),
            partial(self._put, "first"),
            partial(self._row, "open"),
            self._seal,
            partial(self._row, "closed"),
            self._amend,
            partial(self._append, 3, amended()),
            partial(self._put, "second"),
            self._seal,
        ]
        self._journal: Journal | None = None

    def go_on(self, patience: int = 0) -> None:
        """All steps are done; raises the Fault that came, after as many tries more."""
        while self.done < len(self.steps):
            for left in range(patience, -1, -1):
                try:
                    self.steps[self.done]()
                    break
                except Fault:
                    if left == 0:
                        raise
            self.done += 1

    def die(self, calls: Calls | None = None, folder: Path | None = None) -> Life:
        """The same life, as another process finds it and takes it up."""
        self.shelf.close()
        next_life = Life(folder or self.folder, calls)
        next_life.entries, next_life.row, next_life.head = self.entries, self.row, self.head
        next_life.said, next_life.done = list(self.said), self.done
        return next_life

    def found(self) -> list[Record]:
        """The session's records, as the store has them."""
        try:
            return list(self.shelf.read(SESSION).records)
        except Absent:
            return []

    def check(self, perhaps: int) -> None:
        """What was acknowledged is there, and at most so many records besides."""
        found = self.found()
        Life.checked += len(self.said)
        assert found[: len(self.said)] == self.said
        assert len(found) <= len(self.said) + perhaps
        if self.done > 0:
            assert SESSION in (self.shelf.live() + self.shelf.sealed())
        for entry in self.entries:
            assert entry in self.shelf.catalogue.versions(entry.kind, entry.name)
        assert self.shelf.catalogue.notice is None
        shown = [row["state"] for row in self.shelf.rows()]
        assert self.row is None or shown in (["open"], ["closed"])
        if self.head is not None:
            assert self.shelf.audit(SESSION).bears_out(2, self.head)

    def check_end(self) -> None:
        """Everything is as if nothing had ever failed."""
        self.check(perhaps=0)
        assert [record.seq for record in self.found()] == [1, 2, 3]
        assert self.shelf.read(SESSION).sealed
        assert (self.shelf.live(), self.shelf.sealed()) == ([], [SESSION])
        assert [row["state"] for row in self.shelf.rows()] == ["closed"]
        self.shelf.sweep()
        store = self.folder / "store"
        assert list(store.glob("live/*.journal")) == []
        assert list(store.glob("*/*.tmp")) == []

    # --- steps ---

    def _begin(self) -> None:
        self._journal = self.shelf.begin(SESSION)

    def _append(self, number: int, fact: Fact) -> None:
        if self._journal is None or self._journal.closed:
            try:
                self._journal = self.shelf.open(SESSION)
            except Declined:  # an amendment that came to nothing has left the session closed
                self._journal = self.shelf.amend(SESSION)
        if len(self._journal.records()) < number:
            self._journal.append(fact, stamp(number), BY)
        self.said = self._journal.records()

    def _put(self, name: str) -> None:
        self.entries = [*self.entries, self.shelf.catalogue.put("joint", name, {"wall": 5})]

    def _row(self, state: str) -> None:
        self.shelf.put_row(SESSION, {"state": state})
        self.row = state

    def _seal(self) -> None:
        mine = self._journal is not None and not self._journal.closed
        if mine or SESSION in self.shelf.live():
            self.shelf.seal(SESSION)
        self.head = self.head or self.shelf.read(SESSION).head

    def _amend(self) -> None:
        self._journal = self.shelf.amend(SESSION)


def grown(folder: Path) -> Shelf:
    """The store after a whole life in which nothing failed."""
    life = Life(folder)
    life.go_on()
    life.check_end()
    return life.shelf
