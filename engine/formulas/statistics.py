"""Lines, bounds and limits drawn from plain numbers; every answer is in the units of the data."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from engine.formulas.distributions import normal_quantile

MOVING_RANGE: Final = 1.128
"""Mean range of two values of a normal distribution, d2, in standard deviations."""


class Slope(NamedTuple):
    """A slope and how low and high it may be."""

    low: float
    expected: float
    high: float


def theil_sen(x: Sequence[float], y: Sequence[float], sureness: float = 0.95) -> Slope:
    """The median of the slopes of all pairs, which a wild reading hardly moves.

        b = median of (y_j - y_i) / (x_j - x_i)     limits by rank: N/2 -+ z sigma/2

    x  at least two different ones [unit of x]     y  as many [unit of y]
    sureness  of the limits [1]     returns  [unit of y / unit of x]
    Valid for a few hundred points: work grows with the square. ValueError for too few.
    Source: HELSEL_HIRSCH, textbook example, limits after Sen; NIST_STRD, data of Norris. Check:
    published/test_statistics.py.
    """
    n = _paired(x, y, 2)
    points = sorted(zip(x, y, strict=True))
    slopes = sorted(
        (yj - yi) / (xj - xi)
        for i, (xi, yi) in enumerate(points)
        for xj, yj in points[i + 1 :]
        if xj > xi
    )
    if not slopes:
        raise ValueError(f"all {n} points at x = {x[0]:g}; expected different ones")
    count = len(slopes)
    ties = sum(k * (k - 1) * (2 * k + 5) for column in (x, y) for k in _repeats(column))
    sigma = math.sqrt(max(0.0, (n * (n - 1) * (2 * n + 5) - ties) / 18))
    reach = normal_quantile(0.5 + sureness / 2) * sigma
    low = max(round((count - reach) / 2) - 1, 0)
    high = min(round((count + reach) / 2), count - 1)
    return Slope(slopes[low], median(slopes), slopes[high])


def mean_rate(first: float, last: float, time: float, reading: float) -> Slope:
    """Mean rate between two readings, whatever the shape in between.

        ((q2 - q1) -+ r) / T

    first  reading, q1 [unit of the data]     last  reading, q2 [unit of the data]
    time  between them, T [unit of time]
    reading  width a reading is known to, r [unit of the data]
    returns  [unit of the data / unit of time]
    Valid for readings each within half of r of the truth: a bound, not a probability. ValueError
    for no time.
    Source: SET_BOUND, change over time. Check: published/test_statistics.py.
    """
    if time <= 0:
        raise ValueError(f"{time:g} between two readings; expected more than zero")
    change = last - first
    return Slope((change - reading) / time, change / time, (change + reading) / time)


def straight_bound(
    times: Sequence[float], readings: Sequence[float], reading: float
) -> tuple[float, float] | None:
    """The least and the greatest slope of a straight line through all readings as rounded.

        max and min over pairs of (q_j - q_i -+ r) / (t_j - t_i)

    times  two different ones or more [unit of time]     readings  as many [unit of the data]
    reading  width a reading is known to, r [unit of the data]
    returns  [unit of the data / unit of time], or None: no straight line fits
    Valid for readings each within half of r of the truth. Takes n log n steps.
    Source: SET_BOUND, equal to the linear programme. Check: published/test_statistics.py.
    """
    half = reading / 2
    return line_bound(times, [y - half for y in readings], [y + half for y in readings])


def line_bound(
    x: Sequence[float], lows: Sequence[float], highs: Sequence[float]
) -> tuple[float, float] | None:
    """The least and the greatest slope of a straight line that meets every interval.

        max over i < j of (l_j - h_i) / (x_j - x_i)     min over i < j of (h_j - l_i) / (x_j - x_i)

    x  two different ones or more [unit of x]     lows  of the intervals, l [unit of y]
    highs  of the intervals, h [unit of y]
    returns  [unit of y / unit of x], or None: no straight line meets them all
    Valid for finite numbers; ValueError for too few.
    Source: SET_BOUND, equal to the linear programme. Check: published/test_statistics.py.
    """
    _paired(x, lows, 2)
    _paired(x, highs, 2)
    if min(x) == max(x):
        raise ValueError(f"all {len(x)} points at x = {x[0]:g}; expected different ones")
    order = sorted(range(len(x)), key=x.__getitem__)
    # Only the upper edge of the lows and the lower edge of the highs can stop a line.
    floor = _edge([(x[i], lows[i]) for i in order])
    ceiling = [(a, -b) for a, b in _edge([(x[i], -highs[i]) for i in order])]
    slack = 1e-9 * max(highs[i] - lows[i] for i in (order[0], order[-1]))
    high = _turned(floor, ceiling, slack)
    mirrored = _turned([(-a, b) for a, b in floor], [(-a, b) for a, b in ceiling], slack)
    if high is None or mirrored is None:
        return None
    return min(-mirrored, high), max(-mirrored, high)


def _edge(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The upper convex hull of points sorted along x."""
    hull: list[tuple[float, float]] = []
    for x, y in points:
        if hull and hull[-1][0] == x:
            if hull[-1][1] >= y:
                continue
            hull.pop()
        while len(hull) > 1:
            (x1, y1), (x2, y2) = hull[-2], hull[-1]
            if (y2 - y1) * (x - x1) > (y - y1) * (x2 - x1):
                break
            hull.pop()
        hull.append((x, y))
    return hull


