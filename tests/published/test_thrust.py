"""The tables of thrust, and worked gates: several functions in a row against one printed line."""

from __future__ import annotations

import math

import pytest

from engine.formulas import bearing, pocket, thrust
from engine.formulas.pocket import Box, Circle
from engine.units import Quantity, amount, q
from tests.published.printed import agrees

WATER_20 = q(998.2072 * 9.80665, "N/m**3")
"""IAPWS-95 at 20 degC, as the tables were computed."""
BOOK_WATER = q(9810, "N/m**3")
THIRTEEN = q(13, "psi")


def test_a_published_gate_hinged_at_its_centre() -> None:
    """Fluid mechanics text: 4 m circle, centre 8 m deep; printed 8.125 m and 61.6 kN."""
    gate = pocket.circle(q(4, "m"))
    pressure = thrust.centre_pressure(q(0, "Pa"), q(8, "m"), BOOK_WATER)
    turning = thrust.moment(BOOK_WATER, gate.second_moment)
    below = thrust.below_centre(turning, thrust.uniform(pressure, gate.area))
    assert agrees(8 + amount(below, "m"), "8.125")
    assert agrees(amount(turning, "kN*m") / 2, "61.6")


def test_a_published_circular_plate() -> None:
    """Review problem: 1.20 m circle, centre 2.5 m deep; printed 27.73 kN, cut off, and 2.536 m."""
    plate = pocket.circle(q(1.2, "m"))
    force = thrust.uniform(thrust.centre_pressure(q(0, "Pa"), q(2.5, "m"), BOOK_WATER), plate.area)
    below = thrust.below_centre(thrust.moment(BOOK_WATER, plate.second_moment), force)
    assert math.floor(100 * amount(force, "kN")) == 2773
    assert agrees(2.5 + amount(below, "m"), "2.536")


def test_a_published_rectangular_plate() -> None:
    """Review problem: 1.5 x 3 m, top 2 m deep; printed 154.51 kN and 3.714 m."""
    plate = pocket.box(q(1.5, "m"), q(3, "m"), q(0, "m"), q(0, "m"))
    force = thrust.uniform(thrust.centre_pressure(q(0, "Pa"), q(3.5, "m"), BOOK_WATER), plate.area)
    below = thrust.below_centre(thrust.moment(BOOK_WATER, plate.second_moment), force)
    assert agrees(amount(force, "kN"), "154.51")
    assert agrees(3.5 + amount(below, "m"), "3.714")


def test_a_published_washer_over_a_gap_between_two_wales() -> None:
    """Design of Reinforced Concrete, example 20.4: printed 7.43 in2 and 673 psi over 543."""
    disc = bearing.round_washer_area(q(3.5, "in"), q(0, "in"))
    area = q(amount(disc, "in**2") - 0.625 * 3.5, "in**2")
    assert agrees(amount(area, "in**2"), "7.43")
    assert agrees(amount(bearing.bearing_stress(q(5000, "lbf"), area), "psi"), "673")


def _ring(inside: float, gap: float = 0.5) -> pocket.Section:
    return pocket.between(*(pocket.circle(q(d, "in")) for d in (inside + gap, inside)))


CIRCLES = [
    # inner line, A, 13 A, p_c, F, M, e: computed by two independent codes, not published
    (96, "151.58", "1970.6", "14.749", "2235.7", "6363", "2.85"),
    (104.5, "164.93", "2144.1", "14.902", "2457.9", "8197", "3.34"),
    (105.25, "166.11", "2159.5", "14.916", "2477.7", "8374", "3.38"),
    (113, "178.29", "2317.7", "15.056", "2684.2", "10353", "3.86"),
    (114.5, "180.64", "2348.3", "15.083", "2724.5", "10769", "3.95"),
]


@pytest.mark.parametrize("row", CIRCLES, ids=lambda row: f"{row[0]} in")
def test_thrust_between_circles_as_computed(row: tuple[float, *tuple[str, ...]]) -> None:
    # The lines stand half an inch of diameter apart on each side: 96.0 and 97.0.
    inner, *printed = row
    band = _ring(inner, 1.0)
    _assert_thrust(band, q((inner + 1) / 2, "in"), printed)


