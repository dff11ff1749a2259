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


def clock_set(before: Stamp, after: Stamp) -> float:
    """Seconds by which somebody set the wall clock between two moments; 0.0 where nobody did.

    Within one start of the machine only.  A clock that is kept right by small corrections gains or
    loses up to 500 millionths; what is beyond that and five seconds was a hand, or a first signal.
    """
    if before.boot != after.boot:
        return 0.0
    gone = after.ticks - before.ticks
    off = (after.wall - before.wall).total_seconds() - gone
    return off if abs(off) > 5.0 + 0.0005 * abs(gone) else 0.0


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
