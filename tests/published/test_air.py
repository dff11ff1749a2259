"""Trapped air: the worked example of a pocket of 494.80 in3, computed twice on paper (P96)."""

from __future__ import annotations

import pytest

from engine.formulas import air
from engine.units import Quantity, amount, q
from tests.published.printed import agrees

ATMOSPHERE = q(1, "atm")
POCKET = q(494.80, "in**3")
ROOM = q(20, "degC")
FREE_AIR = q(81.083, "mL")
LINEAR = q(0.025656 + 2.34395, "mL/psi")
POINTS: dict[float, str] = {
    2: "14.452",
    4: "26.826",
    6: "37.725",
    8: "47.537",
    10: "56.529",
    13: "68.864",
}


def fitted(
    points: dict[float, float], graduation: float = 0.1, preload: Quantity | None = None
) -> air.AirFit:
    return air.fit_air(
        [q(p, "psi") for p in points], [q(v, "mL") for v in points.values()],
        ATMOSPHERE, q(graduation, "psi"), preload,
    )  # fmt: skip


def test_the_parts_of_the_stiffness_are_as_worked_out() -> None:
    at = q(13, "psi")
    assert agrees(amount(air.stiffness_of_water(POCKET, ROOM), "mL/psi"), "0.025656")
    # The printed inputs are rounded, so the last printed digit of what follows is one out.
    rods = air.stiffness_of_restraint(q(164.934, "in**2"), q(190_183, "lbf/in"))
    assert amount(rods, "mL/psi") == pytest.approx(2.34395, abs=1e-5)
    squeezed = air.stiffness_of_air(FREE_AIR, at, ATMOSPHERE)
    assert amount(squeezed, "mL/psi") == pytest.approx(1.55345, abs=1e-5)
    total = air.total_stiffness(at, LINEAR, FREE_AIR, ATMOSPHERE)
    assert amount(total, "mL/psi") == pytest.approx(3.92305, abs=1e-5)
    assert agrees(amount(total, "mL/kPa"), "0.56899")


def test_boyle_squeezes_a_hundred_millilitres() -> None:
    for gauge, printed in ((13, "53.062"), (20, "42.356")):
        assert agrees(
            amount(air.squeezed(q(100, "mL"), q(gauge, "psi"), ATMOSPHERE), "mL"), printed
        )
    assert agrees(amount(air.squeezed(FREE_AIR, q(13, "psi"), ATMOSPHERE), "mL"), "43.024")


@pytest.mark.parametrize(("gauge", "printed"), POINTS.items())
def test_added_volume_is_as_worked_out(gauge: float, printed: str) -> None:
    volume = air.volume_in(q(gauge, "psi"), LINEAR, FREE_AIR, ATMOSPHERE)
    assert amount(volume, "mL") == pytest.approx(float(printed), abs=0.001)


def test_points_give_back_the_air_and_the_stiffness() -> None:
    fit = fitted({p: float(v) for p, v in POINTS.items()})
    assert amount(fit.linear, "mL/psi") == pytest.approx(2.36960, abs=2e-4)
    assert amount(fit.free_air, "mL") == pytest.approx(81.083, abs=0.002)
    assert fit.told_apart and not fit.bent
    total, doubt = fit.stiffness(q(13, "psi"))
    assert amount(total, "mL/psi") == pytest.approx(3.92305, abs=2e-4)
    assert 0 < amount(doubt, "mL/psi") < 0.1


def test_two_points_close_together_do_not_tell_air_from_rods() -> None:
    assert not fitted({12: 64.9, 13: 68.9}).told_apart
    assert not fitted({12: 64.9, 12.5: 66.9, 13: 68.9}, graduation=0.25).told_apart


def test_a_coarse_dial_leaves_doubt_even_where_points_lie_on_the_curve() -> None:
    points = {p: float(v) for p, v in POINTS.items()}
    assert fitted(points, graduation=0.5).told_apart
    assert not fitted(points, graduation=2).told_apart


def test_points_across_the_preload_are_called_bent() -> None:
    points = {p: float(v) for p, v in POINTS.items()}
    assert fitted(points, preload=q(7, "psi")).bent
    assert not fitted(points, preload=q(1, "psi")).bent


def test_points_that_bend_upwards_are_called_bent() -> None:
    stiff_then_soft = {p: 1.0 * p + 4.0 * max(0, p - 6) for p in (2.0, 4.0, 6.0, 8.0, 10.0, 13.0)}
    assert fitted(stiff_then_soft).bent


def test_warming_raises_the_pressure_as_worked_out() -> None:
    # Worked out with IAPWS-95, whose expansion at 20 degC is 1.2 parts in 10 000 above Kell's.
    per_degree = air.volume_per_degree(POCKET, q(43.024, "mL"), ROOM, q(10e-6, "1/K"))
    assert amount(per_degree, "mL/K") == pytest.approx(1.5715, rel=2e-4)
    rise = air.pressure_per_degree(per_degree, q(3.92305, "mL/psi"))
    assert amount(rise, "psi/K") == pytest.approx(0.4006, rel=3e-4)
    assert agrees(amount(rise, "psi/K") / 1.8, "0.2225")


@pytest.mark.parametrize(
    ("celsius", "printed"),
    [(5, "-0.113"), (10, "0.470"), (15, "0.980"), (20, "1.434"), (25, "1.843"), (30, "2.217")],
)
def test_water_outgrows_concrete_as_worked_out(celsius: float, printed: str) -> None:
    net = air.volume_per_degree(POCKET, q(0, "mL"), q(celsius, "degC"), q(10e-6, "1/K"))
    assert amount(net, "mL/K") == pytest.approx(float(printed), abs=0.002)  # Kell, not IAPWS-95


def test_the_straight_line_back_to_zero_misses_most_of_the_air() -> None:
    # From the last two points of the worked example: 15.4 mL instead of 81.
    tangent = (68.864 - 56.529) / 3
    assert agrees(68.864 - 13 * tangent, "15.4")
    found = amount(fitted({p: float(v) for p, v in POINTS.items()}).free_air, "mL")
    assert found > 5 * 15.4


@pytest.mark.parametrize(
    "ask",
    [
        lambda: air.squeezed(q(1, "mL"), q(-15, "psi"), ATMOSPHERE),
        lambda: air.stiffness_of_restraint(q(1, "in**2"), q(0, "lbf/in")),
        lambda: air.pressure_per_degree(q(1, "mL/K"), q(0, "mL/psi")),
        lambda: fitted({13: 1.0}),
        lambda: fitted({0: 0.0, 13: 1.0}),
    ],
)
def test_impossible_inputs_are_refused_in_words(ask: object) -> None:
    assert callable(ask)
    with pytest.raises(ValueError, match="expected"):
        ask()
