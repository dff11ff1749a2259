"""Laws of the plan, whatever the joint, the rig and the units it was written in."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.plan import Plan, work_out
from engine.plan.lines import restraint_band
from engine.plan.pressures import column
from engine.plan.restraint import Holder, restrained
from engine.units import FLOW, LENGTH, PRESSURE, TEMPERATURE, Unreadable, amount, parse
from tests.plans import PIPE, plan

RODS = {"rod": "5/8-11", "grade": "A36", "length": "12 ft", "beam": "C5X9", "beams_per_end": 2}
TIMBER = {**RODS, "beam": "6x8", "washer": "3 in", "timber": "Hem-Fir No.1"}


@st.composite
def restraints(draw: st.DrawFn) -> dict[str, Any]:
    heights = draw(st.lists(st.integers(-30, 30), min_size=1, max_size=4, unique=True))
    at = [[f"{x} in", f"{y} in"] for y in heights for x in (-38, 38)]
    load = draw(st.sampled_from([
        {"load": "centre"},
        {"load": "spread", "load_width": "50 in"},
        {"load": "two_points", "load_inset": "8 in"},
    ]))  # fmt: skip
    drawn = draw(st.sampled_from([{}, {"draw_up": "500 lbf"}]))
    return {**draw(st.sampled_from([RODS, TIMBER])), **load, **drawn, "span": "76 in", "at": at}


def holder(restraint: dict[str, Any]) -> Holder:
    made = plan(restraint=restraint)
    return Holder(made.restraint, restraint_band(made.joint), column(made))


@settings(max_examples=40, deadline=None)
@given(restraints(), st.floats(0.5, 80), st.floats(0.5, 80))
def test_use_grows_with_pressure(restraint: dict[str, Any], one: float, other: float) -> None:
    held = holder(restraint)
    low, high = (restrained(held, psi).use for psi in sorted((one, other)))
    assert low is not None and high is not None
    assert low <= high * (1 + 1e-9)


@settings(max_examples=40, deadline=None)
@given(restraints(), st.floats(0.5, 80))
def test_rods_sum_to_the_thrust_and_none_pushes(restraint: dict[str, Any], psi: float) -> None:
    found = restrained(holder(restraint), psi)
    forces = [amount(rod.force, "lbf") for rod in found.rods]
    assert min(forces) >= 0
    assert sum(forces) == pytest.approx(amount(found.thrust, "lbf"))


@settings(max_examples=30, deadline=None)
@given(restraints())
def test_up_to_its_limit_a_restraint_is_enough(restraint: dict[str, Any]) -> None:
    held = holder(restraint)
    limit = held.limit()
    assert limit is not None
    if limit > 1e-6:
        assert restrained(held, limit * (1 - 1e-6)).enough is True
    assert restrained(held, limit * (1 + 1e-6) + 1e-6).enough is False


_METRIC = ((LENGTH, "mm"), (PRESSURE, "kPa"), (FLOW, "L/min"), (TEMPERATURE, "degC"))


def metric(value: Any) -> Any:
    """The same quantities, written in other units; what is no quantity is left alone."""
    if isinstance(value, dict):
        return {key: _other(key, entry) for key, entry in value.items()}
    if isinstance(value, list):
        return [metric(one) for one in value]
    if isinstance(value, str):
        for dimension, unit in _METRIC:
            try:
                return [amount(parse(value, dimension), unit), unit]
            except Unreadable:
                continue
    return value


def _other(key: str, value: Any) -> Any:
    return value if key in ("name", "mark", "units", "washer") else metric(value)


def figures(found: Plan) -> list[float]:
    """A figure of every section."""
    assert found.one_unit is not None and found.restraint.use is not None
    assert found.pressure.highest is not None and found.pressure.limit_of_rig is not None
    assert found.filling.time_to_target is not None and found.restraint.opening is not None
    assert found.pocket.volume is not None and found.one_unit.warming is not None
    return [
        amount(found.pocket.area, "in**2"),
        amount(found.pocket.volume, "mL"),
        amount(found.pressure.needed_at_gauge, "psi"),
        amount(found.pressure.highest, "psi"),
        amount(found.pressure.limit_of_rig, "psi"),
        amount(found.thrust.at_test, "lbf"),
        found.restraint.use,
        amount(found.restraint.opening, "in"),
        amount(found.gauge.guarded_reading, "psi"),
        amount(found.filling.time_to_target, "s"),
        amount(found.one_unit.stiffness, "mL/psi"),
        amount(found.ports.throttling * found.ports.drill, "in"),
    ]


@settings(max_examples=15, deadline=None)
@given(st.floats(20, 120), st.floats(5, 30), st.floats(33, 95))
def test_nothing_changes_with_the_unit_it_was_written_in(
    inside: float, pressure: float, fahrenheit: float
) -> None:
    base = {
        **PIPE,
        "joint": {**PIPE["joint"], "inside": f"{inside:.2f} in"},
        "procedure": {**PIPE["procedure"], "pressure": f"{pressure:.2f} psi", "ramp": "unknown",
                      "cap": f"{pressure + 3:.2f} psi"},
        "gauge": {**PIPE["gauge"], "height": f"{inside / 2:.2f} in"},
        "supply": {**PIPE["supply"], "temperature": f"{fahrenheit:.1f} degF"},
    }  # fmt: skip
    written, again = work_out(plan(base)), work_out(plan(metric(base)))
    assert figures(again) == pytest.approx(figures(written), rel=1e-7)
    assert [r.code for r in again.refusals] == [r.code for r in written.refusals]
    assert [r.code for r in again.doubts] == [r.code for r in written.doubts]


@settings(max_examples=15, deadline=None)
@given(st.floats(1, 60), st.floats(1, 60))
def test_a_higher_relief_setting_never_makes_it_safer(one: float, other: float) -> None:
    low, high = (work_out(plan(supply__relief=[psi, "psi"])) for psi in sorted((one, other)))
    assert low.restraint.use is not None and high.restraint.use is not None
    assert low.restraint.use <= high.restraint.use
    serious = {"restraint", "supply_over_cap", "relief_over_cap", "relief_unfit", "gauge_short"}
    assert {r.code for r in low.refusals} & serious <= {r.code for r in high.refusals} & serious
