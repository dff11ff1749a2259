"""Credit: the time between good readings that counts towards the hold."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from engine.session.evidence import Reading


@dataclass(frozen=True)
class Credit:
    """What readings have earned, in seconds.

    Continuous: of the first run that was long enough, else of the run that is going on.
    Cumulative: of all runs together.
    """

    seconds: float = 0.0
    late: float = 0.0
    """How much of it rests on a reading that was entered late."""
    first: Reading | None = None
    """The reading with which the credited time begins."""
    completed: Reading | None = None
    """The reading with which it reached what was needed."""
    last: Reading | None = None
    """The last good reading of the credited time, which may go on after that."""

    def longer(self, a: Reading, b: Reading, need: float) -> Credit:
        span = b.t - a.t
        seconds = self.seconds + span
        enough = self.completed is None and seconds >= need - 1e-6
        return replace(
            self,
            seconds=seconds,
            late=self.late + span * (a.late or b.late),
            first=self.first or a,
            completed=b if enough else self.completed,
            last=b,
        )


def credit(
    readings: Iterable[Reading],
    good: Callable[[Reading], bool],
    longest_gap: float,
    need: float,
    continuous: bool = True,
    broken: Callable[[Reading, Reading], bool] = lambda a, b: False,
) -> Credit:
    """What the readings earn; they must be in the order in which they were read.

    The span between two consecutive readings is credited when both are good, no farther apart
    than the longest gap, of the same start of the machine, and nothing else has `broken` it.
    """
    got = Credit()
    previous: Reading | None = None  # only ever a good one
    for reading in readings:
        counts = good(reading)
        if counts and previous is not None and not _apart(previous, reading, longest_gap, broken):
            got = got.longer(previous, reading, need)
        elif continuous and got.completed is not None:
            return got
        elif continuous:
            got = Credit(first=reading, last=reading) if counts else Credit()
        elif counts:
            got = replace(got, first=got.first or reading, last=reading)
        previous = reading if counts else None
    return got


def _apart(
    a: Reading, b: Reading, longest_gap: float, broken: Callable[[Reading, Reading], bool]
) -> bool:
    return b.t - a.t > longest_gap + 1e-6 or a.boot != b.boot or broken(a, b)
