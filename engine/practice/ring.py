"""The pocket's shape seen along the axis: how high water stands, and how high a clock position is.

Heights are inches from the joint's centre, up positive; shares are of the pocket's volume.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from math import asin, cos, pi, radians, sin, sqrt
from typing import Literal

Shape = Literal["circle", "box"]
_POINTS = 400  # of the circle's table; closer together at invert and crown, where it matters


@dataclass(frozen=True)
class Ring:
    """A band of even radial depth between two similar outlines, water at the bottom of it."""

    shape: Shape
    span: float  # in, the outer seal line's width; a circle's diameter
    rise: float  # in, its height
    depth: float  # in, from the inner seal line to the outer
    _shares: tuple[float, ...] = field(init=False, repr=False, compare=False)
    _heights: tuple[float, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Refuses an impossible band; works out the table of shares and heights."""
        if not 0.0 < self.depth < min(self.span, self.rise) / 2.0:
            raise ValueError(f"a pocket {self.depth} in deep in {self.span} x {self.rise} in")
        points = self._circle() if self.shape == "circle" else self._box()
        object.__setattr__(self, "_shares", tuple(share for share, _ in points))
        object.__setattr__(self, "_heights", tuple(height for _, height in points))

    def level(self, share: float) -> float:
        """The height at which water stands that fills `share` of the pocket."""
        return _between(self._shares, self._heights, share)

    def share_below(self, height: float) -> float:
        """The share of the pocket that lies below `height`; the inverse of `level`."""
        return _between(self._heights, self._shares, height)

    def height_at(self, clock: float) -> float:
        """The height of the outer seal line at a clock position, 12 at the top."""
        turn = radians(30.0 * clock)
        across, up = sin(turn), cos(turn)
        if self.shape == "circle":
            return self.rise / 2.0 * up
        reach = max(abs(across) / (self.span / 2.0), abs(up) / (self.rise / 2.0))
        return up / reach

    def way_down(self, clock: float) -> float:
        """Inches a drop runs from a clock position to the invert, about, by the nearer side."""
        round_it = pi * self.span if self.shape == "circle" else 2.0 * (self.span + self.rise)
        return round_it * abs(clock % 12.0 - 6.0) / 12.0

    def _circle(self) -> list[tuple[float, float]]:
        outer = self.rise / 2.0
        inner = outer - self.depth
        whole = pi * (outer**2 - inner**2)
        heights = [-outer * cos(pi * k / _POINTS) for k in range(_POINTS + 1)]
        return [((_disc_below(outer, z) - _disc_below(inner, z)) / whole, z) for z in heights]

    def _box(self) -> list[tuple[float, float]]:
        top = self.rise / 2.0
        whole = self.span * self.rise - (self.span - 2 * self.depth) * (self.rise - 2 * self.depth)
        slab = self.span * self.depth / whole
        return [(0.0, -top), (slab, self.depth - top), (1 - slab, top - self.depth), (1.0, top)]


def _disc_below(radius: float, height: float) -> float:
    """Area of a disc's part below `height`."""
    u = min(max(height / radius, -1.0), 1.0)
    return radius**2 * (pi / 2.0 + asin(u) + u * sqrt(1.0 - u * u))


def _between(at: tuple[float, ...], values: tuple[float, ...], x: float) -> float:
    """`values` read off at `x` along straight lines, held at the ends."""
    if x <= at[0]:
        return values[0]
    if x >= at[-1]:
        return values[-1]
    k = bisect_right(at, x)
    part = (x - at[k - 1]) / (at[k] - at[k - 1])
    return values[k - 1] + part * (values[k] - values[k - 1])
