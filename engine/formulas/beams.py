"""Beams across the section's end: moment, deflection and stress, in each pattern of load.

`load` is the thrust one beam carries; the beam spans between the two rods that hold it.
"""

from __future__ import annotations

from engine.units import Quantity, amount, q


def two_points_moment(load: Quantity, inset: Quantity) -> Quantity:
    """Largest moment where the wall bears at two places, each the same way in from its rod.

        M = (W/2) a

    load  of the beam, W [lbf]     inset  from each rod to the load next to it, a [in]
    returns  moment, constant between the loads [in.lbf]
    Valid for an elastic beam; the same over the rods where the loads overhang them by a.
    Raises DimensionalityError for a wrong dimension.
    Source: BEAM_THEORY. Check: published/beams.toml.
    """
    return q(amount(load, "lbf") / 2 * amount(inset, "in"), "in*lbf")


def two_points_at_centre(
    load: Quantity, span: Quantity, inset: Quantity, rigidity: Quantity
) -> Quantity:
    """Deflection at the middle where the wall bears at two places.

        delta = (W/2) a (3 L^2 - 4 a^2) / (24 E I)

    load  of the beam, W [lbf]     span  between the rods, L [in]
    inset  from each rod to the load next to it, a [in]     rigidity  E I [lbf.in2]
    returns  deflection [in]
    Valid for an elastic beam and a of at most half the span.
    Raises DimensionalityError for a wrong dimension.
    Source: BEAM_THEORY. Check: published/beams.toml.
    """
    w, length, a, ei = _loaded(load, span, inset, rigidity)
    return q(w / 2 * a * (3 * length**2 - 4 * a**2) / (24 * ei), "in")


def two_points_at_load(
    load: Quantity, span: Quantity, inset: Quantity, rigidity: Quantity
) -> Quantity:
    """Deflection under each load where the wall bears at two places: how far the joint follows.

        delta = (W/2) a^2 (3 L - 4 a) / (6 E I)

    load  of the beam, W [lbf]     span  between the rods, L [in]
    inset  from each rod to the load next to it, a [in]     rigidity  E I [lbf.in2]
    returns  deflection [in]
    Valid for an elastic beam and a of at most half the span.
    Raises DimensionalityError for a wrong dimension.
    Source: BEAM_THEORY. Check: published/beams.toml.
    """
    w, length, a, ei = _loaded(load, span, inset, rigidity)
    return q(w / 2 * a**2 * (3 * length - 4 * a) / (6 * ei), "in")


def spread_moment(load: Quantity, span: Quantity, width: Quantity) -> Quantity:
    """Largest moment where the load is spread evenly over a length about the middle.

        M = W (L/4 - c/8)

    load  of the beam, W [lbf]     span  between the rods, L [in]
    width  over which it is spread, c [in]     returns  moment at the middle [in.lbf]
    Valid for c of at most the span.
    Raises DimensionalityError for a wrong dimension.
    Source: BEAM_THEORY. Check: published/beams.toml.
    """
    arm = amount(span, "in") / 4 - amount(width, "in") / 8
    return q(amount(load, "lbf") * arm, "in*lbf")


def spread_at_centre(
    load: Quantity, span: Quantity, width: Quantity, rigidity: Quantity
) -> Quantity:
    """Deflection at the middle where the load is spread evenly about it.

        delta = W (8 L^3 - 4 L c^2 + c^3) / (384 E I)

    load  of the beam, W [lbf]     span  between the rods, L [in]
    width  over which it is spread, c [in]     rigidity  E I [lbf.in2]     returns  deflection [in]
    Valid for an elastic beam and c of at most the span.
    Raises DimensionalityError for a wrong dimension.
    Source: BEAM_THEORY. Check: published/beams.toml.
    """
    w, length, c, ei = _loaded(load, span, width, rigidity)
    return q(w * (8 * length**3 - 4 * length * c**2 + c**3) / (384 * ei), "in")


