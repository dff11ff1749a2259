"""Working out a plan: each part in its order, and what is said of them last."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from engine.formulas.pocket import enclosed
from engine.plan.cures import cures
from engine.plan.deflection import deflected
from engine.plan.dial import dial
from engine.plan.doubts import doubts
from engine.plan.kit import kit
from engine.plan.lines import Band, face, pocket_band, restraint_band
from engine.plan.model import Plan, Pocket
from engine.plan.ports import ports
from engine.plan.pressures import column, highest, pressures
from engine.plan.restraint import Holder, restrained
from engine.plan.stiffness import fill, one_unit, pocket_volume, stiffness
from engine.plan.thrusts import across, thrust
from engine.plan.warnings import cautions, refusals
from engine.planfile import PlanFile


def work_out(plan: PlanFile, on: dt.date | None = None) -> Plan:
    """Everything that follows from a plan file; `on` is the day of the test, where it is known.

    What cannot be worked out is None, and why not is among the doubts. Nothing is rounded.
    """
    band = pocket_band(plan.joint)
    holder = Holder(plan.restraint, restraint_band(plan.joint), column(plan))
    draft = _worked(plan, on, band, holder)
    draft = replace(draft, refusals=tuple(refusals(plan, draft)))
    draft = replace(draft, cautions=tuple(cautions(plan, draft)))
    return replace(
        draft,
        kit=tuple(kit(plan, draft)),
        doubts=tuple(doubts(plan, draft, holder)),
    )


def _worked(plan: PlanFile, on: dt.date | None, band: Band, holder: Holder) -> Plan:
    pocket = _pocket(plan, band)
    pressure = pressures(plan, holder.limit())
    top = highest(plan)
    held = restrained(holder, top)
    if held.enough is False and top is not None:
        held = replace(held, cures=tuple(cures(plan, holder, top)))
    stiff = stiffness(plan, pocket, pressure, holder)
    return Plan(
        pocket=pocket,
        pressure=pressure,
        thrust=thrust(plan, band, pressure),
        across=across(plan, band, pressure),
        restraint=held,
        gauge=dial(plan, on),
        filling=fill(plan, pocket, stiff),
        one_unit=one_unit(plan, pocket, stiff),
        deflection=deflected(plan),
        ports=ports(plan, band),
        kit=(),
        cautions=(),
        doubts=(),
        refusals=(),
    )


def _pocket(plan: PlanFile, band: Band) -> Pocket:
    return Pocket(
        area=band.section.area,
        inner_perimeter=enclosed(face(plan.joint)).perimeter,
        volume=pocket_volume(plan, band),
        gap=band.gap,
        second_moment=band.section.second_moment,
        seal_lines=band.basis,
    )
