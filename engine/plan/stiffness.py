"""How stiff the pocket is: how long it takes to reach the target, and what one unit is worth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from engine.formulas import air, filling
from engine.formulas.drops import drops
from engine.formulas.pocket import volume
from engine.levels import water_temperature
from engine.plan.lines import Band, water_area
from engine.plan.model import Filling, OneUnit, Pocket, Pressures
from engine.plan.restraint import Holder
from engine.planfile import PlanFile
from engine.units import Quantity, amount, q

AIR_SHARE: Final = q(1, "percent")
"""Of the pocket, trapped: an assumption, and said so wherever it counts."""
CONCRETE_GROWTH: Final = q(10e-6, "1/K")
STEEL_GROWTH: Final = q(11.7e-6, "1/K")
"""In length, for each degree: both from memory."""
_LEAST_PER_DEGREE: Final = 1e-6


@dataclass(frozen=True)
class Stiffness:
    """Of a pocket at the pressure its crown sees, where the trapped air gathers."""

    volume: Quantity
    free_air: Quantity
    water: Quantity
    air: Quantity
    restraint: Quantity | None
    """None where its spring is not known, and where it is drawn up by more than the thrust."""
    linear: Quantity
    temperature: Quantity
    crown: Quantity

    @property
    def total(self) -> Quantity:
        return q(amount(self.linear, "mL/psi") + amount(self.air, "mL/psi"), "mL/psi")


def pocket_volume(plan: PlanFile, band: Band) -> Quantity | None:
    """Water the pocket holds; None without its width. Where the lines are not known, the most."""
    width = plan.joint.pocket_width
    if width is None:
        return None
    held = amount(volume(water_area(plan.joint, band), width), "in**3")
    return q(held * amount(q(1, "in**3"), "mL"), "mL")


def stiffness(plan: PlanFile, pocket: Pocket, pressure: Pressures, holder: Holder
              ) -> Stiffness | None:  # fmt: skip
    """None where the pocket is not known: a bound on its size would make it look soft."""
    held = pocket.volume
    if held is None or pocket.seal_lines == "bound":
        return None
    temperature, atmosphere = water_temperature(plan), plan.atmosphere
    free = q(amount(held, "mL") * amount(AIR_SHARE, "percent") / 100, "mL")
    water = air.stiffness_of_water(held, temperature)
    spring, needed = holder.spring, amount(pressure.needed_at_gauge, "psi")
    stretch = None
    if spring is not None and not holder.drawn_up_against(needed):
        stretch = air.stiffness_of_restraint(pocket.area, spring)
    linear = amount(water, "mL/psi") + (amount(stretch, "mL/psi") if stretch is not None else 0.0)
    return Stiffness(
        volume=held,
        free_air=free,
        water=water,
        air=air.stiffness_of_air(free, pressure.crown, atmosphere),
        restraint=stretch,
        linear=q(linear, "mL/psi"),
        temperature=temperature,
        crown=pressure.crown,
    )


def fill(plan: PlanFile, pocket: Pocket, stiff: Stiffness | None) -> Filling:
    flow, ramp, outside = plan.supply.flow, plan.procedure.ramp, plan.atmosphere
    to_fill = to_target = gentle = least = None
    if flow is not None and pocket.volume is not None:
        to_fill = filling.time_to_fill(pocket.volume, flow)
    if stiff is not None:
        rise = (stiff.crown, stiff.linear, stiff.free_air, outside)
        if flow is not None:
            to_target = filling.time_to_target(*rise, flow)
        if ramp is not None:
            gentle = filling.flow_within_ramp(ramp, *rise)
    if ramp is not None:
        least = q(amount(plan.procedure.pressure, "psi") / amount(ramp, "psi/s"), "s")
    return Filling(to_fill, to_target, gentle, least)


def one_unit(plan: PlanFile, pocket: Pocket, stiff: Stiffness | None) -> OneUnit | None:
    if stiff is None:
        return None
    of = q(1, "psi") if plan.units == "us" else q(10, "kPa")
    psi, total = amount(of, "psi"), stiff.total
    lost = amount(total, "mL/psi") * psi
    squeezed = air.squeezed(stiff.free_air, stiff.crown, plan.atmosphere)
    grows = air.volume_per_degree(stiff.volume, squeezed, stiff.temperature, CONCRETE_GROWTH)
    rise = amount(air.pressure_per_degree(grows, total), "psi/K")
    area = abs(amount(pocket.area, "in**2"))
    moved = amount(q(lost, "mL"), "in**3") / area if area else None
    return OneUnit(
        of=of,
        stiffness=total,
        water=stiff.water,
        air=stiff.air,
        restraint=stiff.restraint,
        lost_volume=q(lost, "mL"),
        drops=drops(q(lost, "mL")),
        movement=None if moved is None else q(moved, "in"),
        warming=_degrees(plan, psi, rise),
        rod_warming=_degrees(plan, psi, _rods_in_the_sun(plan, pocket, stiff)),
    )


def _rods_in_the_sun(plan: PlanFile, pocket: Pocket, stiff: Stiffness) -> float:
    """Psi that the pocket loses for each degree its rods alone are warmed; 0 where they do not
    hold the joint against the thrust, or nobody knows how they do."""
    length = plan.restraint.length
    if length is None or stiff.restraint is None:
        return 0.0
    longer = q(amount(length, "in") * amount(STEEL_GROWTH, "1/K"), "in")
    gained = abs(amount(volume(pocket.area, longer), "mL"))
    return gained / amount(stiff.total, "mL/psi")


def _degrees(plan: PlanFile, psi: float, per_kelvin: float) -> Quantity | None:
    """Degrees that are worth so many psi, as differences of temperature."""
    if abs(per_kelvin) < _LEAST_PER_DEGREE:
        return None
    kelvin = psi / per_kelvin
    return q(kelvin * 1.8, "delta_degF") if plan.units == "us" else q(kelvin, "K")
