"""A figure of a product from session to session, and whether the last one is out of the usual."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal, NamedTuple

from engine.formulas.statistics import MOVING_RANGE, individuals_limits
from engine.history.finding import Row, by_opening

Figure = Literal["lost", "rate", "flow", "air", "top_ups", "seconds"]
FIGURES: Final[dict[Figure, str]] = {
    "lost": "psi",
    "rate": "psi/min",
    "flow": "mL/min",
    "air": "percent",
    "top_ups": "",
    "seconds": "s",
}
"""What can be followed, with the unit its rows hold it in."""

LEAST: Final = 8
"""Values below which nothing is said of what is usual."""

_RANGE_REACH: Final = 3.267
"""Times the mean step, the limit of a single step: D4 of two values (from memory)."""


class Point(NamedTuple):
    session: str
    when: str
    value: float


@dataclass(frozen=True)
class Chart:
    """Individual values and their steps, each with the limits that ordinary variation keeps."""

    mean: float
    low: float
    high: float
    mean_step: float
    high_step: float
    outside: tuple[int, ...]
    """Places of the values that lie outside their limits."""
    jumps: tuple[int, ...]
    """Places of the values whose step from the one before is larger than usual."""
    word: str
    """Of the last value; empty where it is as usual."""


def trend(
    rows: Iterable[Row], product: str, figure: Figure, alignment: str | None = None
) -> tuple[Point, ...]:
    """The figure of every closed session of a product that has it, oldest first; no practice."""
    mine = (
        row
        for row in rows
        if row.get("product") == product
        and not row.get("practice")
        and not row.get("open")
        and alignment in (None, row.get("alignment"))
        and _is_number(row.get(figure))
    )
    return tuple(
        Point(str(row["session"]), str(row.get("when", "")), float(row[figure]))
        for row in by_opening(mine)
    )


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and math.isfinite(value)


def chart(points: Sequence[Point]) -> Chart | None:
    """Limits from the moving range, of all values; None where there are fewer than eight.

    The last value is one of those that the limits are drawn from, so one that is far out widens
    them a little before it is held against them.
    """
    if len(points) < LEAST:
        return None
    values = [point.value for point in points]
    low, mean, high = individuals_limits(values)
    mean_step = (high - mean) * MOVING_RANGE / 3
    high_step = _RANGE_REACH * mean_step
    slack = 1e-9 * max(1.0, abs(mean))
    outside = tuple(n for n, v in enumerate(values) if not low - slack <= v <= high + slack)
    steps = enumerate(pairwise(values), 1)
    jumps = tuple(n for n, (a, b) in steps if abs(b - a) > high_step + slack)
    last = len(values) - 1
    return Chart(
        mean, low, high, mean_step, high_step, outside, jumps,
        _word(values[-1] > mean, last in outside, last in jumps),
    )  # fmt: skip


def _word(above: bool, outside: bool, jumped: bool) -> str:
    if outside:
        return f"the last one is {'above' if above else 'below'} what is usual here"
    return "the last step is larger than is usual here" if jumped else ""
