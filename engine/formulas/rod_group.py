"""The rod group: how a thrust that acts off centre is shared among the rods."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from engine.units import Quantity, amount, q

Place = tuple[Quantity, Quantity]
"""Across and up, from the joint's centre."""

_Point = tuple[float, float]
_RIDGE = 1e-12
"""Added to the diagonal, in units of the group's own size: a group without breadth stays solvable,
and the answer moves by about as much as floating point already moves it."""


@dataclass(frozen=True)
class RodForces:
    """The tension in each rod, and the moment that no tension can balance: it goes to the joint
    and its supports."""

    forces: tuple[Quantity, ...]
    moment_left: Quantity


def tension_only(thrust: Quantity, acts_at: Place, rods: Sequence[Place]) -> RodForces:
    """Tension in each rod of a rigid end frame; a rod that would have to push goes slack, and
    the others share its part.

        F_i = max(0, a + b x_i + c y_i)     sum F_i = F     sum F_i (x_i, y_i) = F (x, y)

    Where the thrust acts outside the group (two rods at springline, one rod through the bore)
    no tensions balance it; they then balance as much of the moment as they can.

    thrust  F, zero or more [lbf]     acts_at  across and up from the joint's centre [in]
    rods  across and up of each, from the joint's centre [in]
    returns  RodForces: the tension in each rod [lbf], and the size of the moment left [in.lbf]
    Valid for alike rods of one length, drawn up alike.
    Raises DimensionalityError for a wrong dimension, ValueError for no rods, or for a thrust that
    closes the joint: that one goes to the joint, not to rods.
    Source: STATICS; PILE_GROUP, a worked group. Check: published/rod_group.toml.
    """
    force, points, at = amount(thrust, "lbf"), _points(rods), _point(acts_at)
    if force < 0:
        raise ValueError(f"thrust {force:g} lbf closes the joint: it pulls on no rod")
    held = _nearest(at, points)
    left = force * math.dist(at, held)
    pulls = _pulling(points, held)
    return RodForces(tuple(q(force * p, "lbf") for p in pulls), q(left, "in*lbf"))


def _pulling(points: list[_Point], held: _Point) -> list[float]:
    # Rods turn from pulling to slack and back, the first that disagrees each time: for such
    # a problem that order cannot go round in a circle.
    scale = _size(points)
    pulling = [True] * len(points)
    while True:
        tilt = _tilt([p for p, on in zip(points, pulling, strict=True) if on], held, scale)
        pulls = [_pull(tilt, p, scale) for p in points]
        wrong = next(
            (i for i, (on, pull) in enumerate(zip(pulling, pulls, strict=True))
             if (pull < -1e-9 if on else pull > 1e-9)), None,
        )  # fmt: skip
        if wrong is None:
            return [max(0.0, p) if on else 0.0 for on, p in zip(pulling, pulls, strict=True)]
        pulling[wrong] = not pulling[wrong]


def _point(place: Place) -> _Point:
    return amount(place[0], "in"), amount(place[1], "in")


def _points(rods: Sequence[Place]) -> list[_Point]:
    if not rods:
        raise ValueError("no rods: nothing carries the thrust")
    return [_point(r) for r in rods]


def _size(points: list[_Point]) -> float:
    return max((math.hypot(x, y) for x, y in points), default=0.0) or 1.0


def _cross(a: _Point, b: _Point, c: _Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _nearest(at: _Point, points: list[_Point]) -> _Point:
    """The place nearest to `at` within the polygon the rods span: what they can balance."""
    if any(_within(at, *corners) for corners in combinations(points, 3)):
        return at
    feet = [_foot(at, a, b) for a, b in combinations(points, 2)] or points
    return min(feet, key=lambda foot: math.dist(at, foot))


def _within(at: _Point, a: _Point, b: _Point, c: _Point) -> bool:
    sides = _cross(a, b, at), _cross(b, c, at), _cross(c, a, at)
    return abs(_cross(a, b, c)) > 0 and (min(sides) >= 0 or max(sides) <= 0)


def _foot(at: _Point, a: _Point, b: _Point) -> _Point:
    along = (b[0] - a[0], b[1] - a[1])
    length2 = along[0] ** 2 + along[1] ** 2
    if length2 == 0:
        return a
    share = ((at[0] - a[0]) * along[0] + (at[1] - a[1]) * along[1]) / length2
    share = min(1.0, max(0.0, share))
    return a[0] + share * along[0], a[1] + share * along[1]


def _tilt(points: list[_Point], held: _Point, scale: float) -> list[float]:
    """How the end frame moves under a unit thrust at `held`: along the axis, and tilting."""
    rows = [(1.0, x / scale, y / scale) for x, y in points]
    normal = [[sum(r[i] * r[j] for r in rows) for j in range(3)] for i in range(3)]
    for i in range(3):
        normal[i][i] += _RIDGE
    return _solved(normal, [1.0, held[0] / scale, held[1] / scale])


def _pull(tilt: list[float], point: _Point, scale: float) -> float:
    return tilt[0] + tilt[1] * point[0] / scale + tilt[2] * point[1] / scale


def _solved(matrix: list[list[float]], right: list[float]) -> list[float]:
    """Three equations, by elimination; the matrix is symmetric and positive."""
    rows = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    for i in range(3):
        pivot = max(range(i, 3), key=lambda k: abs(rows[k][i]))
        rows[i], rows[pivot] = rows[pivot], rows[i]
        for k in range(i + 1, 3):
            share = rows[k][i] / rows[i][i]
            rows[k] = [a - share * b for a, b in zip(rows[k], rows[i], strict=True)]
    found = [0.0, 0.0, 0.0]
    for i in (2, 1, 0):
        known = sum(rows[i][j] * found[j] for j in range(i + 1, 3))
        found[i] = (rows[i][3] - known) / rows[i][i]
    return found
