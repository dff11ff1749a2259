"""Washers on timber: bearing area, bearing stress, what the wood allows, and its crush."""

from __future__ import annotations

import math

from engine.units import Quantity, amount, q

_BASIS_OF_REFERENCE = 0.04
"""Inches of crush at which the reference value of bearing across the grain is measured."""


def square_washer_area(side: Quantity, hole: Quantity) -> Quantity:
    """Bearing area of a square plate washer.

        A = s^2 - pi/4 d^2

    side  of the plate, s [in]     hole  diameter, d [in]     returns  area [in2]
    Valid for a plate that does not bend and lies all on the wood.
    Raises DimensionalityError for a wrong dimension.
    Source: GEOMETRY. Check: published/bearing.toml.
    """
    return q(amount(side, "in") ** 2 - math.pi / 4 * amount(hole, "in") ** 2, "in**2")


def round_washer_area(outside: Quantity, hole: Quantity) -> Quantity:
    """Bearing area of a round washer.

        A = pi/4 (D^2 - d^2)

    outside  diameter, D [in]     hole  diameter, d [in]     returns  area [in2]
    Valid for a washer that does not bend and lies all on the wood.
    Raises DimensionalityError for a wrong dimension.
    Source: GEOMETRY. Check: published/bearing.toml.
    """
    return q(math.pi / 4 * (amount(outside, "in") ** 2 - amount(hole, "in") ** 2), "in**2")


def area_factor(length: Quantity) -> float:
    """How much more a short bearing carries, the wood beside it helping.

        C_b = (l_b + 0.375) / l_b for l_b below 6 in, else 1

    length  along the grain, l_b; of a round washer its diameter [in]     returns  C_b [-]
    Valid 3 in or more from the end of the timber.
    Raises DimensionalityError for a wrong dimension, ValueError for no length.
    Source: NDS, 3.10.4. Check: published/bearing.toml.
    """
    along = amount(length, "in")
    if along <= 0:
        raise ValueError(f"bearing of {along:g} in: the length must be more than nothing")
    return (along + 0.375) / along if along < 6 else 1.0


def bearing_allowable(reference: Quantity, length: Quantity, wet: float = 1.0) -> Quantity:
    """Bearing stress across the grain that the wood may carry.

        F'_c = F_c C_M C_b

    reference  value of the species, F_c across the grain [psi]
    length  of the bearing along the grain [in]     wet  factor C_M of wet service [-]
    returns  allowable stress [psi]
    Valid at ordinary temperature, unincised. How long the load lasts does not enter here.
    Raises DimensionalityError for a wrong dimension, ValueError for no length.
    Source: NDS, 3.10.4 and 4.3. Check: published/bearing.toml.
    """
    return q(amount(reference, "psi") * wet * area_factor(length), "psi")


def bearing_stress(force: Quantity, area: Quantity) -> Quantity:
    """Stress under a washer.

        f = F / A

    force  in the rod [lbf]     area  of the bearing [in2]     returns  stress [psi]
    Valid where the force is central to the bearing.
    Raises DimensionalityError for a wrong dimension, ZeroDivisionError for no area.
    Source: CONCRETE_TEXT. Check: published/bearing.toml.
    """
    return q(amount(force, "lbf") / amount(area, "in**2"), "psi")


def crush_stiffness(reference: Quantity, area: Quantity) -> Quantity:
    """Force under a washer for each unit it sinks into the wood.

        k = F_c A / 0.04 in

    reference  value of the species, F_c across the grain [psi]     area  of the bearing [in2]
    returns  stiffness [lbf/in]
    Valid as a secant up to the reference value, which is the stress at 0.04 in of crush; softer
    at first and again beyond it, and it creeps.
    Raises DimensionalityError for a wrong dimension.
    Source: NDS, 3.10 and 4.2.6. Check: published/bearing.toml.
    """
    force = amount(reference, "psi") * amount(area, "in**2")
    return q(force / _BASIS_OF_REFERENCE, "lbf/in")
