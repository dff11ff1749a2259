"""What a plan knows of its pocket that helps to explain a fall."""

from __future__ import annotations

from engine.falling.stiffness import Stiffness, from_plan
from engine.formulas.air import squeezed, volume_per_degree
from engine.levels import water_temperature
from engine.plan import Plan
from engine.plan.stiffness import AIR_SHARE, CONCRETE_GROWTH
from engine.planfile import PlanFile
from engine.units import Quantity, amount, q


def planned_stiffness(plan: PlanFile, worked: Plan, crown: Quantity) -> Stiffness | None:
    """At a gauge pressure at the crown; None where the plan does not know its pocket."""
    one, held = worked.one_unit, worked.pocket.volume
    if one is None or held is None:
        return None
    stretch = 0.0 if one.restraint is None else amount(one.restraint, "mL/psi")
    linear = q(amount(one.water, "mL/psi") + stretch, "mL/psi")
    return from_plan(linear, _assumed_air(held), plan.atmosphere, crown)


def per_kelvin(
    plan: PlanFile, worked: Plan, stiffness: Stiffness | None, known_air: Quantity | None = None
) -> float | None:
    """mL by which the contents outgrow the pocket for each degree; with the air that is known."""
    held = worked.pocket.volume
    if held is None or worked.one_unit is None or stiffness is None:
        return None
    found = stiffness.free_air if stiffness.free_air is not None else known_air
    free = found if found is not None and amount(found, "mL") >= 0 else _assumed_air(held)
    air = squeezed(free, stiffness.gauge, plan.atmosphere)
    grows = volume_per_degree(held, air, water_temperature(plan), CONCRETE_GROWTH)
    return amount(grows, "mL/K")


def _assumed_air(held: Quantity) -> Quantity:
    return q(amount(held, "mL") * amount(AIR_SHARE, "percent") / 100, "mL")
