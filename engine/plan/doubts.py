"""What the figures of a plan rest on, where it is an assumption, a bound, or somebody's memory."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal

from engine.levels import water_temperature, water_weight
from engine.plan.lines import closes, lines_crossed
from engine.plan.members import beams_astride
from engine.plan.model import Plan, Remark
from engine.plan.ports import BOND
from engine.plan.pressures import ACCUMULATION_PSI, tolerance
from engine.plan.restraint import Holder
from engine.plan.stiffness import AIR_SHARE
from engine.planfile import PlanFile
from engine.rig import MEASURED_BEAM
from engine.sources import Standing
from engine.tables.gauges import WORST, accuracy
from engine.tables.rods import UNMARKED
from engine.tables.shapes import Shape
from engine.tables.timbers import UNKNOWN
from engine.tables.washers import washer
from engine.units import amount, q

Doubt = Literal[
    "authority", "unconfirmed", "cap_assumed",
    "lines_assumed", "lines_bound", "lines_crossed", "closes", "depth_assumed", "width_unknown",
    "primary_held",
    "temperature_unknown", "gauge_height", "accuracy_unknown", "accuracy_stated", "from_memory",
    "no_due_date", "no_day", "relief_height", "relief_tolerance", "accumulation", "supply_unknown",
    "supply_height",
    "rod_unknown", "unmarked", "rod_length", "nut_factor", "beam_unknown", "beam_measured",
    "beam_steel", "span_from_rods", "species_unknown", "small_timber", "wet_service",
    "washer_unknown", "washer_on_steel", "astride", "rated_by", "rated_whole", "no_flow", "no_ramp",
    "stiffness_unknown", "air_assumed", "drop_size", "growth", "spring_unknown", "spring_partial",
    "two_slopes", "gasket_left_out", "packing_left_out", "section_length", "slope_limit",
    "slope_unknown", "bond",
]  # fmt: skip
"""Every reason for doubt there is."""

_ASSUMED_GAP: Final = q(0.5, "in")
"""Between seal lines that are assumed."""
_WITH_LINES: Final = ("pocket", "thrust", "restraint", "one_unit", "filling")
_HIGHEST: Final = ("pressure.highest", "thrust.at_highest", "restraint")


def doubts(plan: PlanFile, worked: Plan, holder: Holder) -> Iterator[Remark]:
    """Each names the figures it concerns, by section and key as they are written to JSON."""
    yield from _of_the_demand(plan)
    yield from _of_the_lines(plan, worked)
    yield from _of_the_gauge(plan, worked)
    yield from _of_the_supply(plan)
    if plan.restraint.rated is not None:
        yield from _of_the_frame(plan)
    else:
        yield from _of_the_rods(plan, holder)
        yield from _of_the_beams(plan, holder)
        yield from _of_the_washers(plan, holder)
    yield from _of_the_stiffness(plan, worked, holder)
    yield from _of_the_joint(plan, worked)


def _doubt(code: Doubt, *figures: str, name: str = "") -> Remark:
    return Remark(code, figures, name)


def _remembered(standing: Standing, name: str, *figures: str) -> Iterator[Remark]:
    if standing == "from_memory":
        yield _doubt("from_memory", *figures, name=name)


def _of_the_demand(plan: PlanFile) -> Iterator[Remark]:
    procedure = plan.procedure
    if procedure.authority == "not stated":
        yield _doubt("authority", "pressure")
    if not procedure.confirmed or procedure.standing == "recalled":
        yield _doubt("unconfirmed", "pressure")
    if procedure.cap is None:
        over = q(amount(procedure.limit, "psi") - amount(procedure.pressure, "psi"), "psi")
        yield Remark("cap_assumed", ("pressure.cap_at_gauge",), values=(procedure.limit, over))


def _of_the_lines(plan: PlanFile, worked: Plan) -> Iterator[Remark]:
    joint = plan.joint
    if lines_crossed(joint):
        yield _doubt("lines_crossed", *_WITH_LINES)
    elif worked.pocket.seal_lines == "assumed":
        yield Remark("lines_assumed", (*_WITH_LINES, "across"), values=(_ASSUMED_GAP,))
    elif worked.pocket.seal_lines == "bound":
        yield _doubt("lines_bound", *_WITH_LINES, "across")
    if closes(joint):
        yield _doubt("closes", "thrust", "restraint")
    if joint.pocket_depth is None:
        yield _doubt("depth_assumed", "pocket.volume", "across", "ports.throttling", "filling",
                     "one_unit")  # fmt: skip
    if joint.primary_held is None:
        yield _doubt("primary_held", "across")
    if joint.pocket_width is None:
        yield _doubt("width_unknown", "pocket.volume", "across", "ports.room", "filling",
                     "one_unit")  # fmt: skip


def _of_the_gauge(plan: PlanFile, worked: Plan) -> Iterator[Remark]:
    gauge = plan.gauge
    if gauge.height is None:
        yield _doubt("gauge_height", "pressure.needed_at_gauge", "pressure.highest")
    if gauge.accuracy is None:
        yield _doubt("accuracy_unknown", "gauge.uncertainty", "gauge.guarded_reading",
                     name=WORST.name)  # fmt: skip
    else:
        row = accuracy(gauge.accuracy)
        yield from _remembered(row.standing, f"grade {row.name}", "gauge.uncertainty")
        if row.standing == "common_practice":
            yield _doubt("accuracy_stated", "gauge.uncertainty", name=row.name)
    if gauge.calibration_due is None:
        yield _doubt("no_due_date", "gauge.in_calibration")
    elif worked.gauge.in_calibration is None:
        yield _doubt("no_day", "gauge.in_calibration")


def _of_the_supply(plan: PlanFile) -> Iterator[Remark]:
    supply = plan.supply
    if supply.temperature is None:
        taken = water_temperature(plan)
        yield Remark("temperature_unknown", ("pressure", "one_unit"), values=(taken,))
    if supply.relief is not None:
        yield from _of_the_relief(plan)
    elif supply.pressure is None:
        yield _doubt("supply_unknown", *_HIGHEST)
    else:
        yield _doubt("supply_height", *_HIGHEST)
    if supply.flow is None:
        yield _doubt("no_flow", "filling.time_to_fill", "filling.time_to_target")
    if plan.procedure.ramp is None:
        yield _doubt("no_ramp", "filling.flow_for_ramp")


def _of_the_relief(plan: PlanFile) -> Iterator[Remark]:
    supply, early = plan.supply, "pressure.relief_from"
    if supply.relief_height is None:
        column = q(2 * amount(plan.joint.crown, "in") * water_weight(plan), "psi")
        here = ("pressure.relief_at_gauge", early, "pressure.relief_least")
        yield Remark("relief_height", (*_HIGHEST, *here), values=(column,))
    if supply.relief_tolerance is None:
        yield Remark("relief_tolerance", (*_HIGHEST, early), values=(tolerance(plan),))
    if supply.relief_accumulation is None:
        yield Remark("accumulation", _HIGHEST, values=(q(ACCUMULATION_PSI, "psi"),))


def _of_the_frame(plan: PlanFile) -> Iterator[Remark]:
    restraint = plan.restraint
    if restraint.rated_by is None or restraint.rated_on is None:
        yield _doubt("rated_by", "restraint.frame")
    yield _doubt("rated_whole", "restraint.frame", "restraint.opening")


def _of_the_rods(plan: PlanFile, holder: Holder) -> Iterator[Remark]:
    kind = holder.rod
    if kind is None:
        yield _doubt("rod_unknown", "restraint.rod", "restraint.opening", "one_unit")
        return
    yield from _remembered(kind.thread.standing, f"thread {kind.thread.name}",
                           "restraint.rod.stress_area")  # fmt: skip
    if kind.steel is UNMARKED:
        share = q(100 * UNMARKED.share, "percent")
        yield Remark("unmarked", ("restraint.rod.allowable",), values=(share,))
    yield from _remembered(kind.steel.standing, f"steel {kind.steel.name}",
                           "restraint.rod.allowable")  # fmt: skip
    if plan.restraint.length is None:
        yield _doubt("rod_length", "restraint.opening", "one_unit")
    if plan.restraint.is_drawn_up:
        yield _doubt("nut_factor", "kit")


def _of_the_beams(plan: PlanFile, holder: Holder) -> Iterator[Remark]:
    restraint, kind = plan.restraint, holder.beam
    if kind is None:
        yield _doubt("beam_unknown", "restraint.beam", "restraint.opening")
        return
    if restraint.span is None:
        yield _doubt("span_from_rods", "restraint.beam")
    if isinstance(kind.row, Shape):
        yield _doubt("beam_steel", "restraint.beam.allowable", name=kind.row.name)
        if MEASURED_BEAM.fullmatch((restraint.beam or "").strip()):
            yield _doubt("beam_measured", "restraint.beam", name=kind.row.name)
        return
    assert kind.species is not None
    figures = ("restraint.beam.allowable", "restraint.washer.allowable")
    if kind.species is UNKNOWN:
        yield _doubt("species_unknown", *figures)
    else:
        yield from _remembered(kind.species.standing, kind.species.name, *figures)
    if not kind.row.post:
        yield _doubt("small_timber", "restraint.beam.allowable", name=kind.row.name)


def _of_the_washers(plan: PlanFile, holder: Holder) -> Iterator[Remark]:
    kind = holder.washer
    if holder.beam is not None and not holder.needs_washer:
        yield _doubt("washer_on_steel", "restraint.washer")
    elif holder.needs_washer and kind is None:
        yield _doubt("washer_unknown", "restraint.washer")
    if kind is None:
        return
    if kind.side is None:
        row = washer(plan.restraint.washer or "")
        yield from _remembered(row.standing, f"washer {row.name}", "restraint.washer")
    if beams_astride(plan.restraint) > 1:
        yield _doubt("astride", "restraint.washer")
    if kind.species.wet_across_grain < 1 and kind.species.standing != "from_memory":
        yield _doubt("wet_service", "restraint.washer.allowable")


def _of_the_stiffness(plan: PlanFile, worked: Plan, holder: Holder) -> Iterator[Remark]:
    if worked.one_unit is None:
        yield _doubt("stiffness_unknown", "one_unit", "filling.time_to_target",
                     "filling.flow_for_ramp")  # fmt: skip
        return
    yield Remark("air_assumed", ("one_unit", "filling"), values=(AIR_SHARE,))
    yield _doubt("gasket_left_out", "one_unit", "filling")
    yield _doubt("drop_size", "one_unit.drops")
    yield _doubt("growth", "one_unit.warming", "one_unit.rod_warming")
    needed = amount(worked.pressure.needed_at_gauge, "psi")
    if holder.spring is None:
        yield _doubt("spring_unknown", "one_unit", "filling")
    elif holder.drawn_up_against(needed) or plan.restraint.is_drawn_up:
        yield _doubt("two_slopes", "one_unit", "filling")
    elif not holder.bending_known or (holder.needs_washer and holder.washer is None):
        yield _doubt("spring_partial", "one_unit", "filling")
    yield _doubt("packing_left_out", "restraint.opening", "one_unit")


def _of_the_joint(plan: PlanFile, worked: Plan) -> Iterator[Remark]:
    if worked.deflection is not None:
        if plan.joint.section_length is None:
            yield _doubt("section_length", "deflection.far_end")
        known = worked.deflection.slope_limit is not None
        yield _doubt("slope_limit" if known else "slope_unknown", "deflection.slope_limit")
    yield Remark("bond", ("ports.hole",), values=(BOND,))
