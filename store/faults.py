"""What can be wrong with the store, each said in one line for people."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.plain import plain as plain  # for whoever raises one of these
from engine.trouble import InHand, Trouble, Unsound

if TYPE_CHECKING:
    from collections.abc import Sequence

    from engine.facts import Record


class Fault(Trouble):
    """One line, without a path, harmless to show."""


class NotWritten(Fault):
    """Nothing of what was to be written counts; what was written before still does."""


class Changed(NotWritten):
    """Somebody else changed the file, so nothing was added to it."""


class NotRead(Fault):
    """The disk would not give what is on it."""


class InUse(Fault, InHand):
    """Another program writes here; it can be watched."""


class Absent(Fault):
    """There is nothing by that name."""


class Declined(Fault):
    """It is there, but this cannot be done with it."""


class Malformed(Fault):
    """Not JSON as the store writes it."""


class Newer(Fault):
    """Written by a newer version: not damaged, and not for this version to judge."""


class Damaged(Fault, Unsound):
    """What is on disk is not what was written.

    number  the first bad record; 0 is the heading, one more than there are is the ending
    sound   the records before it
    """

    def __init__(self, session: str, number: int, why: str, sound: Sequence[Record] = ()) -> None:
        where = f"record {number}" if number else "the heading"
        super().__init__(f"session {session} is damaged at {where}: {why}")
        self.session = session
        self.number = number
        self.why = why
        self.sound = tuple(sound)
