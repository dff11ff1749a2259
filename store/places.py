"""Where the files of a session lie: practice in folders of its own, so that nothing mixes them."""

from __future__ import annotations

from typing import Final

from store.chain import identity

PRACTICE: Final = "practice-"
"""How the identity of a session on the practice joint begins."""
OPEN: Final = ("live", "practice-live")
CLOSED: Final = ("sessions", "practice")


def open_place(session: str) -> str:
    """The folder and the name, without an ending, of an open session's files."""
    return f"{OPEN[session.startswith(PRACTICE)]}/{identity(session)}"


def closed_place(session: str) -> str:
    """The same of a closed session's."""
    return f"{CLOSED[session.startswith(PRACTICE)]}/{identity(session)}"
