"""Which two sections a test is of, and which product: read from what was written down."""

from __future__ import annotations

from hashlib import sha256
from typing import NamedTuple

from engine.joint import Joint
from engine.session import Session


class Marks(NamedTuple):
    """The marks of the two sections; empty where nobody wrote them down."""

    spigot: str = ""
    bell: str = ""

    def __str__(self) -> str:
        return " / ".join(mark for mark in self if mark)


def marks(session: Session) -> Marks:
    """As read off the sections (spigot / bell), else as planned."""
    read = _read(session)
    if read is not None and "/" in read:
        return read_marks(read)
    planned = session.opened.plan.specimen if session.opened else None
    if planned is not None and (planned.spigot or planned.bell):
        return Marks(_tidy(planned.spigot or ""), _tidy(planned.bell or ""))
    return read_marks(read or "")


def read_marks(text: str) -> Marks:
    """As written, spigot / bell; one mark alone is taken for the spigot's."""
    spigot, _, bell = text.partition("/")
    return Marks(_tidy(spigot), _tidy(bell))


def _read(session: Session) -> str | None:
    found = session.checking.settled.get("marks")
    if found is not None:
        return found.answer if found.how == "confirmed" else None
    carried = session.checking.carried.get("marks")
    return carried.answer if carried else None


def _tidy(text: str) -> str:
    return " ".join(text.split())


def make(joint: Joint) -> str:
    """Six signs that tell the versions of a product apart: alike for the same name and sizes."""
    # Without what is as usual, so that a field that is added later changes no make.
    return sha256(joint.model_dump_json(exclude_defaults=True).encode()).hexdigest()[:6]
