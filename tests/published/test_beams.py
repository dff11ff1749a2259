"""Deflection of beams against the curvature integrated twice; worked here, not published."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from engine.formulas import beams
from engine.units import amount, q

SPAN = 60.0
UNIT = q(1, "lbf*in**2")


def _integrated(
    moment: Callable[[float], float], start: float, end: float
) -> Callable[[float], float]:
    """Deflection of a beam of unit rigidity, zero at 0 and at the span, from start to end."""
    steps = round((end - start) * 400)
    width = (end - start) / steps
    slope = sag = 0.0
    at = [(start, 0.0)]
    for i in range(steps):
        middle = moment(start + (i + 0.5) * width)
        sag += slope * width - middle * width**2 / 2
        slope -= middle * width
        at.append((start + (i + 1) * width, sag))

    def raw(x: float) -> float:
        return at[round((x - start) / width)][1]

    tilt = (raw(SPAN) - raw(0)) / SPAN
    return lambda x: raw(x) - raw(0) - tilt * x


def test_two_points() -> None:
    a = 12.0
    sag = _integrated(lambda x: min(x, a, SPAN - x), 0, SPAN)
    given = (q(2, "lbf"), q(SPAN, "in"), q(a, "in"), UNIT)
    assert amount(beams.two_points_at_centre(*given), "in") == pytest.approx(sag(30), rel=1e-6)
    assert amount(beams.two_points_at_load(*given), "in") == pytest.approx(sag(a), rel=1e-6)


def test_spread() -> None:
    c = 20.0

    def moment(x: float) -> float:
        into = min(max(x - (SPAN - c) / 2, 0.0), c)
        past = max(x - (SPAN + c) / 2, 0.0)
        return x / 2 - into / c * (into / 2 + past)

    sag = _integrated(moment, 0, SPAN)
    found = beams.spread_at_centre(q(1, "lbf"), q(SPAN, "in"), q(c, "in"), UNIT)
    assert amount(found, "in") == pytest.approx(sag(30), rel=1e-6)
    peak = beams.spread_moment(q(1, "lbf"), q(SPAN, "in"), q(c, "in"))
    assert amount(peak, "in*lbf") == pytest.approx(moment(30))


def test_centre() -> None:
    sag = _integrated(lambda x: min(x, SPAN - x) / 2, 0, SPAN)
    found = beams.centre_deflection(q(1, "lbf"), q(SPAN, "in"), UNIT)
    assert amount(found, "in") == pytest.approx(sag(30), rel=1e-6)


def test_a_load_spread_over_nothing_is_a_load_at_the_centre() -> None:
    load, span = q(3, "lbf"), q(SPAN, "in")
    assert beams.spread_moment(load, span, q(0, "in")) == beams.centre_moment(load, span)
    spread = beams.spread_at_centre(load, span, q(0, "in"), UNIT)
    point = beams.centre_deflection(load, span, UNIT)
    assert amount(spread, "in") == pytest.approx(amount(point, "in"))
