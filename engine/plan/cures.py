"""What would make a restraint hold that does not.

A relief setting, more rods or another frame cures it alone; other parts, all that fail together.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from engine.conversions import KPA_PER_PSI
from engine.levels import levels
from engine.plan import members
from engine.plan.model import Remark
from engine.plan.pressures import column, highest_setting
from engine.plan.restraint import Holder
from engine.planfile import PlanFile
from engine.tables.rods import THREADS
from engine.tables.shapes import SHAPES, Shape
from engine.tables.timbers import SIZES, Size
from engine.units import Quantity, amount, q

_MOST_RODS: Final = 24
_LARGEST_PLATE_IN: Final = 12.0
_ROUND_TO: Final = {"us": 0.5, "si": 5 / KPA_PER_PSI}
"""Steps, in psi, in which a setting is told."""


def cures(plan: PlanFile, holder: Holder, at_gauge: float) -> Iterator[Remark]:
    """Nothing where the restraint holds at that pressure."""
    demand = holder.demand(at_gauge)
    uses = holder.uses(demand)
    rated = holder.restraint.rated
    if rated is not None:
        if amount(holder.thrust(at_gauge), "lbf") > amount(rated, "lbf"):
            yield from _relief(plan, holder)
            yield Remark("frame", values=(holder.thrust(at_gauge),))
        return
    over = {part: use for part, use in uses.items() if use > 1}
    if not over:
        return
    yield from _relief(plan, holder)
    yield from _more_rods(holder, at_gauge, max(over.values()))
    parts: list[Remark] = []
    if "rod" in over:
        parts += _thicker_rods(holder, demand)
    if "beam" in over:
        parts += _deeper_beam(holder, over["beam"])
    if "washer" in over:
        parts += _wider_washer(holder, demand)
    if len(parts) == len(over):
        yield from parts


def _relief(plan: PlanFile, holder: Holder) -> Iterator[Remark]:
    """A setting at which the valve, late and full open, stays within what the frame holds, and
    which keeps the cap; only where the test can still be run with it."""
    limit, here = holder.limit(), column(plan)
    if limit is None:
        return
    step = _ROUND_TO[plan.units]
    told = math.floor(highest_setting(plan, limit) / step + 1e-9) * step
    needed = levels(plan, plan.gauge, bled=True).good_from
    if here.carried(told, here.valve, here.gauge) >= needed:
        code = "relief" if plan.supply.relief is not None else "fit_relief"
        yield Remark(code, values=(q(told, "psi"),))


def _more_rods(holder: Holder, at_gauge: float, use: float) -> Iterator[Remark]:
    """So many more, spread alike and each pair with its beam, as carry it; if any number does."""
    drawn = holder.restraint.draw_up
    if drawn is not None and max(holder.uses(drawn).values(), default=0.0) >= 1:
        return
    now = len(holder.restraint.at)
    for count in range(2 * math.ceil((now + 1) / 2), _MOST_RODS + 1, 2):
        share = now / count
        thrust = max(amount(f, "lbf") for f in holder.pulls(at_gauge).forces) * share
        kept = amount(drawn, "lbf") if drawn is not None else 0.0
        demand = max(thrust, kept) if holder.restraint.hard_stops else thrust + kept
        if use * demand <= amount(holder.demand(at_gauge), "lbf"):
            yield Remark("rods", values=(q(count, "count"),))
            return


def _thicker_rods(holder: Holder, demand: Quantity) -> Iterator[Remark]:
    kind = holder.rod
    assert kind is not None
    for thread in THREADS:
        if thread.system != kind.thread.system or thread.diameter_mm <= kind.thread.diameter_mm:
            continue
        if amount(members.RodKind(thread, kind.steel).allowable, "lbf") >= amount(demand, "lbf"):
            yield Remark("rod", name=thread.name)
            return


def _deeper_beam(holder: Holder, use: float) -> Iterator[Remark]:
    kind = holder.beam
    assert kind is not None
    wanted = amount(kind.section_modulus, "in**3") * use
    rows: list[Shape] | list[Size]
    if isinstance(kind.row, Shape):
        letter = kind.row.name[0]
        rows = sorted((s for s in SHAPES if s.name[0] == letter), key=lambda s: s.weight_lb_ft)
    else:
        rows = list(SIZES)
    for row in rows:
        if amount(members.BeamKind(row, kind.species).section_modulus, "in**3") >= wanted:
            yield Remark("beam", name=row.name)
            return


def _wider_washer(holder: Holder, demand: Quantity) -> Iterator[Remark]:
    kind = holder.washer
    assert kind is not None
    side = math.ceil(2 * amount(kind.along, "in") + 1e-9) / 2
    while side <= _LARGEST_PLATE_IN:
        plate = replace(kind, along=q(side, "in"), side=q(side, "in"))
        if amount(plate.area, "in**2") * amount(plate.allowable, "psi") >= amount(demand, "lbf"):
            yield Remark("washer", values=(q(side, "in"),))
            return
        side += 0.5
