"""The pocket: outlines of the seal lines, and area, perimeter, second moment and volume."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from engine.units import Quantity, amount, q


@dataclass(frozen=True)
class Circle:
    """A round outline about the joint's centre."""

    diameter: Quantity


@dataclass(frozen=True)
class Box:
    """A four-sided outline about the joint's centre; its corners sharp, cut at 45 degrees by the
    leg `haunch`, or rounded by `radius`."""

    span: Quantity
    rise: Quantity
    haunch: Quantity = field(default_factory=lambda: q(0, "in"))
    radius: Quantity = field(default_factory=lambda: q(0, "in"))


Outline = Circle | Box


@dataclass(frozen=True)
class Section:
    """What an outline encloses, or what lies between two; the second moment is about the
    horizontal axis through the joint's centre."""

    area: Quantity
    perimeter: Quantity
    second_moment: Quantity


@dataclass(frozen=True)
class _Removed:
    """One corner of a box that is not there: its area, its second moment about the horizontal
    axis through the centre, and what it takes off the perimeter."""

    area: float
    second_moment: float
    perimeter: float


def _inches(box: Box) -> tuple[float, float, float, float]:
    b, h, k, r = (amount(x, "in") for x in (box.span, box.rise, box.haunch, box.radius))
    if min(b, h) <= 0:
        raise ValueError(f"box of {b:g} x {h:g} in: span and rise must be more than nothing")
    if min(k, r) < 0 or (k > 0 and r > 0):
        raise ValueError(f"corners: haunch {k:g} in, radius {r:g} in; expected one of the two")
    if max(k, r) > min(b, h) / 2 * (1 + 1e-9):
        raise ValueError(f"corner of {max(k, r):g} in in a box of {b:g} x {h:g} in: at most half")
    return b, h, k, r


def _triangle(h: float, k: float) -> _Removed:
    area = k * k / 2
    return _Removed(area, k**4 / 36 + area * (h / 2 - k / 3) ** 2, k * (2 - math.sqrt(2)))


def _spandrel(h: float, r: float) -> _Removed:
    # Square less quarter disc, from moments about the centre of the corner's arc.
    area, to_arc = r * r * (1 - math.pi / 4), h / 2 - r
    about_arc, first = r**4 * (1 / 3 - math.pi / 16), r**3 / 6
    return _Removed(area, about_arc + 2 * to_arc * first + area * to_arc**2, r * (2 - math.pi / 2))


def circle(diameter: Quantity) -> Section:
    """What a circle encloses.

        A = pi/4 D^2    P = pi D    I = pi/64 D^4

    diameter  of the outline [in]     returns  Section: area [in2], perimeter [in], I [in4]
    Valid for any diameter above zero.
    Raises DimensionalityError for a wrong dimension, ValueError for a diameter of zero or less.
    Source: GEOMETRY. Check: published/pocket.toml.
    """
    d = amount(diameter, "in")
    if d <= 0:
        raise ValueError(f"circle of {d:g} in: the diameter must be more than nothing")
    return _section(math.pi / 4 * d**2, math.pi * d, math.pi / 64 * d**4)


def box(span: Quantity, rise: Quantity, haunch: Quantity, radius: Quantity) -> Section:
    """What a box encloses, its four corners alike: sharp, cut at 45 degrees, or rounded.

        A = B H - 2 k^2                P = 2 (B + H) - 4 k (2 - sqrt 2)
        A = B H - r^2 (4 - pi)         P = 2 (B + H) - 2 r (4 - pi)
        I = B H^3 / 12, less the four corners

    span  width B [in]     rise  height H [in]     haunch  leg k of the cut, or zero [in]
    radius  of the rounding r, or zero [in]
    returns  Section: area [in2], perimeter [in], I about the horizontal centroid axis [in4]
    Valid for corners of at most half the smaller side, cut or rounded but not both.
    Raises DimensionalityError for a wrong dimension, ValueError for an impossible outline.
    Source: GEOMETRY. Check: published/pocket.toml.
    """
    b, h, k, r = _inches(Box(span, rise, haunch, radius))
    corner = _triangle(h, k) if k else _spandrel(h, r)
    return _section(
        b * h - 4 * corner.area,
        2 * (b + h) - 4 * corner.perimeter,
        b * h**3 / 12 - 4 * corner.second_moment,
    )


def _section(area: float, perimeter: float, second_moment: float) -> Section:
    return Section(q(area, "in**2"), q(perimeter, "in"), q(second_moment, "in**4"))


def enclosed(outline: Outline) -> Section:
    """What an outline encloses, whatever its shape: `circle` or `box`.

    outline  Circle or Box, its lengths in [in]
    returns  Section: area [in2], perimeter [in], second moment [in4]
    Valid as `circle` and `box`.
    Raises DimensionalityError for a wrong dimension, ValueError for an impossible outline.
    Source: GEOMETRY. Check: published/test_thrust.py.
    """
    if isinstance(outline, Circle):
        return circle(outline.diameter)
    return box(outline.span, outline.rise, outline.haunch, outline.radius)


def outward(outline: Outline, by: Quantity) -> Outline:
    """The outline at a constant distance outside another; a sharp corner stays sharp.

        D + 2 g     B + 2 g     H + 2 g     k + g (2 - sqrt 2)     r + g

    outline  Circle or Box, its lengths in [in]     by  distance g, negative inwards [in]
    returns  Circle or Box, its lengths in [in]
    Valid while the outline keeps its shape: a corner may not shrink below nothing.
    Raises DimensionalityError for a wrong dimension, ValueError where nothing is left.
    Source: GEOMETRY. Check: published/test_thrust.py.
    """
    g = amount(by, "in")
    if isinstance(outline, Circle):
        moved: Outline = Circle(q(amount(outline.diameter, "in") + 2 * g, "in"))
    else:
        b, h, k, r = _inches(outline)
        moved = Box(
            q(b + 2 * g, "in"),
            q(h + 2 * g, "in"),
            q(k + g * (2 - math.sqrt(2)) if k else 0.0, "in"),
            q(r + g if r else 0.0, "in"),
        )
    enclosed(moved)  # refuses what cannot be
    return moved


def between(outer: Section, inner: Section) -> Section:
    """What lies between two seal lines: outer less inner, signed.

        A = A_o - A_i     P = (P_o + P_i) / 2     I = I_o - I_i

    outer  enclosed by the secondary gasket's line, area [in2]
    inner  enclosed by the primary gasket's line, area [in2]
    returns  Section: area [in2], mean perimeter [in], second moment [in4]; area and second moment
    are negative where the pocket pushes the joint closed
    Valid for outlines about one centre.
    Raises DimensionalityError for a wrong dimension.
    Source: GEOMETRY. Check: published/test_thrust.py.
    """
    return _section(
        amount(outer.area, "in**2") - amount(inner.area, "in**2"),
        (amount(outer.perimeter, "in") + amount(inner.perimeter, "in")) / 2,
        amount(outer.second_moment, "in**4") - amount(inner.second_moment, "in**4"),
    )


def volume(area: Quantity, width: Quantity) -> Quantity:
    """Water the pocket holds.

        V = A w

    area  of the pocket across the axis [in2]     width  along the axis, between the gaskets [in]
    returns  volume [in3]
    Valid for a pocket as deep everywhere as its area says.
    Raises DimensionalityError for a wrong dimension.
    Source: GEOMETRY. Check: published/pocket.toml.
    """
    return q(amount(area, "in**2") * amount(width, "in"), "in**3")
