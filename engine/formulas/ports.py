"""Ports: nipple, bore and drill against the room the pocket leaves them."""

from __future__ import annotations

from engine.units import Quantity, amount, q


def bore(outside: Quantity, wall: Quantity) -> Quantity:
    """Inside diameter of a nipple.

        d = D - 2 t

    outside  diameter, D [in]     wall  thickness, t [in]     returns  diameter [in]
    Valid for pipe of nominal wall.
    Raises DimensionalityError for a wrong dimension.
    Source: ASME_B36_10M. Check: published/ports.toml.
    """
    return q(amount(outside, "in") - 2 * amount(wall, "in"), "in")


def drill(outside: Quantity, bond: Quantity) -> Quantity:
    """Hole that takes a nipple and the bond around it.

        D_h = D + 2 b

    outside  diameter of the nipple, D [in]     bond  thickness of adhesive all round, b [in]
    returns  diameter of the drill [in]
    Valid for a nipple bonded into a plain hole.
    Raises DimensionalityError for a wrong dimension.
    Source: GEOMETRY. Check: published/ports.toml.
    """
    return q(amount(outside, "in") + 2 * amount(bond, "in"), "in")


def room_beside(drill_diameter: Quantity, pocket_width: Quantity) -> Quantity:
    """Room left on each side of a hole in the middle of the pocket, before it reaches a gasket.

        c = (w - D_h) / 2

    drill_diameter  of the hole, D_h [in]     pocket_width  between the gaskets, w [in]
    returns  room on each side, negative where the hole runs under a gasket [in]
    Valid for a hole square to the seal lines, centred between them.
    Raises DimensionalityError for a wrong dimension.
    Source: GEOMETRY. Check: published/ports.toml.
    """
    return q((amount(pocket_width, "in") - amount(drill_diameter, "in")) / 2, "in")


def throttling(bore_diameter: Quantity, depth: Quantity) -> float:
    """Area between the mouth of the bore and the face across the pocket, over the bore's own.

        pi d h / (pi/4 d^2) = 4 h / d

    bore_diameter  d [in]     depth  of water across the mouth, h [in]
    returns  ratio, below 1 where the pocket and not the nipple holds up the flow [-]
    Valid for a nipple that ends flush; one that stands proud takes its length off the depth.
    Raises DimensionalityError for a wrong dimension, ZeroDivisionError for no bore.
    Source: GEOMETRY. Check: published/ports.toml.
    """
    return 4 * amount(depth, "in") / amount(bore_diameter, "in")
