"""Sessions as they are kept: one folded, all of them listed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from engine.trouble import Trouble
from tui.outside import Found, Outside, Row

if TYPE_CHECKING:
    from engine.session import Session

FEW: Final = 50
"""So many sessions that no row speaks for are read and worked out; more are only named."""


def folded(found: Found) -> Session:
    """What the records add up to.  Raises Trouble where they cannot be a test's."""
    from engine.foreign import believe
    from engine.session import fold

    if found.elsewhere and found.sound:
        return believe(found.records)
    session = fold(found.records)
    if session.opened is None:
        raise Trouble(found.damage or f"session {found.session} holds nothing yet")
    return session


def listed(outside: Outside) -> list[Row]:
    """One row a session: open ones first, then the others, the newest first.

    An open test is as it stands and not as it stood when its row was written.
    """
    shelf = outside.shelf
    rows = {str(row["session"]): row for row in shelf.rows()}
    live = shelf.live()
    kept = {*live, *shelf.sealed()}
    unsure = [*live, *_strangers(rows, kept, set(live))]
    for name in unsure[: len(live) + FEW]:
        rows[name] = _row(outside, name)
    for name in unsure[len(live) + FEW :]:
        rows[name] = {"session": name, "state": "not listed"}
    for name in rows.keys() - kept:
        rows[name] = {**rows[name], "state": "GONE", "open": False}
    newest_first = sorted(rows.values(), key=lambda row: str(row.get("when") or ""), reverse=True)
    return sorted(newest_first, key=lambda row: not row.get("open"))


def _strangers(rows: dict[str, Row], kept: set[str], live: set[str]) -> Iterator[str]:
    """Sessions without a row, or with one that was written before they were closed."""
    for name in sorted(kept - live, reverse=True):
        if name not in rows or rows[name].get("open"):
            yield name


def _row(outside: Outside, name: str) -> Row:
    from engine.present.row import row
    from engine.session import fold

    try:
        found = outside.found(name)
        session = fold(found.records)
        if session.opened is None:
            state = "empty" if found.sound else "DAMAGED"
            return {"session": name, "state": state, "open": not found.sealed}
        made: Row = row(found.session, session, not found.sound)
    except Trouble as why:
        return {"session": name, "state": "unreadable", "why": str(why)}
    return made
