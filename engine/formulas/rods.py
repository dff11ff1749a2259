"""Threaded rods: stress area, allowable tension, torque, stretch, and springs in series."""

from __future__ import annotations

import math

from engine.units import Quantity, amount, q


def stress_area_inch(diameter: Quantity, pitch: Quantity) -> Quantity:
    """Tensile stress area of a unified inch thread.

        A_t = pi/4 (D - 9 sqrt 3 / 16 p)^2 = 0.7854 (D - 0.9743 / n)^2

    diameter  nominal, D [in]     pitch  one over the threads per inch, p = 1/n [in]
    returns  area [in2]
    Valid for UNC and UNF threads of steel up to 100 ksi.
    Raises DimensionalityError for a wrong dimension.
    Source: FED_STD_H28, table II.B.1, formula 1b. Check: published/rods.toml.
    """
    d, p = amount(diameter, "in"), amount(pitch, "in")
    return q(math.pi / 4 * (d - 9 * math.sqrt(3) / 16 * p) ** 2, "in**2")


def stress_area_metric(diameter: Quantity, pitch: Quantity) -> Quantity:
    """Nominal stress area of a metric thread.

        A_s = pi/4 ((d2 + d3) / 2)^2     d2 = d - 0.649519 p     d3 = d - 1.226869 p

    diameter  nominal, d [mm]     pitch  p [mm]     returns  area [mm2]
    Valid for metric coarse and fine threads of the ISO profile.
    Raises DimensionalityError for a wrong dimension.
    Source: ISO_898_1, formula from memory; it gives every tabulated area. Check:
    published/rods.toml.
    """
    d, p = amount(diameter, "mm"), amount(pitch, "mm")
    d2, d3 = d - 0.649519 * p, d - 1.226869 * p
    return q(math.pi / 4 * ((d2 + d3) / 2) ** 2, "mm**2")


def gross_area(diameter: Quantity) -> Quantity:
    """Area of the unthreaded rod.

        A_b = pi/4 D^2

    diameter  nominal, D [in]     returns  area [in2]
    Valid for a round rod.
    Raises DimensionalityError for a wrong dimension.
    Source: GEOMETRY. Check: published/rods.toml.
    """
    return q(math.pi / 4 * amount(diameter, "in") ** 2, "in**2")


def rupture_allowable(ultimate: Quantity, area: Quantity) -> Quantity:
    """Tension a threaded rod may carry, judged by rupture in the thread.

        R_n / Omega = 0.75 F_u A_b / 2.00

    ultimate  tensile strength F_u [ksi]     area  gross, of the unthreaded rod A_b [in2]
    returns  allowable tension [kip]
    Valid for static tension without bending; allowable strength design.
    Raises DimensionalityError for a wrong dimension.
    Source: AISC_360, J3.6. Check: published/rods.toml.
    """
    return q(0.75 * amount(ultimate, "ksi") * amount(area, "in**2") / 2.00, "kip")


def yield_allowable(yield_stress: Quantity, area: Quantity) -> Quantity:
    """Tension a rod may carry, judged by yielding of its gross area; the lesser governs.

        R_n / Omega = F_y A_b / 1.67

    yield_stress  F_y [ksi]     area  gross, of the unthreaded rod A_b [in2]
    returns  allowable tension [kip]
    Valid for static tension without bending; governs where F_y < 0.625 F_u.
    Raises DimensionalityError for a wrong dimension.
    Source: AISC_360, D2. Check: published/rods.toml.
    """
    return q(amount(yield_stress, "ksi") * amount(area, "in**2") / 1.67, "kip")


def torque(factor: float, diameter: Quantity, tension: Quantity) -> Quantity:
    """Torque on the nut that draws a tension into the rod.

        T = K D F

    factor  nut factor K: 0.20 plain and dry, 0.15 lubricated, 0.30 rusty or gritty [-]
    diameter  nominal, D [in]     tension  F [lbf]     returns  torque [in.lbf]
    Valid to plus or minus 30 % at best: the nut factor scatters by that much.
    Raises DimensionalityError for a wrong dimension.
    Source: FASTENING. Check: published/rods.toml.
    """
    return q(factor * amount(diameter, "in") * amount(tension, "lbf"), "in*lbf")


def stiffness(area: Quantity, modulus: Quantity, length: Quantity) -> Quantity:
    """Force a rod takes up for each unit of stretch.

        k = A E / L

    area  stress area for all-thread [in2]     modulus  of elasticity E [ksi]
    length  between the nuts L [in]     returns  stiffness [kip/in]
    Valid below yield.
    Raises DimensionalityError for a wrong dimension, ZeroDivisionError for no length.
    Source: MACHINE_TEXT. Check: published/rods.toml.
    """
    return q(amount(area, "in**2") * amount(modulus, "ksi") / amount(length, "in"), "kip/in")


def stretch(tension: Quantity, spring: Quantity) -> Quantity:
    """How far a tension stretches a rod, or any spring.

        delta = F / k = F L / (A E)

    tension  beyond what is already drawn in [kip]     spring  stiffness k [kip/in]
    returns  stretch [in]
    Valid below yield; past the draw-up only, for before it the joint does not move.
    Raises DimensionalityError for a wrong dimension, ZeroDivisionError for no stiffness.
    Source: MACHINE_TEXT; MATERIALS_TEXT, problem 5.1. Check: published/rods.toml.
    """
    return q(amount(tension, "kip") / amount(spring, "kip/in"), "in")


def in_series(*springs: Quantity) -> Quantity:
    """Stiffness of springs that carry the same force one after the other.

        1 / k = 1/k_1 + 1/k_2 + ...

    springs  stiffness of each, above zero [kip/in]     returns  stiffness [kip/in]
    Valid for linear springs.
    Raises DimensionalityError for a wrong dimension, ValueError for no spring at all.
    Source: STATICS. Check: published/rods.toml.
    """
    if not springs:
        raise ValueError("no spring: nothing has a stiffness")
    return q(1 / sum(1 / amount(k, "kip/in") for k in springs), "kip/in")