def _turned(
    floor: list[tuple[float, float]], ceiling: list[tuple[float, float]], slack: float
) -> float | None:
    """The greatest slope at which a line clears floor and ceiling: turned down until it does.

    Each turn goes to the slope of the pair that stands most in the way (Newton's method on a
    convex function, from the right: it cannot step past the answer).
    """
    low, high = min(floor, key=_along), max(ceiling, key=_along)
    while high[0] > low[0]:
        slope = (high[1] - low[1]) / (high[0] - low[0])
        below = max(floor, key=lambda p: p[1] - slope * p[0])
        above = min(ceiling, key=lambda p: p[1] - slope * p[0])
        gap = (below[1] - slope * below[0]) - (above[1] - slope * above[0])
        if gap <= slack or (below, above) == (low, high):
            return slope
        low, high = below, above
    return None


def _along(point: tuple[float, float]) -> float:
    return point[0]


def aicc(residual: float, n: int, parameters: int) -> float:
    """Akaike's figure, corrected for few points: the lower, the better the model.

        n ln(RSS / n) + 2 K + 2 K (K + 1) / (n - K - 1)

    residual  sum of squares, RSS [unit of the data, squared]     n  points [1]
    parameters  K, the variance counted as one [1]     returns  [1]
    Valid for n > K + 1 and RSS above zero; ValueError else. Only differences mean anything, and
    only between figures by this one convention: constants of the likelihood are left out.
    Source: BURNHAM_ANDERSON, AICc. Check: published/test_statistics.py.
    """
    if n <= parameters + 1 or residual <= 0:
        raise ValueError(
            f"{n} points, {parameters} parameters, residual {residual:g}; expected more than "
            f"{parameters + 1} points and a residual above zero"
        )
    k = parameters
    return n * math.log(residual / n) + 2 * k + 2 * k * (k + 1) / (n - k - 1)


def weights(figures: Sequence[float]) -> list[float]:
    """What share of the evidence each model has; they add up to one.

        w_i = exp(-(A_i - A_min) / 2) / sum

    figures  by `aicc`, infinite for a model that is out [1]     returns  [1]
    Valid for one finite figure or more; ValueError else.
    Source: BURNHAM_ANDERSON, Akaike weights. Check: published/test_statistics.py.
    """
    least = min(figures, default=math.inf)
    if not math.isfinite(least):
        raise ValueError(f"{len(figures)} figures; expected a finite one among them")
    shares = [math.exp(-(figure - least) / 2) for figure in figures]
    return [share / sum(shares) for share in shares]


def individuals_limits(values: Sequence[float]) -> Slope:
    """Mean of single values, and the limits that ordinary variation keeps within.

        mean -+ 3 MR / 1.128     MR being the mean of the steps from one value to the next

    values  in order, two or more [unit of the data]     returns  [unit of the data]
    Valid for values in the order they came; ValueError for too few.
    Source: NIST_HANDBOOK, individuals chart. Check: published/test_statistics.py.
    """
    if len(values) < 2:
        raise ValueError(f"{len(values)} values; expected two or more")
    mean = math.fsum(values) / len(values)
    step = math.fsum(abs(b - a) for a, b in pairwise(values)) / (len(values) - 1)
    reach = 3 * step / MOVING_RANGE
    return Slope(mean - reach, mean, mean + reach)


def median(values: Sequence[float]) -> float:
    """The middle value, or the mean of the middle two.

    values  one or more [unit of the data]     returns  [unit of the data]
    Valid for any order; ValueError for none.
    Source: HELSEL_HIRSCH, median. Check: published/test_statistics.py.
    """
    if not values:
        raise ValueError("no values; expected one or more")
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def _repeats(values: Sequence[float]) -> list[int]:
    """How often each value that occurs more than once occurs."""
    counts: dict[float, int] = {}
    for value in values:
        counts[value] = counts.get(value, 0) + 1
    return [k for k in counts.values() if k > 1]


def _paired(x: Sequence[float], y: Sequence[float], least: int) -> int:
    if len(x) != len(y) or len(x) < least:
        raise ValueError(f"{len(x)} and {len(y)} values; expected as many of both, {least} or more")
    return len(x)
