"""The index of sessions made anew from the sessions themselves: losing it loses nothing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from store.catalogue import Row
from store.faults import Absent, Damaged, Declined, Fault, InUse

if TYPE_CHECKING:
    from engine.facts import Record
    from store.shelf import Shelf

MakeRow = Callable[[str, "Sequence[Record]", bool], Row]
"""The row of a session from its records; True where they are damaged and end too soon."""


_STANDS: Final = frozenset({"state", "outcome", "open"})
"""Of the row of a session that holds nothing any more; the rest is as it was known."""


class Listing:
    """The index of a store, held against its sessions on a shelf of its own: from any thread."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def unlisted(self) -> list[str]:
        return unlisted(self._shelf())

    def mend(self, make_row: MakeRow) -> dict[str, str]:
        """What programs that died left lying in the store is cleared away first."""
        shelf = self._shelf()
        shelf.sweep()
        return mend_index(shelf, make_row)

    def _shelf(self) -> Shelf:
        from store.shelf import Shelf

        return Shelf(self._folder)


def unlisted(shelf: Shelf) -> list[str]:
    """Sessions that have no row: there are none while the index is as it should be."""
    listed = {str(row["session"]) for row in shelf.rows()}
    return [session for session in _every(shelf) if session not in listed]


def mend_index(shelf: Shelf, make_row: MakeRow) -> dict[str, str]:
    """Every session has a row, and that of an open one is as it stands; the others stay as they
    are.  Returns why some could not be read.  Reads only those of which the index does not know.

    A session whose row is not `open`, and whose writer ended before it could seal it, is sealed.
    """
    before = shelf.rows()
    rows = {str(row["session"]): row for row in before}
    live = set(shelf.live())
    unsure = [s for s in _every(shelf) if s in live or rows.get(s, {"open": True}).get("open")]
    made, amiss = _made(shelf, unsure, make_row, rows)
    if any(rows.get(session) != row for session, row in made.items()):
        shelf.index.rebuild({**rows, **made}, before)
    over = [s for s in made if s in live and s not in amiss and not made[s].get("open")]
    return {**amiss, **_sealed(shelf, over)}


def _sealed(shelf: Shelf, over: Sequence[str]) -> dict[str, str]:
    """Those are sealed that nobody has in hand; why the others could not be."""
    amiss = {}
    for session in over:
        try:
            shelf.seal(session)
        except (InUse, Absent, Declined):
            continue  # somebody has it open, or has sealed it since
        except Fault as why:
            amiss[session] = str(why)
    return amiss


def _made(
    shelf: Shelf,
    sessions: Sequence[str],
    make_row: MakeRow,
    before: Mapping[str, Row],
) -> tuple[dict[str, Row], dict[str, str]]:
    """The rows of these sessions; of what cannot be read the one before, and why."""
    rows: dict[str, Row] = {}
    amiss: dict[str, str] = {}
    for session in sessions:
        try:
            # As it comes out of the file again: plain, and with its session.
            rows[session] = {**_row(shelf, session, make_row), "session": session}
        except Absent:
            pass  # gone since it was named
        except Fault as why:
            amiss[session] = str(why)
            if isinstance(why, Damaged):
                found = {**make_row(session, why.sound, True), "session": session}
                known = {} if why.sound else before.get(session, {})
                rows[session] = {
                    **found,
                    **known,
                    **{key: found[key] for key in found if key in _STANDS},
                }
            elif session in before:
                rows[session] = before[session]
    return rows, amiss


def _row(shelf: Shelf, session: str, make_row: MakeRow) -> Row:
    return make_row(session, shelf.read(session).records, False)


def _every(shelf: Shelf) -> list[str]:
    return sorted({*shelf.live(), *shelf.sealed()})