def centre_moment(load: Quantity, span: Quantity) -> Quantity:
    """Largest moment where all the load is at the middle: the upper bound of any pattern inside
    the rods.

        M = W L / 4

    load  of the beam, W [lbf]     span  between the rods, L [in]     returns  moment [in.lbf]
    Valid for any beam on two supports.
    Raises DimensionalityError for a wrong dimension.
    Source: BEAM_THEORY. Check: published/beams.toml.
    """
    return q(amount(load, "lbf") * amount(span, "in") / 4, "in*lbf")


def centre_deflection(load: Quantity, span: Quantity, rigidity: Quantity) -> Quantity:
    """Deflection at the middle where all the load is there.

        delta = W L^3 / (48 E I)

    load  of the beam, W [lbf]     span  between the rods, L [in]     rigidity  E I [lbf.in2]
    returns  deflection [in]
    Valid for an elastic beam, shear left out.
    Raises DimensionalityError for a wrong dimension.
    Source: BEAM_THEORY. Check: published/beams.toml.
    """
    w, length, _, ei = _loaded(load, span, span, rigidity)
    return q(w * length**3 / (48 * ei), "in")


def rectangle_modulus(breadth: Quantity, depth: Quantity) -> Quantity:
    """Section modulus of a sawn timber.

        S = b d^2 / 6

    breadth  across the load, b [in]     depth  along the load, d [in]     returns  modulus [in3]
    Valid for a full rectangle.
    Raises DimensionalityError for a wrong dimension.
    Source: NDS_SIZES. Check: published/beams.toml.
    """
    return q(amount(breadth, "in") * amount(depth, "in") ** 2 / 6, "in**3")


def rectangle_second_moment(breadth: Quantity, depth: Quantity) -> Quantity:
    """Second moment of a sawn timber about the axis it bends round.

        I = b d^3 / 12

    breadth  across the load, b [in]     depth  along the load, d [in]     returns  moment [in4]
    Valid for a full rectangle.
    Raises DimensionalityError for a wrong dimension.
    Source: NDS_SIZES. Check: published/beams.toml.
    """
    return q(amount(breadth, "in") * amount(depth, "in") ** 3 / 12, "in**4")


def rigidity(modulus: Quantity, second_moment: Quantity) -> Quantity:
    """What a beam sets against bending.

        E I

    modulus  of elasticity E [psi]     second_moment  about the bending axis, of all the beams
    side by side I [in4]     returns  rigidity [lbf.in2]
    Valid below yield.
    Raises DimensionalityError for a wrong dimension.
    Source: BEAM_THEORY. Check: published/beams.toml.
    """
    return q(amount(modulus, "psi") * amount(second_moment, "in**4"), "lbf*in**2")


def bending_stress(moment: Quantity, section_modulus: Quantity) -> Quantity:
    """Stress at the edge of a beam.

        f_b = M / S

    moment  M [in.lbf]     section_modulus  of all the beams side by side S [in3]
    returns  stress [psi]
    Valid below yield, for a beam that cannot buckle sideways or twist: that is not checked here.
    Raises DimensionalityError for a wrong dimension, ZeroDivisionError for no section.
    Source: BEAM_THEORY. Check: published/beams.toml.
    """
    return q(amount(moment, "in*lbf") / amount(section_modulus, "in**3"), "psi")


def steel_bending_allowable(yield_stress: Quantity) -> Quantity:
    """Bending stress a rolled steel beam may carry, on the safe side.

        F_b = 0.60 F_y

    yield_stress  F_y [ksi]     returns  allowable stress [ksi]
    Valid for rolled shapes held against buckling sideways.
    Raises DimensionalityError for a wrong dimension.
    Source: AISC_360, an older form, from memory. Check: published/beams.toml.
    """
    return q(0.60 * amount(yield_stress, "ksi"), "ksi")


def _loaded(
    load: Quantity, span: Quantity, length: Quantity, stiff: Quantity
) -> tuple[float, float, float, float]:
    return (
        amount(load, "lbf"),
        amount(span, "in"),
        amount(length, "in"),
        amount(stiff, "lbf*in**2"),
    )
