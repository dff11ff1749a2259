"""The thrust: what the pocket's pressure does along the axis, and on the bell around it."""

from __future__ import annotations

from engine.units import Quantity, amount, q


def rule_of_thumb(pressure: Quantity, gap: Quantity, perimeter: Quantity) -> Quantity:
    """Thrust as the trade reckons it: one pressure over gap times perimeter.

        F = p g P

    pressure  the test pressure, gauge [psi]     gap  between the seal lines [in]
    perimeter  of the inside face [in]     returns  thrust, low by the water column [lbf]
    Valid as a first guess: 4 % low at 24 in, 15 % at 96 in, 22 % at 144 in for water to the crown.
    Raises DimensionalityError for a wrong dimension.
    Source: PRACTICE. Check: published/thrust.toml.
    """
    return q(amount(pressure, "psi") * amount(gap, "in") * amount(perimeter, "in"), "lbf")


def uniform(pressure: Quantity, area: Quantity) -> Quantity:
    """Thrust of one pressure all over the area between the seal lines.

        F = p A

    pressure  gauge [psi]     area  between the seal lines, signed [in2]
    returns  thrust, positive where it opens the joint [lbf]
    Valid without the weight of the water, or with the pressure at the centroid.
    Raises DimensionalityError for a wrong dimension.
    Source: STATICS. Check: published/thrust.toml.
    """
    return q(amount(pressure, "psi") * amount(area, "in**2"), "lbf")


def centre_pressure(pressure: Quantity, height: Quantity, unit_weight: Quantity) -> Quantity:
    """Pressure at the joint's centre, from the pressure at a height above it.

        p_c = p + gamma h

    pressure  at the height, gauge [psi]     height  above the joint's centre, up positive [in]
    unit_weight  of the water, gamma [lbf/in3]     returns  pressure at the centre, gauge [psi]
    Valid for still water of one temperature between the two heights.
    Raises DimensionalityError for a wrong dimension.
    Source: FLUID_TEXT; ASTM_C443, 13 psi for 30 ft. Check: published/thrust.toml.
    """
    column = amount(unit_weight, "lbf/in**3") * amount(height, "in")
    return q(amount(pressure, "psi") + column, "psi")


def moment(unit_weight: Quantity, second_moment: Quantity) -> Quantity:
    """Moment of the thrust about the horizontal axis through the joint's centre.

        M = gamma I

    unit_weight  of the water, gamma [lbf/in3]
    second_moment  of the area between the seal lines, signed [in4]
    returns  moment, positive where the thrust acts below the centre [in.lbf]
    Valid for an area that is its own mirror image about that axis, wetted all over.
    Raises DimensionalityError for a wrong dimension.
    Source: FLUID_TEXT. Check: published/test_thrust.py.
    """
    gamma = amount(unit_weight, "lbf/in**3")
    return q(gamma * amount(second_moment, "in**4"), "in*lbf")


def below_centre(moment_of_thrust: Quantity, thrust: Quantity) -> Quantity:
    """How far below the joint's centre the thrust acts.

        e = M / F = gamma I / (p_c A)

    moment_of_thrust  about the centre [in.lbf]     thrust  with the water column [lbf]
    returns  distance below the centre [in]
    Valid for a thrust that is not zero.
    Raises DimensionalityError for a wrong dimension, ValueError for no thrust.
    Source: FLUID_TEXT. Check: published/test_thrust.py.
    """
    force = amount(thrust, "lbf")
    if force == 0:
        raise ValueError("no thrust: it acts nowhere")
    return q(amount(moment_of_thrust, "in*lbf") / force, "in")


def hoop_tension(pressure: Quantity, radius: Quantity, width: Quantity) -> Quantity:
    """Tension round the bell, over the width of the pocket.

        T = p R w

    pressure  in the pocket at that height, gauge [psi]     radius  of the water's outside [in]
    width  of the pocket along the axis [in]     returns  tension across one cut [lbf]
    Valid for a thin ring that carries it all in tension; the barrel beside it helps.
    Raises DimensionalityError for a wrong dimension.
    Source: STATICS. Check: published/thrust.toml.
    """
    return q(amount(pressure, "psi") * amount(radius, "in") * amount(width, "in"), "lbf")
