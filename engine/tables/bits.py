"""Sizes in which a bit for concrete is kept: what is drilled is one of these."""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

from engine import sources as s
from engine.sources import Source, Standing


class Bit(NamedTuple):
    """A size as it is asked for over the counter."""

    name: str
    diameter_in: float
    source: Source = s.PRACTICE
    standing: Standing = "common_practice"


_SIXTEENTHS: Final = {
    "3/8": 6, "7/16": 7, "1/2": 8, "9/16": 9, "5/8": 10, "11/16": 11, "3/4": 12, "7/8": 14,
    "1": 16, "1 1/8": 18, "1 1/4": 20,
}  # fmt: skip
_MILLIMETRES: Final = (10, 12, 14, 16, 18, 20, 22, 24, 25, 28, 30, 32)

INCH: Final = tuple(Bit(f"{name} in", n / 16) for name, n in _SIXTEENTHS.items())
METRIC: Final = tuple(Bit(f"{mm} mm", mm / 25.4) for mm in _MILLIMETRES)


def bit(least_in: float, units: Literal["us", "si"]) -> Bit:
    """The smallest that drills a hole of at least so many inches.

    Raises ValueError for a hole larger than any.
    """
    sizes = INCH if units == "us" else METRIC
    for size in sizes:
        if size.diameter_in >= least_in - 1e-9:
            return size
    raise ValueError(f"found a hole of {least_in:g} in, expected {sizes[-1].name} at the most")
