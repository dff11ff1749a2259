"""The index of sessions made anew from the sessions themselves: losing it loses nothing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from store.catalogue import Row
from store.faults import Absent, Damaged, Fault

if TYPE_CHECKING:
    from engine.facts import Record
    from store.shelf import Shelf

MakeRow = Callable[[str, "Sequence[Record]", bool], Row]
"""The row of a session from its records; True where they are damaged and end too soon."""


class Listing:
    """The index of a store, held against its sessions on a shelf of its own: from any thread."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def unlisted(self) -> list[str]:
        return unlisted(self._shelf())

    def rebuild(self, make_row: MakeRow) -> dict[str, str]:
        return rebuild_index(self._shelf(), make_row)

    def _shelf(self) -> Shelf:
        from store.shelf import Shelf

        return Shelf(self._folder)


def unlisted(shelf: Shelf) -> list[str]:
    """Sessions that have no row: there are none while the index is as it should be."""
    listed = {str(row["session"]) for row in shelf.rows()}
    return [session for session in _every(shelf) if session not in listed]


def rebuild_index(
    shelf: Shelf, make_row: MakeRow, seen: Callable[[int, int], None] = lambda done, of: None
) -> dict[str, str]:
    """Every session that can be read has its row again; returns why others could not be.

    A damaged session is listed with what is sound of it.  `seen` is told how many of how many are
    done.  Rows that others put meanwhile stay.
    """
    before = shelf.rows()
    sessions = _every(shelf)
    rows: dict[str, Row] = {}
    amiss: dict[str, str] = {}
    for number, session in enumerate(sessions, 1):
        try:
            rows[session] = _row(shelf, session, make_row)
        except Absent:
            pass  # gone since it was named
        except Fault as why:
            amiss[session] = str(why)
            kept = next((row for row in before if row["session"] == session), None)
            if isinstance(why, Damaged):
                rows[session] = make_row(session, why.sound, True)
            elif kept is not None:
                rows[session] = kept
        seen(number, len(sessions))
    shelf.index.rebuild(rows, before)
    return amiss


def _row(shelf: Shelf, session: str, make_row: MakeRow) -> Row:
    return make_row(session, shelf.read(session).records, False)


def _every(shelf: Shelf) -> list[str]:
    return sorted({*shelf.live(), *shelf.sealed()})
