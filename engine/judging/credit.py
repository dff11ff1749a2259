"""Credit: the time between good readings that counts towards the hold."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, zip_longest
from typing import Final

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
    alike: Collection[str] = (),
) -> Credit:
    """What the readings earn; they must be in the order in which they were read.

    The span between two consecutive readings is credited when both are good, no farther apart
    than the longest gap, of the same start of the machine, and nothing else has `broken` it.
    Of several gauges that count `alike` the lower one counts: time is credited that each of them
    has earned by itself.
    """

    def joined(a: Reading, b: Reading) -> bool:
        close = b.t - a.t <= longest_gap + _TINY and a.boot == b.boot
        return close and not (broken and broken(a, b))

    several = len(alike) > 1
    found = (
        _shared(list(readings), good, joined, alike) if several else runs(readings, good, joined)
    )
    if not continuous:
        return _earned(list(found), need)
    best = Credit()
    for run in found:
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


_PENDING: Final = -1
"""A gauge's run goes on as far as it was read; what others showed later waits for its next."""


def _shared(
    readings: Sequence[Reading],
    good: Callable[[Reading], bool],
    joined: Joined,
    marks: Iterable[str],
) -> Iterator[list[Reading]]:
    """Readings that lie within a run of every gauge; an empty run where it has just ended."""
    places = [_runs_of(mark, readings, good, joined) for mark in marks]
    run: list[Reading] = []
    within: tuple[int | None, ...] = ()
    for reading, now in zip(readings, zip(*places, strict=True), strict=True):
        pending = all(n in (_PENDING, w) for n, w in zip(now, within, strict=False))
        if run and _PENDING in now and pending:
            continue
        if run and now != within:
            yield run
            run = []
        if None not in now and _PENDING not in now:
            run.append(reading)
        within = now
    yield run


def _runs_of(
    mark: str, readings: Sequence[Reading], good: Callable[[Reading], bool], joined: Joined
) -> list[int | None]:
    """Which run of one gauge covers the place of each reading, of whatever gauge."""
    own = [place for place, reading in enumerate(readings) if reading.mark == mark]
    covers: list[int | None] = [None] * len(readings)
    number = 0
    for place, following in zip_longest(own, own[1:]):
        if not good(readings[place]):
            continue
        covers[place] = number
        if following is None:
            covers[place + 1 :] = [_PENDING] * (len(readings) - place - 1)
        elif good(readings[following]) and joined(readings[place], readings[following]):
            covers[place:following] = [number] * (following - place)
        else:
            number += 1
    return covers


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
