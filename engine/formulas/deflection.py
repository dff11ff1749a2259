"""The deflected joint: angle, opening round the clock, spacers, and how far the far end moves."""

from __future__ import annotations

import math

from engine.units import Quantity, amount, q


def angle(opening: Quantity, diameter: Quantity) -> Quantity:
    """Angle between two sections whose joint is wider on one side.

        theta = atan(Delta / D)

    opening  how much wider on that side, Delta [in]
    diameter  over which it is measured, D [in]     returns  angle [deg]
    Valid for flat ends.
    Raises DimensionalityError for a wrong dimension, ValueError for no diameter.
    Source: GEOMETRY. Check: published/deflection.toml.
    """
    across = amount(diameter, "in")
    if across <= 0:
        raise ValueError(f"joint of {across:g} in: the diameter must be more than nothing")
    return q(math.degrees(math.atan(amount(opening, "in") / across)), "deg")


def opening_at(around: Quantity, least: Quantity, opening: Quantity) -> Quantity:
    """Opening of the joint at an angle round it from the closed side.

        g = g_min + Delta (1 - cos phi) / 2

    around  angle from the closed side, phi [deg]     least  opening at the closed side, g_min [in]
    opening  how much wider at the open side, Delta [in]     returns  opening [in]
    Valid for flat ends of a round joint.
    Raises DimensionalityError for a wrong dimension.
    Source: GEOMETRY. Check: published/deflection.toml.
    """
    share = (1 - math.cos(math.radians(amount(around, "deg")))) / 2
    return q(amount(least, "in") + amount(opening, "in") * share, "in")


def opening_over(opening: Quantity, measured_over: Quantity, over: Quantity) -> Quantity:
    """The same deflection, as it is measured over another diameter.

        Delta_2 = Delta_1 D_2 / D_1

    opening  how much wider on one side where it was measured, Delta_1 [in]
    measured_over  diameter there, D_1 [in]     over  diameter wanted, D_2 [in]
    returns  how much wider on one side there [in]
    Valid for flat ends: half an inch over the outside is less over the inside.
    Raises DimensionalityError for a wrong dimension, ZeroDivisionError for no diameter.
    Source: GEOMETRY. Check: published/deflection.toml.
    """
    ratio = amount(over, "in") / amount(measured_over, "in")
    return q(amount(opening, "in") * ratio, "in")


def offset(deflection: Quantity, length: Quantity) -> Quantity:
    """How far the far end of a section stands out of line.

        L tan theta

    deflection  angle of the joint, theta [deg]     length  of the section, L [in]
    returns  offset [in]
    Valid for a straight section turned about its joint.
    Raises DimensionalityError for a wrong dimension.
    Source: GEOMETRY. Check: published/deflection.toml.
    """
    slope = math.tan(math.radians(amount(deflection, "deg")))
    return q(amount(length, "in") * slope, "in")


def shim(opening: Quantity, diameter: Quantity, from_closed: Quantity) -> Quantity:
    """Thickness of the spacer that holds the joint open, where it is put in.

        s = Delta x / D

    opening  how much wider at the open side, Delta [in]
    diameter  over which that is measured, D [in]
    from_closed  from the closed side across to the spacer, x [in]     returns  thickness [in]
    Valid for flat ends homed on the closed side; add what the closed side stands open.
    Raises DimensionalityError for a wrong dimension, ZeroDivisionError for no diameter.
    Source: GEOMETRY. Check: published/deflection.toml.
    """
    return opening_over(opening, diameter, from_closed)


def slope_limit(nominal: Quantity) -> Quantity:
    """Slope at which a joint of a nominal size is tried deflected.

        12 500 / DN, at most 50

    nominal  size, DN [mm]     returns  slope [mm/m]
    Valid for round pipe.
    Raises DimensionalityError for a wrong dimension, ZeroDivisionError for no size.
    Source: EN_1916, from memory. Check: published/deflection.toml.
    """
    return q(min(50.0, 12500 / amount(nominal, "mm")), "mm/m")
