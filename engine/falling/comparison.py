"""Which causes of a moving gauge the readings leave possible, and whether one alone is left.

Plain numbers in the units of `engine.falling.causes`, because a comparison is thousands of sums.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from operator import mul
from typing import Final

from engine.falling.causes import (
    CAUSES,
    Cause,
    Limits,
    Shape,
    Surroundings,
    Yielding,
    shapes,
    varies,
)
from engine.formulas.statistics import aicc, line_bound, weights

SURE: Final = 0.95
"""Weight a cause must have before it is named."""
CLEAR: Final = 4.6
"""How much worse by AICc a mixture must be to be ruled out: ten to one is -2 ln 0.1."""
FAR: Final = 9.2
"""How much worse by AICc a cause is no longer possible: a hundred to one."""
MINOR: Final = 0.35
"""Most that a second cause may take of the movement before neither is named."""
BELIEVED: Final = 1.4
"""By how much a measured temperature may do more or less than is worked out, and be believed."""
LEAKS: Final[frozenset[Cause]] = frozenset(("steady_leak", "pressure_leak"))
FEWEST: Final = 9
"""Readings below which nothing is compared."""
SLACK: Final = 1.6
"""Readings are allowed to be so much worse than their rounding: a hand shakes, a needle sticks."""


@dataclass(frozen=True)
class Comparison:
    """What the readings leave open."""

    weights: tuple[tuple[Cause, float], ...]
    """Akaike weights of the causes considered, heaviest first; none for too few readings."""
    possible: tuple[Cause, ...]
    """Causes that alone could have given every reading, as rounded, and that do not fit far worse
    than the best of them."""
    named: Cause | None
    """The one cause that is left, where mixtures of others are ruled out as well; the heavier of
    the two kinds of leak; or temperature that was measured and explains it all."""


def compare(
    times_s: Sequence[float],
    pressures: Sequence[float],
    width: float,
    yieldings: Sequence[Yielding],
    around: Surroundings,
) -> Comparison:
    """Which causes could have given the readings, and the one that did where no other could.

    A cause is possible if some size of its shape passes within half of `width` of every reading,
    for any of the ways the pocket may yield. It is named only if no other is possible, its
    weight is 95 % or more, no mixture of two others comes near it, and no second cause, when let
    in, takes more than a third of the movement. A measured temperature of known effect that meets
    every reading is believed before anything else: the others count as additions to it. Readings
    in order, at most a few hundred.
    """
    tried = list(shapes(times_s, pressures, around))
    trials = [_Trial(pressures, width, yielding, tried) for yielding in yieldings]
    possible = {s.cause for trial in trials for s in tried if trial.possible(s)}
    if max(pressures) - min(pressures) <= width * SLACK:
        possible.add("none")
    ordered = tuple(cause for cause in CAUSES if cause in possible)
    if len(times_s) < FEWEST:
        return Comparison((), ordered, None)
    figures = _figures(tried, trials)
    believed = None if "none" in possible else _believed(tried, trials, around, figures)
    if believed is not None:
        figures = _figures(tried, trials, believed)
        figures["temperature"] = min(figures.values())
    best = min((figures[cause] for cause in ordered), default=0.0)
    ordered = tuple(c for c in ordered if c == "none" or figures[c] <= best + FAR)
    shares = dict(zip(figures, weights(list(figures.values())), strict=True))
    ranked = tuple(sorted(shares.items(), key=lambda item: (-item[1], item[0] != "temperature")))
    if believed is not None:
        return Comparison(ranked, ordered, "temperature")
    return Comparison(ranked, ordered, _named(ordered, shares, trials))


def _figures(
    tried: Sequence[Shape], trials: Sequence[_Trial], beside: int | None = None
) -> dict[Cause, float]:
    """The best figure of each cause, alone or on top of one shape that is there anyway."""
    found: dict[Cause, float] = {"none": min(trial.still for trial in trials)}
    for trial in trials:
        for i, shape in enumerate(tried):
            figure = trial.figure((i,) if beside in (None, i) else (beside, i))
            found[shape.cause] = min(found.get(shape.cause, math.inf), figure)
    return found


def _believed(
    tried: Sequence[Shape],
    trials: Sequence[_Trial],
    around: Surroundings,
    figures: dict[Cause, float],
) -> int | None:
    """The measured temperature, where about its known effect alone could have given every reading
    and no other cause, by itself or on top of it, fits clearly better.

    Given more room than that, half a loss by cooling would hide the other half.
    """
    effect = around.per_kelvin
    if effect is None:
        return None
    low, high = sorted((effect / BELIEVED, effect * BELIEVED))
    for i, shape in enumerate(tried):
        if shape.cause != "temperature" or shape.imagined:
            continue
        limits = max(low, shape.limits[0]), min(high, shape.limits[1])
        spare = min(shape.spare, _grain(shape.column) / 2 * abs(high))
        alone = replace(shape, limits=limits, spare=spare)
        if not any(trial.possible(alone) for trial in trials):
            continue
        better = min(*figures.values(), *_figures(tried, trials, i).values())
        if min(trial.alone(i, limits) for trial in trials) <= better + CLEAR:
            return i
    return None


def _grain(column: Sequence[float]) -> float:
    """The smallest step between values that occur."""
    values = sorted(set(column))
    return min((b - a for a, b in pairwise(values)), default=0.0)


def _named(
    possible: Sequence[Cause], shares: dict[Cause, float], trials: Sequence[_Trial]
) -> Cause | None:
    """The two kinds of leak stand for one another: what matters is that it is a leak."""
    alike = frozenset(possible)
    if not alike or "none" in alike or (len(alike) > 1 and not alike <= LEAKS):
        return None
    alike = LEAKS if alike <= LEAKS else alike
    sure = sum(shares[cause] for cause in alike) >= SURE
    if not sure or not any(trial.supports(cause) for trial in trials for cause in alike):
        return None
    if any(trial.mixed(alike) for trial in trials):
        return None
    return max(possible, key=lambda cause: shares[cause])


class _Trial:
    """All shapes fitted to the readings for one way the pocket may yield.

    Rounding errors of neighbouring readings are alike, so readings count as no more than two for
    each graduation passed, and eight; and no fit counts as better than rounding allows.
    """

    def __init__(
        self,
        pressures: Sequence[float],
        width: float,
        yielding: Yielding,
        tried: Sequence[Shape],
    ) -> None:
        self.shapes = tried
        worth = yielding.stiffness(sum(pressures) / len(pressures))
        half = width / 2 * SLACK
        self._lows = [yielding.volume(p - half) for p in pressures]
        self._highs = [yielding.volume(p + half) for p in pressures]
        self._volumes = _centred([yielding.volume(p) for p in pressures])
        self._columns = [_centred(shape.column) for shape in tried]
        self._n = len(pressures)
        self._floor = self._n * width**2 / 12 * worth**2
        passed = (max(pressures) - min(pressures)) / width
        self._counted = min(self._n, int(2 * passed) + FEWEST)
        self._vv = _dot(self._volumes, self._volumes)
        self._xv = [_dot(column, self._volumes) for column in self._columns]
        self._xx = [_dot(column, column) for column in self._columns]
        self._crosses: dict[tuple[int, int], float] = {}

    @property
    def still(self) -> float:
        """The figure of a pressure that does not move."""
        return self._aicc(self._vv, 2)

    def possible(self, shape: Shape) -> bool:
        """Whether the shape alone, in a size within its limits, meets every reading."""
        if not varies(shape.column):
            return False
        lows = [low - shape.spare for low in self._lows]
        highs = [high + shape.spare for high in self._highs]
        settled = self._settled(shape, lows, highs)
        if settled is not None:
            return settled
        bound = line_bound(shape.column, lows, highs)
        return bound is not None and bound[0] <= shape.limits[1] and bound[1] >= shape.limits[0]

    def _settled(self, shape: Shape, lows: list[float], highs: list[float]) -> bool | None:
        """What the least-squares size settles: that it meets all, or that none can."""
        column = _centred(shape.column)
        xv, xx = _dot(column, self._volumes), _dot(column, column)
        size = _within(xv / xx, shape.limits)
        gaps = ([end - size * x for end, x in zip(ends, column, strict=True)]
                for ends in (lows, highs))  # fmt: skip
        if max(next(gaps)) <= min(next(gaps)):
            return True
        least = self._vv - 2 * size * xv + size**2 * xx
        widest = max(high - low for low, high in zip(lows, highs, strict=True))
        return False if least > self._n * widest**2 else None

    def supports(self, cause: Cause) -> bool:
        """Whether a shape of the cause that was not imagined is possible."""
        return any(self.possible(s) for s in self.shapes if s.cause == cause and not s.imagined)

    def figure(self, which: tuple[int, ...]) -> float:
        """AICc of one shape or of two together, each in its best size within limits."""
        spare = 3 + len(which) - 1 + sum(self.shapes[i].chosen for i in which)
        residual = self._vv
        if len(which) == 1:
            return self.alone(which[0], self.shapes[which[0]].limits)
        i, j = which
        a, b = self._sizes(i, j)
        cross = self._cross(i, j)
        residual -= 2 * (a * self._xv[i] + b * self._xv[j])
        residual += a**2 * self._xx[i] + b**2 * self._xx[j] + 2 * a * b * cross
        return self._aicc(residual, spare)

    def alone(self, i: int, limits: Limits) -> float:
        """AICc of one shape in its best size within other limits than its own."""
        size = _within(self._ratio(i, self._xv[i]), limits)
        residual = self._vv - 2 * size * self._xv[i] + size**2 * self._xx[i]
        return self._aicc(residual, 3 + self.shapes[i].chosen)

    def mixed(self, alike: frozenset[Cause]) -> bool:
        """Whether two causes together could stand in for one of `alike`, or share with it."""
        own = [i for i, shape in enumerate(self.shapes) if shape.cause in alike]
        limit = min(self.figure((i,)) for i in own) + CLEAR
        for i, j in combinations(range(len(self.shapes)), 2):
            causes = self.shapes[i].cause, self.shapes[j].cause
            inside = [cause in alike for cause in causes]
            if causes[0] == causes[1] or all(inside) or self.figure((i, j)) >= limit:
                continue
            if not any(inside) or self._share(i, j, inside.index(True)) < 1 - MINOR:
                return True
        return False

    def _share(self, i: int, j: int, own: int) -> float:
        moved = [
            abs(size) * (max(self._columns[k]) - min(self._columns[k]))
            for k, size in zip((i, j), self._sizes(i, j), strict=True)
        ]
        return moved[own] / sum(moved) if sum(moved) > 0 else 1.0

    def _sizes(self, i: int, j: int) -> tuple[float, float]:
        """The best sizes of two shapes; one at its limit where the best lies outside."""
        cross = self._cross(i, j)
        determinant = self._xx[i] * self._xx[j] - cross**2
        first, second = self.shapes[i].limits, self.shapes[j].limits
        if determinant > 1e-12 * self._xx[i] * self._xx[j]:
            a = (self._xv[i] * self._xx[j] - self._xv[j] * cross) / determinant
            b = (self._xv[j] * self._xx[i] - self._xv[i] * cross) / determinant
            if first[0] <= a <= first[1] and second[0] <= b <= second[1]:
                return a, b
        else:
            a = self._ratio(i, self._xv[i])
        a = _within(a, first)
        return a, _within(self._ratio(j, self._xv[j] - a * cross), second)

    def _cross(self, i: int, j: int) -> float:
        if (i, j) not in self._crosses:
            self._crosses[i, j] = _dot(self._columns[i], self._columns[j])
        return self._crosses[i, j]

    def _ratio(self, i: int, product: float) -> float:
        return product / self._xx[i] if self._xx[i] > 0 else 0.0

    def _aicc(self, residual: float, parameters: int) -> float:
        mean = max(residual, self._floor) / self._n
        return aicc(mean * self._counted, self._counted, parameters)


def _within(value: float, limits: Limits) -> float:
    return min(max(value, limits[0]), limits[1])


def _centred(values: Sequence[float]) -> list[float]:
    mean = math.fsum(values) / len(values)
    return [value - mean for value in values]


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    return math.fsum(map(mul, a, b))