BOXES = [
    # inner line (span, rise, haunch, radius), A, 13 A, p_c, F, M, e; computed twice
    ((96, 48, 0, 0), "145.00", "1885.0", "13.884", "2013.1", "2390", "1.19"),
    ((96, 48, 8, 0), "135.46", "1760.9", "13.884", "1880.6", "2144", "1.14"),
    ((96, 48, 0, 8), "137.92", "1792.9", "13.884", "1914.8", "2223", "1.16"),
    ((103.5, 55.5, 0, 0), "160.00", "2080.0", "14.019", "2243.0", "3468", "1.55"),
    ((103.5, 55.5, 8, 0), "150.46", "1955.9", "14.019", "2109.2", "3148", "1.49"),
    ((103.5, 55.5, 0, 4), "156.35", "2032.6", "14.019", "2191.9", "3360", "1.53"),
    ((111, 63, 0, 0), "175.00", "2275.0", "14.154", "2477.0", "4823", "1.95"),
]


@pytest.mark.parametrize("row", BOXES, ids=lambda row: str(row[0]))
def test_thrust_between_boxes_as_computed(
    row: tuple[tuple[float, float, float, float], *tuple[str, ...]],
) -> None:
    sides, *printed = row
    inner = Box(*(q(side, "in") for side in sides))
    outer = pocket.outward(inner, q(0.5, "in"))
    assert isinstance(outer, Box)
    band = pocket.between(pocket.enclosed(outer), pocket.enclosed(inner))
    _assert_thrust(band, outer.rise / 2, printed)


def _assert_thrust(band: pocket.Section, top: Quantity, printed: list[str]) -> None:
    pressure = thrust.centre_pressure(THIRTEEN, top, WATER_20)
    force = thrust.uniform(pressure, band.area)
    turning = thrust.moment(WATER_20, band.second_moment)
    found = [
        amount(band.area, "in**2"),
        amount(thrust.uniform(THIRTEEN, band.area), "lbf"),
        amount(pressure, "psi"),
        amount(force, "lbf"),
        amount(turning, "in*lbf"),
        amount(thrust.below_centre(turning, force), "in"),
    ]
    for number, digits in zip(found, printed, strict=True):
        assert agrees(number, digits), f"{number} against {digits}"


@pytest.mark.parametrize(
    ("inside", "wall", "uniform", "with_water"),
    [
        (24, 3, "551", "572"),
        (36, 4, "817", "863"),
        (48, 5, "1082", "1163"),
        (60, 6, "1348", "1472"),
        (72, 7, "1613", "1791"),
        (96, 9, "2144", "2458"),
        (120, 11, "2675", "3163"),
        (144, 13, "3206", "3906"),
    ],
)
def test_the_water_column_counts_for_more_as_size_grows(
    inside: float, wall: float, uniform: str, with_water: str
) -> None:
    """Mid-wall, half an inch between the lines, 13 psi at the crown; computed twice."""
    inner = Circle(q(inside + wall - 0.5, "in"))
    outer = pocket.outward(inner, q(0.5, "in"))
    assert isinstance(outer, Circle)
    band = pocket.between(pocket.enclosed(outer), pocket.enclosed(inner))
    pressure = thrust.centre_pressure(THIRTEEN, outer.diameter / 2, WATER_20)
    assert agrees(amount(thrust.uniform(THIRTEEN, band.area), "lbf"), uniform)
    assert agrees(amount(thrust.uniform(pressure, band.area), "lbf"), with_water)


@pytest.mark.parametrize(
    ("sides", "perimeter"),
    [((96.5, 48.5), "290"), ((104, 56), "320"), ((111.5, 63.5), "350")],
)
def test_perimeter_half_way_between_sharp_lines(sides: tuple[float, float], perimeter: str) -> None:
    middle = Box(q(sides[0], "in"), q(sides[1], "in"))
    inner, outer = (pocket.enclosed(pocket.outward(middle, q(by, "in"))) for by in (-0.25, 0.25))
    assert agrees(amount(pocket.between(outer, inner).perimeter, "in"), perimeter)
    assert agrees(amount(pocket.enclosed(middle).perimeter, "in"), perimeter)
