"""The plan against the worked pocket, and what the dial and the clock are worth there."""

from __future__ import annotations

from typing import Any

import pytest

from engine.plan import Plan, work_out
from engine.units import Quantity, amount
from tests.plans import PIPE, plan
from tests.published.printed import agrees
from tests.published.test_plan_thrust import WIDE

# Computed twice, not published: 8.108 L, 1 % of air, 13 psi, 20 degC, four 3/4 in rods of 17 ft.
RODS: dict[str, Any] = {
    "rod": "3/4-10",
    "grade": "F1554-36",
    "length": "17 ft",
    "at": PIPE["restraint"]["at"],
}


def worked(**changed: Any) -> Plan:
    return work_out(plan(WIDE, **{"restraint": RODS, **changed}))


def prints(value: Quantity | None, unit: str, printed: str) -> bool:
    return value is not None and agrees(amount(value, unit), printed)


def test_the_worked_pocket() -> None:
    found = worked()
    unit = found.one_unit
    assert unit is not None
    assert prints(found.pocket.volume, "L", "8.1083")
    assert prints(unit.water, "mL/psi", "0.02566")
    assert prints(unit.air, "mL/psi", "1.5534")
    assert prints(unit.restraint, "mL/psi", "2.344")
    assert prints(unit.stiffness, "mL/psi", "3.923")
    assert prints(unit.stiffness, "mL/kPa", "0.5690")
    assert unit.warming is not None
    # Worked out with IAPWS-95, whose expansion at 20 degC is 1.2 parts in 10 000 above Kell's.
    assert 1.8 / unit.warming.magnitude == pytest.approx(0.4006, rel=3e-4)
    assert agrees(1 / unit.warming.magnitude, "0.2225")


def test_ten_kilopascals_of_the_worked_pocket() -> None:
    unit = worked(units="si").one_unit
    assert unit is not None
    assert prints(unit.of, "kPa", "10")
    assert prints(unit.stiffness, "mL/psi", "3.923")
    assert prints(unit.lost_volume, "mL", "5.69")
    assert unit.warming is not None
    assert 10 / 6.894757 / unit.warming.magnitude == pytest.approx(0.4006, rel=3e-4)


def test_one_unit_in_drops_and_in_movement() -> None:
    unit = worked().one_unit
    assert unit is not None
    # 3.923 mL at twenty drops to the millilitre; over 164.934 in2 it is 0.2394 in3.
    assert prints(unit.drops, "drop", "78")
    assert prints(unit.movement, "in", "0.00145")


@pytest.mark.parametrize(("base", "printed"), [(WIDE, "0.73"), (PIPE, "0.23")])
def test_an_open_hose_is_at_the_target_in_less_than_a_second(
    base: dict[str, Any], printed: str
) -> None:
    """The yard's figures, at 1.5 gal/min."""
    changed = {"restraint": RODS} if base is WIDE else {}
    assert prints(work_out(plan(base, **changed)).filling.time_to_target, "s", printed)


@pytest.mark.parametrize(("base", "printed"), [(WIDE, "0.9"), (PIPE, "1.9")])
def test_sun_on_free_rods(base: dict[str, Any], printed: str) -> None:
    """The yard's figures: psi lost for each degree Fahrenheit that the rods alone are warmed."""
    changed = {"restraint": RODS} if base is WIDE else {}
    unit = work_out(plan(base, **changed)).one_unit
    assert unit is not None and unit.rod_warming is not None
    assert agrees(1 / unit.rod_warming.magnitude, printed)


def test_washers_on_timber_soften_it() -> None:
    """4.026 mL/psi of restraint with two washers of 3 in on Douglas fir to each rod."""
    timber = {**RODS, "beam": "8x8", "washer": "3 in", "timber": "Douglas Fir-Larch No.2"}
    unit = worked(restraint=timber).one_unit
    assert unit is not None
    assert prints(unit.restraint, "mL/psi", "4.026")


@pytest.mark.parametrize(
    ("accuracy", "graduation", "uncertainty", "sure"),
    [
        ("B", "0.25 psi", "0.354", "13.58"),
        ("A", "0.25 psi", "0.188", "13.31"),
        ("2A", "0.1 psi", "0.091", "13.15"),
    ],
)
def test_what_a_dial_must_show_to_be_sure(
    accuracy: str, graduation: str, uncertainty: str, sure: str
) -> None:
    dial = worked(gauge__accuracy=accuracy, gauge__graduation=graduation).gauge
    assert prints(dial.uncertainty, "psi", uncertainty)
    assert prints(dial.guarded_reading, "psi", sure)


@pytest.mark.parametrize(("full", "suits"), [(15, False), (30, True), (60, False)])
def test_the_range_of_a_gauge_for_thirteen_psi(full: float, suits: bool) -> None:
    dial = worked(gauge__span=["0 psi", f"{full} psi"]).gauge
    assert dial.range_ok is suits


def test_a_quarter_inch_nipple() -> None:
    fit = worked().ports
    assert prints(fit.bore, "in", "0.364")
    assert prints(fit.hole, "in", "0.6025")


def test_a_washer_of_three_inches_on_wet_fir() -> None:
    """Net 8.48 in2; 625 psi, times 0.67 for wet service and 1.125 for the short bearing."""
    timber = {**RODS, "beam": "8x8", "washer": "3 in", "timber": "Douglas Fir-Larch No.2"}
    held = worked(restraint=timber).restraint
    assert held.washer is not None and held.rod is not None
    area = amount(held.rod.demand, "lbf") / amount(held.washer.bearing, "psi")
    assert agrees(area, "8.48")
    assert agrees(amount(held.washer.allowable, "psi"), "471")


@pytest.mark.parametrize(
    ("rod", "grade", "kip"),
    [
        ("3/4-10", "A307-A", "9.94"),
        ("3/4-10", "F1554-36", "9.52"),
        ("1-8", "F1554-55", "22.09"),
        ("1-8", "A193 B7", "36.82"),
    ],
)
def test_what_a_rod_may_carry(rod: str, grade: str, kip: str) -> None:
    """The lesser of rupture and yield, as tabulated."""
    held = worked(restraint={**RODS, "rod": rod, "grade": grade}).restraint
    assert held.rod is not None
    assert prints(held.rod.allowable, "kip", kip)
