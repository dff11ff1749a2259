"""The thrust of a band of water, and what the pocket does across the axis."""

from __future__ import annotations

from engine.formulas import pocket as shapes
from engine.formulas import thrust as forces
from engine.formulas.pocket import Circle, enclosed
from engine.plan.lines import Band, face, water_depth, water_outline
from engine.plan.model import Across, Pressures, Thrust
from engine.plan.pressures import Column, column
from engine.planfile import PlanFile
from engine.units import Quantity, amount, q


def weight(here: Column) -> Quantity:
    return q(here.weight, "lbf/in**3")


def thrust_at(here: Column, band: Band, at_gauge: float) -> Quantity:
    """With the water column in it, at a pressure in psi at the gauge."""
    centre = forces.centre_pressure(q(at_gauge, "psi"), q(here.gauge, "in"), weight(here))
    return forces.uniform(centre, band.section.area)


def moment_of(here: Column, band: Band) -> Quantity:
    """About the horizontal axis through the joint's centre; the same at every pressure."""
    return forces.moment(weight(here), band.section.second_moment)


def acting_below(here: Column, band: Band, at_gauge: float) -> Quantity | None:
    force = thrust_at(here, band, at_gauge)
    if amount(force, "lbf") == 0:
        return None
    return forces.below_centre(moment_of(here, band), force)


def thrust(plan: PlanFile, band: Band, pressure: Pressures) -> Thrust:
    """Of the pocket as it is known, beside what the trade reckons."""
    here = column(plan)
    needed = amount(pressure.needed_at_gauge, "psi")
    top = pressure.highest
    return Thrust(
        rule_of_thumb=forces.rule_of_thumb(
            plan.procedure.pressure, band.gap, enclosed(face(plan.joint)).perimeter
        ),
        at_test=thrust_at(here, band, needed),
        at_highest=None if top is None else thrust_at(here, band, amount(top, "psi")),
        moment=moment_of(here, band),
        below_centre=acting_below(here, band, needed),
    )


def across(plan: PlanFile, band: Band, pressure: Pressures) -> Across:
    """Hoop tension in the bell, push on the secondary gasket, uplift on the spigot."""
    joint = plan.joint
    width, outline = joint.pocket_width, water_outline(joint, band)
    depth = water_depth(joint, band)
    hoop = uplift = None
    if width is not None:
        if isinstance(outline, Circle):
            hoop = forces.hoop_tension(pressure.springline, outline.diameter / 2, width)
        displaced = shapes.volume(enclosed(band.inner).area, width)
        uplift = q(amount(displaced, "in**3") * column(plan).weight, "lbf")
    push = amount(pressure.invert, "psi") * amount(depth, "in")
    return Across(hoop, q(push, "lbf/in"), uplift)
