"""Pressures along the height of a joint, and the highest that can occur at its gauge, in psi."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from engine.conversions import KPA_PER_PSI
from engine.levels import Levels, datum_height, levels, water_weight
from engine.plan.model import Pressures
from engine.planfile import PlanFile
from engine.units import Quantity, amount, q

_TOLERANCE: Final = q(2, "psi")
"""Either way of a relief valve's setting: house rule."""
ACCUMULATION_PSI: Final = 3.0
_ACCUMULATION_SHARE: Final = 0.1
"""Of the setting, whichever is more: from memory, for small valves."""


@dataclass(frozen=True)
class Column:
    """The water that stands in joint and line: what a pressure at one height is at another."""

    weight: float
    """Psi for each inch."""
    crown: float
    gauge: float
    valve: float
    """Height of the relief valve; at the crown, the strictest place, where that is not known."""

    def carried(self, psi: float, start: float, end: float) -> float:
        return psi + self.weight * (start - end)


def column(plan: PlanFile) -> Column:
    crown = amount(plan.joint.crown, "in")
    place = plan.supply.relief_height
    valve = crown if place is None else amount(place, "in")
    height = levels(plan, plan.gauge, bled=True).height
    return Column(water_weight(plan), crown, height, valve)


def tolerance(plan: PlanFile) -> Quantity:
    """How far from its setting, either way, a relief valve may lift."""
    given = plan.supply.relief_tolerance
    return _TOLERANCE if given is None else given


def accumulation(plan: PlanFile, setting: float) -> float:
    """What a relief valve takes beyond its setting until it passes all that comes."""
    given = plan.supply.relief_accumulation
    if given is not None:
        return amount(given, "psi")
    return max(ACCUMULATION_PSI, _ACCUMULATION_SHARE * setting)


def highest_setting(plan: PlanFile, limit: float | None) -> float:
    """Of a relief valve where it stands, that keeps the cap; and with which the valve, late and
    full open, stays within what the restraint holds at the gauge, where that is known."""
    here = column(plan)
    kept = here.carried(levels(plan, plan.gauge, bled=True).cap, here.gauge, here.valve)
    if limit is None:
        return kept
    return min(kept, _setting_within(plan, here.carried(limit, here.gauge, here.valve)))


_FINEST_PSI: Final = {"us": 0.1, "si": 1 / KPA_PER_PSI}
"""Steps in which a window is told: no valve is set finer."""


def setting_between(plan: PlanFile, limit: float | None) -> tuple[float, float]:
    """Settings of a relief valve where it stands: the least that lets the needed pressure come up,
    and the highest, as `highest_setting` has it; rounded inwards where that leaves a window."""
    here = column(plan)
    least = _lifting(here, levels(plan, plan.gauge, bled=True))
    most, step = highest_setting(plan, limit), _FINEST_PSI[plan.units]
    inner = math.ceil(least / step - 1e-9) * step, math.floor(most / step + 1e-9) * step
    return inner if inner[0] <= inner[1] else (least, most)


def _setting_within(plan: PlanFile, at_valve: float) -> float:
    """The highest setting with which the valve, late and full open, stays within a pressure."""
    room = at_valve - amount(tolerance(plan), "psi")
    given = plan.supply.relief_accumulation
    if given is not None:
        return room - amount(given, "psi")
    return min(room - ACCUMULATION_PSI, room / (1 + _ACCUMULATION_SHARE))


def lifts_from(plan: PlanFile) -> float | None:
    """The least the gauge may show as the relief valve begins to lift: early by its tolerance,
    and at the invert where nobody knows how high it stands. None without one."""
    supply = plan.supply
    if supply.relief is None:
        return None
    here = column(plan)
    stands = here.valve if supply.relief_height is not None else -here.crown
    early = amount(supply.relief, "psi") - amount(tolerance(plan), "psi")
    return here.carried(early, stands, here.gauge)


def highest(plan: PlanFile) -> float | None:
    """That can occur at the gauge: relief setting, tolerance and accumulation, carried up from the
    valve; without a relief valve all that the supply can give. None where neither is known."""
    supply = plan.supply
    if supply.relief is None:
        return None if supply.pressure is None else amount(supply.pressure, "psi")
    here = column(plan)
    setting = amount(supply.relief, "psi")
    late = setting + amount(tolerance(plan), "psi") + accumulation(plan, setting)
    return here.carried(late, here.valve, here.gauge)


def limited_to(plan: PlanFile) -> float | None:
    """What holds the supply back, at the gauge: the relief setting, else the supply's pressure."""
    supply = plan.supply
    if supply.relief is None:
        return None if supply.pressure is None else amount(supply.pressure, "psi")
    here = column(plan)
    return here.carried(amount(supply.relief, "psi"), here.valve, here.gauge)


def pressures(plan: PlanFile, limit: float | None) -> Pressures:
    """`limit`: what the restraint holds, at the gauge."""
    here, bounds = column(plan), levels(plan, plan.gauge, bled=True)
    demanded, datum = amount(plan.procedure.pressure, "psi"), datum_height(plan, plan.gauge)
    relieved = limited_to(plan) if plan.supply.relief is not None else None
    top, early = highest(plan), lifts_from(plan)
    return Pressures(
        crown=q(here.carried(demanded, datum, here.crown), "psi"),
        springline=q(here.carried(demanded, datum, 0.0), "psi"),
        invert=q(here.carried(demanded, datum, -here.crown), "psi"),
        needed_at_gauge=q(bounds.needed, "psi"),
        highest=None if top is None else q(top, "psi"),
        cap_at_gauge=q(bounds.cap, "psi"),
        relief_at_gauge=None if relieved is None else q(relieved, "psi"),
        relief_from=None if early is None else q(early, "psi"),
        relief_least=None if relieved is None else q(_lifting(here, bounds), "psi"),
        limit_of_rig=None if limit is None else q(limit, "psi"),
    )


def _lifting(here: Column, bounds: Levels) -> float:
    return here.carried(bounds.good_from, here.gauge, here.valve)
