"""Past sessions opened: to be gone through again, or to be asked about."""

from __future__ import annotations

from functools import partial

from tui.outside import Outside
from tui.player import Player, Remark
from tui.questions import Questioned
from tui.sessions import folded


def replay(outside: Outside, name: str, at_end: bool = False) -> Player:
    """A session, or a session's file, at its beginning or its end.  Raises Trouble."""
    found = outside.found(name)
    folded(found)
    shelf, session = outside.shelf, found.session
    if found.elsewhere:
        player = Player(session, found.records, outside.clock, damaged=not found.sound)
    else:
        said = [Remark(r["t"], r["seq"], r["by"], r["text"]) for r in shelf.remarks(session)]
        player = Player(session, found.records, outside.clock, said,
                        lambda r: shelf.remark(session, r._asdict()),
                        damaged=not found.sound)  # fmt: skip
    if at_end:
        player.to_record(player.count)
    return player


def questions(outside: Outside, name: str) -> Questioned:
    """The same, asking what to do before each decision.  Raises Trouble."""
    found = outside.found(name)
    folded(found)
    keep = None if found.elsewhere else partial(outside.shelf.add_round, found.session)
    return Questioned(found.session, found.records, outside.clock, keep_round=keep)
