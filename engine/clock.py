"""Moments, and how far apart they are, when clocks can be set and machines restarted."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple


class Stamp(NamedTuple):
    """A moment as the machine knows it."""

    wall: datetime
    """With its offset from UTC."""
    boot: str
    """Which start of the machine `ticks` counts from."""
    ticks: float
    """Seconds since then, suspended time included; never set by anyone."""


class Axis(NamedTuple):
    """The session's own time: seconds since it was opened, which never run back."""

    last: Stamp
    t: float = 0.0

    def at(self, stamp: Stamp) -> float:
        """When `stamp` is, in seconds since the session was opened.

        Within one start of the machine its own counter decides and a clock that was set changes
        nothing; across a restart only the wall clock is left, and the figure is doubtful.
        """
        if stamp.boot == self.last.boot:
            step = stamp.ticks - self.last.ticks
        else:
            step = (stamp.wall - self.last.wall).total_seconds()
        return self.t + max(0.0, step)

    def moved(self, stamp: Stamp) -> Axis:
        return Axis(stamp, self.at(stamp))


def left(started: float | None, lasts: float, now: float) -> float | None:
    """Seconds until a wait is over, 0.0 once it is; None where it has not begun."""
    return None if started is None else max(0.0, started + lasts - now)
