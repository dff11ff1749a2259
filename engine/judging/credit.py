"""Credit: the time between good readings that counts towards the hold."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise

from engine.session.evidence import Reading

_TINY = 1e-6  # s, so that ten minutes of sixty-second steps are ten minutes


@dataclass(frozen=True)
class Credit:
    """What readings have earned, in seconds.

    Continuous: of the first run that was long enough, else of the run that is going on.
    Cumulative: of all runs together.
    """

    seconds: float = 0.0
    late: float = 0.0
    """How much of it rests on a reading that was entered late."""
    completed: Reading | None = None
    """The reading with which it reached what was needed."""
    runs: tuple[tuple[Reading, ...], ...] = ()
    """Good readings, each with the next close enough to earn the time between them."""

    @property
    def first(self) -> Reading | None:
        """The reading with which the credited time begins."""
        return self.runs[0][0] if self.runs else None

    @property
    def last(self) -> Reading | None:
        """The last good reading of the credited time, which may go on after it was completed."""
        return self.runs[-1][-1] if self.runs else None

    def covers(self, t: float) -> bool:
        """A moment lies inside credited time."""
        return any(run[0].t <= t <= run[-1].t for run in self.runs)


Joined = Callable[[Reading, Reading], bool]


def credit(
    readings: Iterable[Reading],
    good: Callable[[Reading], bool],
    longest_gap: float,
    need: float,
    continuous: bool = True,
    broken: Joined | None = None,
) -> Credit:
    """What the readings earn; they must be in the order in which they were read.

    The span between two consecutive readings is credited when both are good, no farther apart
    than the longest gap, of the same start of the machine, and nothing else has `broken` it.
    """

    def joined(a: Reading, b: Reading) -> bool:
        close = b.t - a.t <= longest_gap + _TINY and a.boot == b.boot
        return close and not (broken and broken(a, b))

    if not continuous:
        return _earned(list(runs(readings, good, joined)), need)
    best = Credit()
    for run in runs(readings, good, joined):
        best = _earned([run], need) if run else Credit()
        if best.completed is not None:
            break
    return best


def runs(
    readings: Iterable[Reading], good: Callable[[Reading], bool], joined: Joined
) -> Iterable[list[Reading]]:
    """Good readings as they hang together; an empty run where the last reading was not good."""
    run: list[Reading] = []
    for reading in readings:
        if not good(reading):
            yield run
            run = []
        elif run and not joined(run[-1], reading):
            yield run
            run = [reading]
        else:
            run.append(reading)
    yield run


def _earned(runs: list[list[Reading]], need: float) -> Credit:
    seconds = late = 0.0
    completed: Reading | None = None
    for run in runs:
        for a, b in pairwise(run):
            seconds += b.t - a.t
            late += (b.t - a.t) * (a.late or b.late)
            if completed is None and seconds >= need - _TINY:
                completed = b
    return Credit(seconds, late, completed, tuple(tuple(run) for run in runs if run))
