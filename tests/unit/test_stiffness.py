"""How far a pocket yields, and what a loss is worth by it."""

from __future__ import annotations

import pytest

from engine.falling.stiffness import (
    Step,
    bounds,
    from_bleed,
    from_plan,
    from_points,
    from_steps,
    three,
    volume_of,
    worth,
)
from engine.formulas.air import fit_air, volume_in
from engine.units import amount, q
from tests.unit.made_falls import ATMOSPHERE

LINEAR, AIR = q(2.37, "mL/psi"), q(81.08, "mL")
GAUGES = [q(p, "psi") for p in (2, 4, 6, 8, 10, 13)]
POINTS = [volume_in(gauge, LINEAR, AIR, ATMOSPHERE) for gauge in GAUGES]


def test_points_give_the_stiffness_with_a_small_doubt() -> None:
    fit = fit_air(GAUGES, POINTS, ATMOSPHERE, q(0.1, "psi"))
    known = from_points(fit, q(13, "psi"))
    low, expected, high = three(known.value, "mL/psi")
    assert expected == pytest.approx(3.923, abs=1e-3)
    assert 0.9 * expected < low < expected < high < 1.1 * expected
    assert known.basis == "points" and known.free_air is not None
    assert len(known.yieldings()) == 1


def test_points_across_the_preload_leave_more_doubt_and_no_air() -> None:
    plain = from_points(fit_air(GAUGES, POINTS, ATMOSPHERE, q(0.1, "psi")), q(13, "psi"))
    bent = from_points(
        fit_air(GAUGES, POINTS, ATMOSPHERE, q(0.1, "psi"), preload=q(7, "psi")), q(13, "psi")
    )
    assert bent.factor > 1.4 > plain.factor
    assert bent.free_air is None and bent.most_air is None
    assert len(bent.yieldings()) > 1


def test_a_plan_is_in_doubt_by_half() -> None:
    little = q(10, "mL")
    low, expected, high = three(from_plan(LINEAR, little, ATMOSPHERE, q(13, "psi")).value, "mL/psi")
    assert (low, high) == pytest.approx((expected / 1.5, expected * 1.5))


def test_a_planned_pocket_may_hold_no_air_at_all() -> None:
    low, expected, _ = three(from_plan(LINEAR, AIR, ATMOSPHERE, q(13, "psi")).value, "mL/psi")
    assert low == pytest.approx(2.37) and low < expected / 1.5


def test_a_bleed_is_in_doubt_by_the_dial() -> None:
    bled = from_bleed(
        q(10, "mL"), q(0.5, "mL"), q(14, "psi"), q(11.5, "psi"), q(0.25, "psi"), ATMOSPHERE
    )
    assert three(bled.value, "mL/psi") == pytest.approx((9.5 / 2.75, 4.0, 10.5 / 2.25))
    assert amount(bled.gauge, "psi") == pytest.approx(12.75)


def test_the_largest_step_counts_and_none_that_went_the_wrong_way() -> None:
    wrong = Step(10.0, 14.0, -9.0), Step(14.0, 9.0, 9.0), Step(14.0, 9.0, 0.0)
    steps = [*wrong, Step(13.0, 14.0, 3.0), Step(14.0, 12.0, -8.0), Step(13.0, 13.4, 5.0)]
    found = from_steps(steps, 0.25, ATMOSPHERE)
    assert found is not None and found.basis == "bled"
    assert three(found.value, "mL/psi")[1] == pytest.approx(4.0)
    assert amount(found.gauge, "psi") == pytest.approx(13.0)
    # Two graduations tell nothing clearly enough.
    assert from_steps([*wrong, Step(13.0, 13.5, 5.0)], 0.25, ATMOSPHERE) is None


def test_a_bleed_the_dial_hardly_sees_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match=r"expected a drop of more than 0\.25 psi"):
        from_bleed(
            q(1, "mL"), q(0.5, "mL"), q(14, "psi"), q(13.75, "psi"), q(0.25, "psi"), ATMOSPHERE
        )


def test_every_way_of_yielding_is_as_stiff_where_it_was_measured() -> None:
    for yielding in from_plan(LINEAR, AIR, ATMOSPHERE, q(13, "psi")).yieldings():
        assert yielding.stiffness(13) == pytest.approx(3.923, abs=1e-3)


def test_one_psi_is_worth_what_the_worked_example_says() -> None:
    exact = from_plan(LINEAR, AIR, ATMOSPHERE, q(13, "psi"), doubt=q(0, "percent"))
    lost = volume_of(bounds((1, 1, 1), 1, "psi"), exact)
    one = worth(lost, area=q(164.934, "in**2"), per_degree=q(1.5715, "mL/K"))
    assert three(one.volume, "mL")[1] == pytest.approx(3.923, abs=1e-3)
    assert three(one.drops, "drop")[1] == pytest.approx(78.46, abs=0.02)
    assert one.cooling and one.movement
    # 0.4006 psi for each kelvin, and 5.41 mL for 0.002 in
    assert 1 / three(one.cooling, "K")[1] == pytest.approx(0.4006, abs=2e-4)
    assert three(one.movement, "in")[1] == pytest.approx(0.002 / 5.41 * 3.923, rel=2e-3)


def test_bounds_stay_in_order_whatever_the_sign() -> None:
    planned = from_plan(LINEAR, AIR, ATMOSPHERE, q(13, "psi"))
    lost = bounds((-0.2, 0.1, 0.4), 1, "psi")
    found = worth(volume_of(lost, planned), per_degree=q(-0.5, "mL/K"))
    low, expected, high = three(found.volume, "mL")
    assert low == pytest.approx(-0.2 * 3.923 * 1.5, rel=1e-3) and low < expected < high
    assert found.cooling is not None and found.movement is None
    low, expected, high = three(found.cooling, "K")
    assert low < expected < 0 < high


def test_no_effect_of_a_degree_gives_no_cooling() -> None:
    planned = from_plan(LINEAR, AIR, ATMOSPHERE, q(13, "psi"))
    lost = bounds((1, 1, 1), 1, "psi")
    assert worth(volume_of(lost, planned)).cooling is None
    assert worth(volume_of(lost, planned), per_degree=q(0, "mL/K")).cooling is None
