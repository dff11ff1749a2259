"""How fast the gauge falls, and with what certainty: it explains, and never passes a joint."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from typing import Final, Literal

from engine.formulas.statistics import (
    Slope,
    mean_rate,
    straight_bound,
    theil_sen,
)

BINS: Final = 600
"""Most points that a fit is made of; the bounds use every reading."""

Seen = Literal["yes", "no", "cannot_tell"]


@dataclass(frozen=True)
class Run:
    """Readings between two top-ups, in the order of time."""

    times_s: tuple[float, ...]
    pressures: tuple[float, ...]

    @property
    def span_s(self) -> float:
        return self.times_s[-1] - self.times_s[0]

    def binned(self, most: int = BINS) -> tuple[list[float], list[float]]:
        """At most so many points, each the mean of as many neighbours."""
        return binned(self.times_s, most), binned(self.pressures, most)


@dataclass(frozen=True)
class Fall:
    """Rates in the unit of the readings for each second; falling is negative.

    A reading may be off by half of `width` either way, so every `low` and `high` is a bound and
    no confidence interval: equal readings never prove a rate of zero.
    """

    readings: int
    span_s: float
    """Time inside runs; the moments of topping up are left out."""
    width: float
    """Graduation and reader's error together."""
    rate: Slope | None
    """Mean over all runs: the changes of all of them over their time together, each change in doubt
    by one width. None without two readings at different times in one run."""
    latest: Slope | None
    """Mean over the latest run that has a rate."""
    line: tuple[float, float] | None
    """Least and greatest slope of a straight line through all readings of the latest run, where
    there is one."""
    straight: bool | None
    """False when no straight line passes within half a width; None without a rate."""
    seen: Seen
    """`yes` when the whole rate must be below zero, `no` when it cannot be."""
    last_s: float | None
    last: float | None
    run: Run | None = field(default=None, repr=False)
    """The latest."""

    @cached_property
    def theil_sen(self) -> float | None:
        """Slope through the latest run by the median of all pairs, which a wild reading hardly
        moves; None for fewer than three points."""
        if self.run is None:
            return None
        times, pressures = self.run.binned()
        if len(times) < 3 or times[0] == times[-1]:
            return None
        return theil_sen(times, pressures).expected

    def crossing(self, needed: float) -> tuple[float | None, float | None]:
        """Expected and earliest time until the pressure is down to `needed`, from the last reading.

        In seconds, at the rate of the latest run going on unchanged; None when never, or when there
        is nothing to project from. The earliest takes the last reading half a width too high and
        the rate at its low bound.
        """
        if self.latest is None or self.last is None:
            return None, None
        expected = _time_down(self.last - needed, self.latest.expected)
        return expected, _time_down(self.last - self.width / 2 - needed, self.latest.low)


def fall(
    times_s: Sequence[float],
    pressures: Sequence[float],
    graduation: float,
    reader_error: float = 0.0,
    run_starts: Sequence[int] = (),
) -> Fall:
    """How the pressure moved between readings, top-ups left out.

    Readings in order of time, in one unit; `graduation` and `reader_error` in the same: a reading
    may be off by half of their sum either way. `run_starts` are the indexes of the readings that
    were the first after a top-up. Raises ValueError, in one line, for anything else.
    """
    width = _width(graduation, reader_error)
    runs = split(times_s, pressures, run_starts)
    moving = [run for run in runs if run.span_s > 0]
    whole = _over_all(moving, width)
    latest = moving[-1] if moving else None
    line = straight_bound(latest.times_s, latest.pressures, width) if latest else None
    return Fall(
        readings=len(times_s),
        span_s=math.fsum(run.span_s for run in moving),
        width=width,
        rate=whole,
        latest=_over_all([latest], width) if latest else None,
        line=line,
        straight=None if latest is None else line is not None,
        seen=_seen(whole),
        last_s=times_s[-1] if times_s else None,
        last=pressures[-1] if pressures else None,
        run=latest,
    )


def split(
    times_s: Sequence[float], pressures: Sequence[float], run_starts: Sequence[int]
) -> list[Run]:
    """The runs between top-ups, none of them empty; ValueError for readings that make no sense."""
    if len(times_s) != len(pressures):
        raise ValueError(f"{len(times_s)} times, {len(pressures)} pressures; expected as many")
    for i, (time, pressure) in enumerate(zip(times_s, pressures, strict=True)):
        if not (math.isfinite(time) and math.isfinite(pressure)):
            raise ValueError(f"reading {i + 1}: {time}, {pressure}; expected two finite numbers")
        if i and time < times_s[i - 1]:
            raise ValueError(
                f"reading {i + 1}: {time:g} s after {times_s[i - 1]:g} s; expected order of time"
            )
    if any(not 0 <= i <= len(times_s) for i in run_starts):
        raise ValueError(
            f"runs start at {list(run_starts)}; expected numbers from 0 to {len(times_s)}"
        )
    cuts = sorted({0, *run_starts, len(times_s)})
    return [Run(tuple(times_s[i:j]), tuple(pressures[i:j])) for i, j in pairwise(cuts)]


def binned(values: Sequence[float], most: int = BINS) -> list[float]:
    """At most so many values, each the mean of as many neighbours."""
    size = max(1, math.ceil(len(values) / most))
    parts = (values[i : i + size] for i in range(0, len(values), size))
    return [math.fsum(part) / len(part) for part in parts]


def interpolated(known: Sequence[tuple[float, float]], times_s: Sequence[float]) -> list[float]:
    """Values at `times_s` between known ones in the order of time; the ends go on as they are."""
    at = [t for t, _ in known]
    found = []
    for time in times_s:
        i = bisect_right(at, time)
        if i in (0, len(known)):
            found.append(known[min(i, len(known) - 1)][1])
            continue
        (t0, a), (t1, b) = known[i - 1], known[i]
        found.append(a + (b - a) * (time - t0) / (t1 - t0))
    return found


def _width(graduation: float, reader_error: float) -> float:
    if not (math.isfinite(graduation) and graduation > 0):
        raise ValueError(f"graduation {graduation:g}; expected more than zero")
    if not (math.isfinite(reader_error) and reader_error >= 0):
        raise ValueError(f"reader's error {reader_error:g}; expected zero or more")
    return graduation + reader_error


def _over_all(runs: Sequence[Run], width: float) -> Slope | None:
    """Changes of all runs over their time together; each run adds one width of doubt."""
    if not runs:
        return None
    change = math.fsum(run.pressures[-1] - run.pressures[0] for run in runs)
    return mean_rate(0.0, change, math.fsum(run.span_s for run in runs), width * len(runs))


def _seen(rate: Slope | None) -> Seen:
    if rate is None:
        return "cannot_tell"
    if rate.high < 0:
        return "yes"
    return "no" if rate.low >= 0 else "cannot_tell"


def _time_down(height: float, rate: float) -> float | None:
    if height <= 0:
        return 0.0
    return height / -rate if rate < 0 else None
