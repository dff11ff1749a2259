"""A session on the practice joint: what its records did to the water, and what is seen of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from engine import facts as f
from engine.formulas import pocket
from engine.levels import gauge_height, vent_height
from engine.planfile import PlanFile
from engine.practice import EDITION, Deed, Seen, Setup, observe, setup_for
from engine.practice.faults import with_fault
from engine.session import Session
from engine.units import Quantity, amount, q

_GIVE: Final = 200_000.0
"""Stiffness of an ordinary set of rods and washers together, lbf/in (house figure)."""


def seen(session: Session, now: float) -> Seen | None:
    """What stands before the eye at a moment; None for a real test, or another edition."""
    practice = session.checking.practice
    if practice is None or practice.edition != EDITION:
        return None
    return observe(_setup(session.plan, practice), tuple(deeds(session)), now)


def setup_of(session: Session) -> Setup | None:
    """What the practice joint of a session is made with, its fault in it; None as for `seen`."""
    practice = session.checking.practice
    if practice is None or practice.edition != EDITION:
        return None
    return with_fault(_setup(session.plan, practice))


def sound(session: Session, now: float) -> Seen | None:
    """What would stand before the eye if nothing were wrong, and the same had been done."""
    practice = session.checking.practice
    if practice is None or practice.edition != EDITION:
        return None
    whole = practice.model_copy(update={"fault": "none"})
    return observe(_setup(session.plan, whole), tuple(deeds(session)), now)


def after_adding(session: Session, t: float, ml: float) -> Seen:
    """What would stand before the eye two seconds after so much water was added at `t`."""
    practice = session.checking.practice
    assert practice is not None, "only the practice joint can be asked"
    added = Deed(t, "top_up", value=ml)
    return observe(_setup(session.plan, practice), (*deeds(session), added), t + 2)


def _setup(plan: PlanFile, practice: f.Practice) -> Setup:
    joint = plan.joint
    outline = _outline(plan)
    outer = pocket.enclosed(pocket.outward(outline, joint.outer_line))
    inner = pocket.enclosed(pocket.outward(outline, joint.inner_line))
    area = abs(amount(outer.area, "in**2") - amount(inner.area, "in**2"))
    width = amount(joint.pocket_width if joint.pocket_width is not None else q(2, "in"), "in")
    across = joint.inside if joint.shape == "circle" else joint.span
    span = amount(across if across is not None else q(1, "in"), "in")
    out = 2 * amount(joint.outer_line, "in")
    usual = setup_for(
        seed=practice.seed,
        fault=practice.fault,
        shape=joint.shape,
        span=span + out,
        rise=2 * vent_height(joint),
        depth=amount(joint.outer_line, "in") - amount(joint.inner_line, "in"),
        volume=area * width * 16.387064,
        thrust_area=area,
        stiffness=_GIVE,
    )
    return _with_rig(usual, plan)


def _with_rig(setup: Setup, plan: PlanFile) -> Setup:
    supply, gauge = plan.supply, plan.gauge

    def known(value: Quantity | None, unit: str, otherwise: float) -> float:
        return otherwise if value is None else amount(value, unit)

    return replace(
        setup,
        supply_pressure=known(supply.pressure, "psi", setup.supply_pressure),
        supply_flow=known(supply.flow, "mL/min", setup.supply_flow),
        relief=known(supply.relief, "psi", float("inf")),
        relief_height=known(supply.relief_height, "in", setup.relief_height),
        supply_temperature=known(supply.temperature, "degC", setup.supply_temperature),
        concrete_temperature=known(supply.temperature, "degC", setup.concrete_temperature),
        gauge_height=gauge_height(plan, gauge, bled=True),
        gauge_top=amount(gauge.span[1], "psi"),
        graduation=amount(gauge.graduation, "psi"),
        stop_pin=gauge.stop_pin,
        atmosphere=amount(plan.atmosphere, "psi"),
    )


def _outline(plan: PlanFile) -> pocket.Circle | pocket.Box:
    joint = plan.joint
    if joint.inside is not None:
        return pocket.Circle(joint.inside)
    nothing = q(0, "in")
    sides = (joint.span or nothing, joint.rise or nothing)
    return pocket.Box(*sides, joint.haunch or nothing, joint.corner_radius or nothing)


def deeds(session: Session) -> Iterator[Deed]:
    """What was done to the water.  What was read or seen of it changes nothing."""
    for record, t in zip(session.records, session.times, strict=True):
        deed = _deed(record.fact, t)
        if deed is not None:
            yield deed


def _deed(fact: f.Fact, t: float) -> Deed | None:
    match fact:
        case f.ValveTurned(which=which, share=share):
            return Deed(t, which, share=share)
        case f.SupplySet(pressure=pressure):
            return Deed(t, "supply", value=amount(pressure, "psi"))
        case f.VolumeAdded(volume=volume):
            return Deed(t, "top_up", value=amount(volume, "mL"))
        case f.ToppedUp(volume=volume) if volume is not None:
            return Deed(t, "top_up", value=amount(volume, "mL"))
        case f.CheckConfirmed(check="line_bled"):
            return Deed(t, "bleed_line")
        case f.CheckConfirmed(check="wiped") | f.Looked(wiped=True):
            return Deed(t, "wipe")
        case f.Mended():
            return Deed(t, "mend")
        case f.StageReopened(stage="prepare" | "seal"):
            return Deed(t, "start_over")
        case _:
            return None
