"""Laws of the pocket, its thrust and the rods that hold it, whatever the sizes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.formulas import beams, bearing, deflection, pocket, rod_group, rods, thrust
from engine.formulas.pocket import Box, Circle, Outline
from engine.units import Quantity, amount, q

WATER = q(0.036063, "lbf/in**3")

lengths = st.floats(1, 300)
pressures = st.floats(0.5, 60)
places = st.tuples(st.floats(-90, 90), st.floats(-90, 90))


@st.composite
def outlines(draw: st.DrawFn) -> Outline:
    if draw(st.booleans()):
        return Circle(q(draw(lengths), "in"))
    span, rise = draw(lengths), draw(lengths)
    corner = q(min(span, rise) / 2 * draw(st.floats(0.01, 1)), "in")
    none = q(0, "in")
    kind = draw(st.sampled_from(["sharp", "haunch", "radius"]))
    return Box(
        q(span, "in"),
        q(rise, "in"),
        corner if kind == "haunch" else none,
        corner if kind == "radius" else none,
    )


def _thrust_of(band: pocket.Section, centre: Quantity) -> float:
    return amount(thrust.uniform(centre, band.area), "lbf")


@given(outlines(), st.floats(0.1, 20), st.floats(0.1, 20), pressures)
def test_thrust_adds_up_over_nested_seal_bands(
    inner: Outline, first: float, second: float, psi: float
) -> None:
    lines = [inner, pocket.outward(inner, q(first, "in"))]
    lines.append(pocket.outward(lines[1], q(second, "in")))
    low, middle, high = (pocket.enclosed(line) for line in lines)
    centre = q(psi, "psi")
    near, far = pocket.between(middle, low), pocket.between(high, middle)
    whole = pocket.between(high, low)
    total = _thrust_of(near, centre) + _thrust_of(far, centre)
    assert total == pytest.approx(_thrust_of(whole, centre))
    turning = sum(amount(thrust.moment(WATER, b.second_moment), "in*lbf") for b in (near, far))
    assert turning == pytest.approx(amount(thrust.moment(WATER, whole.second_moment), "in*lbf"))


@given(outlines(), st.floats(0.1, 20))
def test_seal_lines_swapped_turn_thrust_round(inner: Outline, gap: float) -> None:
    inside, outside = (
        pocket.enclosed(line) for line in (inner, pocket.outward(inner, q(gap, "in")))
    )
    opening, closing = pocket.between(outside, inside), pocket.between(inside, outside)
    assert amount(closing.area, "in**2") == -amount(opening.area, "in**2") < 0


@given(st.floats(1, 300))
def test_a_box_rounded_to_half_its_equal_sides_is_the_circle(size: float) -> None:
    side = q(size, "in")
    rounded = pocket.box(side, side, q(0, "in"), side / 2)
    circle = pocket.circle(side)
    for part in ("area", "perimeter", "second_moment"):
        assert getattr(rounded, part).magnitude == pytest.approx(
            getattr(circle, part).magnitude, rel=1e-9
        )


@given(outlines(), st.floats(0.01, 20))
def test_outward_and_back_is_the_same_outline(outline: Outline, by: float) -> None:
    back = pocket.outward(pocket.outward(outline, q(by, "in")), q(-by, "in"))
    for one, other in zip(vars(outline).values(), vars(back).values(), strict=True):
        assert amount(one, "in") == pytest.approx(amount(other, "in"), abs=1e-9)


@given(outlines(), st.floats(0.001, 0.01))
def test_area_grows_by_perimeter_times_a_small_step(outline: Outline, step: float) -> None:
    inside = pocket.enclosed(outline)
    outside = pocket.enclosed(pocket.outward(outline, q(step, "in")))
    band = pocket.between(outside, inside)
    grown = amount(band.area, "in**2") / step
    assert grown == pytest.approx(amount(band.perimeter, "in"), rel=1e-3, abs=1e-2)


def _in(point: tuple[float, float]) -> tuple[Quantity, Quantity]:
    return q(point[0], "in"), q(point[1], "in")


def _shared(
    force: float, at: tuple[float, float], group: list[tuple[float, float]]
) -> tuple[list[float], float]:
    found = rod_group.tension_only(q(force, "lbf"), _in(at), [_in(rod) for rod in group])
    return [amount(f, "lbf") for f in found.forces], amount(found.moment_left, "in*lbf")


groups = st.one_of(
    st.lists(places, min_size=1, max_size=12),
    st.lists(st.tuples(st.sampled_from([-60.0, 0.0, 60.0]), st.sampled_from([-30.0, 0.0, 30.0])),
             min_size=1, max_size=8),
    st.lists(st.floats(-80, 80).map(lambda x: (x, 0.0)), min_size=1, max_size=6),
)  # fmt: skip


@given(st.floats(1, 1e5), places, groups)
def test_rods_sum_to_the_thrust_and_balance_what_they_can(
    force: float, at: tuple[float, float], group: list[tuple[float, float]]
) -> None:
    pulls, left = _shared(force, at, group)
    assert sum(pulls) == pytest.approx(force, rel=1e-6)
    off = [
        sum(f * rod[axis] for f, rod in zip(pulls, group, strict=True)) - force * at[axis]
        for axis in (0, 1)
    ]
    assert math.hypot(*off) == pytest.approx(left, abs=1e-5 * force)


@given(st.floats(1, 1e5), places, groups)
def test_no_rod_pushes(
    force: float, at: tuple[float, float], group: list[tuple[float, float]]
) -> None:
    assert min(_shared(force, at, group)[0]) >= 0


@given(st.floats(1, 1e5), places, st.lists(st.floats(1e-3, 1), min_size=3, max_size=10))
def test_inside_the_group_nothing_is_left_over(
    force: float, turn: tuple[float, float], shares: list[float]
) -> None:
    count = len(shares)
    group = [
        (60 * math.cos(2 * math.pi * i / count + turn[0]), 60 * math.sin(2 * math.pi * i / count))
        for i in range(count)
    ]
    at = tuple(
        sum(s * rod[axis] for s, rod in zip(shares, group, strict=True)) / sum(shares)
        for axis in (0, 1)
    )
    assert _shared(force, (at[0], at[1]), group)[1] <= 1e-6 * force


@given(
    st.floats(1, 1e5),
    st.integers(3, 12),
    st.floats(0, 6.28),
    st.floats(0, 0.45),
    st.floats(0, 6.28),
)
def test_where_every_rod_pulls_slack_changes_nothing(
    force: float, count: int, turned: float, off: float, towards: float
) -> None:
    ring = [turned + 2 * math.pi * i / count for i in range(count)]
    group = [(60 * math.cos(angle), 60 * math.sin(angle)) for angle in ring]
    at = (60 * off * math.cos(towards), 60 * off * math.sin(towards))
    wanted = [force / count * (1 + 2 * off * math.cos(angle - towards)) for angle in ring]
    assert _shared(force, at, group)[0] == pytest.approx(wanted, rel=1e-6)


def test_two_rods_at_springline_leave_the_whole_moment() -> None:
    pulls, left = _shared(2458, (0, -3.335), [(-60, 0), (60, 0)])
    assert pulls == pytest.approx([1229, 1229])
    assert left == pytest.approx(2458 * 3.335)


def test_a_thrust_that_closes_the_joint_pulls_on_no_rod() -> None:
    with pytest.raises(ValueError, match="closes the joint"):
        _shared(-100, (0, 0), [(-60, 0), (60, 0)])


@given(st.floats(0.1, 300), st.floats(0.1, 300), pressures, st.floats(0.01, 5))
def test_nothing_changes_with_the_unit_it_was_written_in(
    a: float, b: float, psi: float, small: float
) -> None:
    inch = [q(a, "in"), q(b, "in"), q(psi, "psi"), q(small, "in")]
    metric = [
        q(a * 25.4, "mm"), q(b * 0.0254, "m"), q(psi * 6.894757293168, "kPa"), q(small * 2.54, "cm")
    ]  # fmt: skip
    assert _all(*inch) == pytest.approx(_all(*metric), rel=1e-9)


def _all(a: Quantity, b: Quantity, p: Quantity, s: Quantity) -> list[float]:
    """One figure from each family, in fixed units."""
    ring = pocket.between(pocket.circle(a + s), pocket.circle(a))
    box = pocket.box(a, b, q(0, "in"), q(0, "in"))
    force = thrust.uniform(thrust.centre_pressure(p, b, WATER), ring.area)
    turning = thrust.moment(WATER, ring.second_moment)
    spring = rods.stiffness(ring.area, q(29000, "ksi"), b)
    bent = beams.centre_deflection(force, b, beams.rigidity(p, box.second_moment))
    off = thrust.below_centre(turning, force)
    left, low = -1 * a, -1 * b
    at = (s, -1 * off)
    held = rod_group.tension_only(force, at, [(left, b), (a, b), (left, low), (a, low)])
    return [
        amount(ring.area, "in**2"),
        amount(box.second_moment, "in**4"),
        amount(force, "lbf"),
        amount(off, "in"),
        amount(thrust.hoop_tension(p, a, s), "lbf"),
        amount(rods.stretch(force, spring), "in"),
        amount(rods.stress_area_inch(a, s / 100), "in**2"),
        amount(bent, "in"),
        amount(bearing.bearing_allowable(p, b), "psi"),
        amount(deflection.angle(s, a), "deg"),
        amount(held.forces[0], "lbf") + amount(force, "lbf"),
    ]


@given(st.floats(0, 180), st.floats(0, 2), st.floats(0.01, 2), st.floats(10, 150))
def test_openings_on_opposite_sides_sum_to_twice_the_middle(
    phi: float, least: float, opening: float, diameter: float
) -> None:
    def at(angle: float) -> float:
        return amount(
            deflection.opening_at(q(angle, "deg"), q(least, "in"), q(opening, "in")), "in"
        )

    assert at(phi) + at(180 - phi) == pytest.approx(2 * least + opening)
    across = diameter * (1 - math.cos(math.radians(phi))) / 2
    spacer = deflection.shim(q(opening, "in"), q(diameter, "in"), q(across, "in"))
    assert least + amount(spacer, "in") == pytest.approx(at(phi))
