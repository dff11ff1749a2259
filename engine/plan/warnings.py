"""What a plan warns of, and why a test must not be run as planned."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal

from engine.levels import Levels, gauge_height, levels, water_weight
from engine.plan.dial import NARROWEST, window
from engine.plan.lines import closes
from engine.plan.model import Part, Plan, Pressures, Remark
from engine.plan.pressures import (
    column,
    highest_setting,
    limited_to,
    setting_between,
    tolerance,
)
from engine.planfile import PlanFile
from engine.units import Quantity, amount, q

Caution = Literal[
    "narrow_window", "needle_valve", "needle_valve_ramp", "needle_valve_flow",
    "relief_on_supply", "relief_at_set_point", "relief_may_lift", "relief_tight", "no_relief",
    "unreached", "moment_left", "draw_up_over",
    "gauge_range", "gauge_end", "overdue", "gauge_above_datum", "closing", "secondary_back",
    "primary_on_step", "from_outside", "no_room", "shallow", "steep", "soffit", "hoop",
    "not_worked_out",
]  # fmt: skip
Refusal = Literal[
    "restraint", "drawn_up", "cap_over_rig", "supply_over_cap", "gauge_short", "cap_below_needed",
    "relief_early", "relief_over_cap", "relief_unfit",
]  # fmt: skip

_HURRIED_S: Final = 10.0
"""Seconds to the target below which no ball valve is turned well enough: house rule."""
_LITTLE_ROOM_IN: Final = 1 / 8


def _warn(code: Caution, *values: Quantity, name: str = "") -> Remark:
    return Remark(code, name=name, values=values)


def cautions(plan: PlanFile, worked: Plan) -> Iterator[Remark]:
    """Of this plan; those of every test are present's."""
    yield from _of_the_filling(plan, worked)
    yield from _of_the_relief(plan, worked)
    yield from _of_the_gauge(plan, worked)
    yield from _of_the_restraint(plan, worked)
    yield from _of_the_joint(plan, worked)
    yield from _of_the_ports(plan, worked)


def _of_the_filling(plan: PlanFile, worked: Plan) -> Iterator[Remark]:
    if plan.supply.kind == "hand_pump":
        return
    flow, within, time = (plan.supply.flow, worked.filling.flow_for_ramp,
                          worked.filling.time_to_target)  # fmt: skip
    if flow is None or time is None:
        if within is not None:
            yield _warn("needle_valve_flow", within)
        return
    if within is not None and amount(flow, "mL/s") > amount(within, "mL/s"):
        yield _warn("needle_valve_ramp", time, within)
    elif amount(time, "s") < _HURRIED_S:
        yield _warn("needle_valve", time)


def _of_the_relief(plan: PlanFile, worked: Plan) -> Iterator[Remark]:
    supply, bounds = plan.supply, levels(plan, plan.gauge, bled=True)
    limit = limited_to(plan)
    if supply.relief is None:
        if limit is not None and limit > bounds.cap:
            yield _warn("no_relief", *_head_tank(plan, bounds))
        elif limit is not None and limit < bounds.good_from:
            yield _warn("unreached", q(limit, "psi"), q(bounds.good_from, "psi"))
        return
    if supply.relief_place == "supply":
        yield _warn("relief_on_supply")
    if supply.pressure is not None and amount(supply.pressure, "psi") < bounds.good_from:
        yield _warn("unreached", supply.pressure, q(bounds.good_from, "psi"))
    yield from _of_lifting(plan, worked)


def _of_lifting(plan: PlanFile, worked: Plan) -> Iterator[Remark]:
    """A valve that lifts at or below the set point keeps it from being pumped to; one that lifts
    below what is needed is refused, which says more."""
    pressure, aim, relief = worked.pressure, worked.gauge.set_point, plan.supply.relief
    sure, early = pressure.relief_at_gauge, pressure.relief_from
    if sure is None or early is None or relief is None or aim is None:
        return
    if "relief_early" in {r.code for r in worked.refusals}:
        return
    target, here = amount(aim, "psi") + 1e-9, column(plan)
    clear = here.carried(amount(aim, "psi"), here.gauge, here.valve)
    if amount(sure, "psi") <= target:
        yield _warn("relief_at_set_point", relief, sure, aim, q(clear, "psi"))
    elif amount(early, "psi") <= target:
        limit = pressure.limit_of_rig
        clear += amount(tolerance(plan), "psi")
        if clear < highest_setting(plan, None if limit is None else amount(limit, "psi")):
            yield _warn("relief_may_lift", relief, early, aim, q(clear, "psi"))
        else:
            yield _warn("relief_tight", relief, early, aim)


def _head_tank(plan: PlanFile, bounds: Levels) -> tuple[Quantity, Quantity]:
    """Heights above the joint's centre between which the water of a head tank has to stand."""
    weight = water_weight(plan)
    low, high = (bounds.height + psi / weight for psi in (bounds.good_from, bounds.cap))
    return q(low / 12, "ft"), q(high / 12, "ft")


def _of_the_gauge(plan: PlanFile, worked: Plan) -> Iterator[Remark]:
    bounds, dial = levels(plan, plan.gauge, bled=True), worked.gauge
    lowest = dial.to_read if dial.not_below is None and dial.range_ok else dial.not_below
    if lowest is not None and window(bounds) < NARROWEST - 1e-9:
        yield _warn("narrow_window", lowest, dial.not_above, plan.gauge.graduation)
    if not dial.range_ok:
        yield _warn("gauge_range", plan.gauge.span[1], worked.pressure.needed_at_gauge)
    elif not dial.middle_half:
        yield _warn("gauge_end")
    if dial.in_calibration is False:
        yield _warn("overdue", name=f"{plan.gauge.calibration_due}")
    if bounds.least > bounds.needed + 1e-9:
        yield _warn("gauge_above_datum", q(bounds.least, "psi"), q(bounds.needed, "psi"))


def _of_the_restraint(plan: PlanFile, worked: Plan) -> Iterator[Remark]:
    restraint = worked.restraint
    if amount(restraint.moment_left, "in*lbf") > 1e-6 * max(
        1.0, amount(worked.thrust.moment, "in*lbf")
    ):
        yield _warn("moment_left", restraint.moment_left)
    drawn = plan.restraint.draw_up
    if drawn is not None and restraint.rods:
        most = max(amount(rod.force, "lbf") for rod in restraint.rods)
        if amount(drawn, "lbf") > most:
            yield _warn("draw_up_over", drawn, q(most, "lbf"))
    yield _warn("not_worked_out")


def _of_the_joint(plan: PlanFile, worked: Plan) -> Iterator[Remark]:
    if closes(plan.joint):
        yield _warn("closing")
    if plan.joint.primary_held == "step":
        yield _warn("primary_on_step")
    yield _warn("from_outside")
    yield _warn("secondary_back", worked.across.secondary_push)
    if worked.across.hoop_tension is not None:
        yield _warn("hoop", worked.across.hoop_tension)
    if plan.joint.shape == "box":
        yield _warn("soffit")
    bent = worked.deflection
    if (
        bent is not None
        and bent.slope_limit is not None
        and amount(bent.slope, "mm/m") > amount(bent.slope_limit, "mm/m")
    ):
        yield _warn("steep", bent.slope, bent.slope_limit)


def _of_the_ports(plan: PlanFile, worked: Plan) -> Iterator[Remark]:
    fit = worked.ports
    least = fit.room_opened if fit.room_opened is not None else fit.room
    if least is not None and amount(least, "in") < _LITTLE_ROOM_IN:
        yield _warn("no_room", least)
    if fit.throttling < 1:
        yield _warn("shallow")


def refusals(plan: PlanFile, worked: Plan) -> Iterator[Remark]:
    """Each is a reason by itself; the restraint's carries its cures with it."""
    pressure, restraint = worked.pressure, worked.restraint
    bounds = levels(plan, plan.gauge, bled=True)
    if restraint.enough is False and restraint.use is not None and restraint.governs is not None:
        yield _overloaded(restraint.governs, restraint.use, pressure)
    limit = pressure.limit_of_rig
    if limit is not None and bounds.cap > amount(limit, "psi") + 1e-9:
        yield Remark("cap_over_rig", values=(pressure.cap_at_gauge, limit))
    yield from _not_held_back(plan, worked)
    yield from _short(plan, pressure)
    if bounds.cap < bounds.good_from - 1e-9:
        yield Remark("cap_below_needed",
                     values=(pressure.cap_at_gauge, q(bounds.good_from, "psi")))  # fmt: skip


def _not_held_back(plan: PlanFile, worked: Plan) -> Iterator[Remark]:
    """A supply above the cap; a relief valve set outside the window where it stands, which is told
    where there is one."""
    pressure, relief = worked.pressure, plan.supply.relief
    held_back, cap = limited_to(plan), pressure.cap_at_gauge
    over = held_back is not None and held_back > amount(cap, "psi") + 1e-9
    if relief is None or pressure.relief_least is None:
        if over and held_back is not None:
            yield Remark("supply_over_cap", values=(q(held_back, "psi"), cap))
        return
    early = amount(relief, "psi") < amount(pressure.relief_least, "psi") - 1e-9
    if not early and not over:
        return
    limit = pressure.limit_of_rig
    least, most = setting_between(plan, None if limit is None else amount(limit, "psi"))
    if least > most:
        yield Remark("relief_unfit", values=(relief, q(least, "psi"), q(most, "psi")))
    elif early:
        yield Remark("relief_early", values=(relief, q(least, "psi"), q(most, "psi")))
    else:
        sees = pressure.relief_at_gauge or relief
        yield Remark("relief_over_cap", values=(relief, sees, cap, q(least, "psi"), q(most, "psi")))


def _short(plan: PlanFile, pressure: Pressures) -> Iterator[Remark]:
    """Every gauge that may see more than its scale has, at the height at which it feels it."""
    if pressure.highest is None:
        return
    here = column(plan)
    for gauge in plan.gauges:
        height = gauge_height(plan, gauge, bled=True)
        sees = here.carried(amount(pressure.highest, "psi"), here.gauge, height)
        if sees > amount(gauge.span[1], "psi") + 1e-9:
            yield Remark("gauge_short", name=gauge.mark, values=(gauge.span[1], q(sees, "psi")))


def _overloaded(part: Part, use: float, pressure: Pressures) -> Remark:
    share, limit = q(100 * use, "percent"), pressure.limit_of_rig
    if limit is None or pressure.highest is None or amount(limit, "psi") <= 0:
        return Remark("drawn_up", name=part, values=(share,))
    return Remark("restraint", name=part, values=(share, pressure.highest, limit))
