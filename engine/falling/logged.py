"""A log of readings held against a plan: credit, fall, and what the fall can mean.

A log is one hold from its first row; nothing in it says where the gauge's zero was.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Final, Literal

from engine.falling.causes import Surroundings
from engine.falling.comparison import FEWEST
from engine.falling.fall import interpolated
from engine.falling.loss import Loss, TopUps, explain
from engine.falling.planned import per_kelvin, planned_stiffness
from engine.falling.stiffness import AT_ONCE_S, Step, Stiffness, from_steps
from engine.judging.credit import Credit, credit
from engine.levels import Levels, levels, vent_height, water_weight
from engine.plan import Plan, Remark, work_out
from engine.planfile import PlanFile
from engine.session.evidence import Reading
from engine.units import amount, q

_JUMP: Final = 3.0
"""Graduations that a gauge does not rise by itself from one reading to the next."""


@dataclass(frozen=True)
class Log:
    """Readings in the order of time, as a file holds them."""

    times_s: tuple[float, ...]
    psi: tuple[float, ...]
    lines: tuple[int, ...]
    """Of the file, for people."""
    written: Literal["psi", "kPa"] = "psi"
    water_degc: tuple[float | None, ...] | None = None
    top_ups: TopUps = field(default_factory=TopUps)
    """By the row a volume is written in; bled out is negative."""


@dataclass(frozen=True)
class Explained:
    """What a log earns and may mean; times are those of the log."""

    log: Log
    bounds: Levels
    need_s: float
    credit: Credit
    loss: Loss
    crossing: tuple[float | None, float | None]
    """When the pressure is down to what is needed: expected, and earliest."""
    doubts: tuple[Remark, ...]

    @property
    def complete(self) -> bool:
        return self.credit.completed is not None


def explained(plan: PlanFile, log: Log) -> Explained:
    """Of a log with one reading or more."""
    log = _placed(log)
    worked, bounds = work_out(plan), levels(plan, plan.gauge, bled=True)
    need = amount(plan.procedure.hold_time, "s")
    earned = _credit(plan, log, bounds, need)
    stiffness = _stiffness(plan, worked, log, bounds)
    loss = explain(
        log.times_s,
        log.psi,
        bounds.graduation,
        stiffness,
        Surroundings(
            water_degc=_filled(log),
            shaded=True,
            per_kelvin=per_kelvin(plan, worked, stiffness),
        ),
        log.top_ups,
        area=worked.pocket.area,
        atmosphere=plan.atmosphere,
        column_psi=_column(plan, bounds),
    )
    crossing = _crossing(log, loss, bounds.good_from)
    doubts = tuple(_doubts(plan, log, bounds, loss, crossing))
    return Explained(log, bounds, need, earned, loss, crossing, doubts)


def _placed(log: Log) -> Log:
    """Top-ups at the first reading after each, wherever people write the volume.

    Beside the reading after it, or beside the one before: as the gauge rose the more. What was
    moved before the first reading, or after the last one, is no part of the record.
    """
    pairs = list(zip(log.top_ups.starts, log.top_ups.added_ml, strict=True))
    last = len(log.psi) - 1
    signs = [(i, -1.0 if ml is not None and ml < 0 else 1.0) for i, ml in pairs]
    into = math.fsum(sign * (log.psi[i] - log.psi[i - 1]) for i, sign in signs if i)
    out_of = math.fsum(sign * (log.psi[i + 1] - log.psi[i]) for i, sign in signs if i < last)
    later = 1 if out_of > into and out_of > 0 else 0
    kept = [(i + later, ml) for i, ml in pairs if 0 < i + later <= last]
    return replace(log, top_ups=TopUps(tuple(i for i, _ in kept), tuple(ml for _, ml in kept)))


def _credit(plan: PlanFile, log: Log, bounds: Levels, need: float) -> Credit:
    """By the rules of a session, the gauge's zero taken as nothing."""
    procedure, tiny = plan.procedure, 1e-9
    most = bounds.cap + tiny if procedure.over_cap == "void" else math.inf
    shown = q(bounds.needed, "psi")
    readings = [
        Reading(line, t, psi, shown, None, "log")
        for line, t, psi in zip(log.lines, log.times_s, log.psi, strict=True)
    ]
    fed = set() if procedure.top_ups else {log.lines[i] for i in _fed(log)}
    return credit(
        readings,
        lambda r: bounds.good_from - tiny <= r.psi <= most,
        amount(procedure.longest_gap, "s"),
        need,
        procedure.continuity == "continuous",
        lambda a, b: b.seq in fed,
    )


def _fed(log: Log) -> Iterator[int]:
    """Rows before which water was put in."""
    for start, ml in zip(log.top_ups.starts, log.top_ups.added_ml, strict=True):
        if ml is None or ml > 0:
            yield start


def _stiffness(plan: PlanFile, worked: Plan, log: Log, bounds: Levels) -> Stiffness | None:
    """From the largest measured volume and what the gauge made of it, else from the plan."""
    column = _column(plan, bounds)
    steps = [
        Step(log.psi[i - 1] + column, log.psi[i] + column, ml)
        for i, ml in zip(log.top_ups.starts, log.top_ups.added_ml, strict=True)
        if ml is not None and log.times_s[i] - log.times_s[i - 1] <= AT_ONCE_S
    ]
    measured = from_steps(steps, bounds.graduation, plan.atmosphere)
    if measured is not None:
        return measured
    middle = math.fsum(log.psi) / len(log.psi)
    return planned_stiffness(plan, worked, q(max(0.0, middle + column), "psi"))


def _column(plan: PlanFile, bounds: Levels) -> float:
    """Psi by which the crown sees more than the gauge; below zero for a gauge below it."""
    return (bounds.height - vent_height(plan.joint)) * water_weight(plan)


def _filled(log: Log) -> list[float] | None:
    """A temperature for every reading: between two that were taken, in a straight line."""
    if log.water_degc is None:
        return None
    known = [(t, c) for t, c in zip(log.times_s, log.water_degc, strict=True) if c is not None]
    if len(known) < 2:
        return None
    if len(known) == len(log.times_s):
        return [c for _, c in known]
    return interpolated(known, log.times_s)


def _crossing(log: Log, loss: Loss, level: float) -> tuple[float | None, float | None]:
    """Where the log itself goes below, the reading that did and the one before it."""
    if log.psi[-1] >= level:
        times = loss.fall.crossing(level)
        expected, earliest = (None if t is None else log.times_s[-1] + t for t in times)
        return expected, earliest
    good = [i for i, psi in enumerate(log.psi) if psi >= level]
    return (log.times_s[good[-1] + 1], log.times_s[good[-1]]) if good else (None, None)


def _doubts(
    plan: PlanFile, log: Log, bounds: Levels, loss: Loss,
    crossing: tuple[float | None, float | None],
) -> Iterator[Remark]:  # fmt: skip
    yield from _doubts_of_the_log(plan, log, bounds)
    if loss.fall.rate is None:
        with_it = () if loss.lost is not None else ("flow", "movement", "warming")
        yield Remark("no_rate", ("rate", "crossing", "causes", *with_it))
    elif crossing == (None, None):
        below = log.psi[-1] < bounds.good_from
        yield Remark("below_throughout" if below else "rises", ("crossing",))
    elif crossing[0] is None:
        yield Remark("level", ("crossing",))
    if loss.stiffness is None:
        yield Remark("no_stiffness", ("stiffness", "flow", "movement", "warming"))
    elif loss.stiffness.basis == "planned":
        yield Remark("planned_stiffness", ("stiffness", "flow", "movement", "warming"))
    if loss.lost is not None and loss.lost.cooling is None:
        yield Remark("no_warming", ("warming",))
    if loss.fall.rate is not None and not loss.weights:
        yield Remark("few_readings", ("causes",), values=(q(FEWEST, "count"),))


def _doubts_of_the_log(plan: PlanFile, log: Log, bounds: Levels) -> Iterator[Remark]:
    yield Remark("no_zero", ("credit",))
    if plan.procedure.rule == "guarded":
        yield Remark("guarded", ("credit", "crossing"), values=(q(bounds.guard, "psi"),))
    graduation = q(bounds.graduation, "psi")
    if _off_marks(log, plan):
        yield Remark("off_marks", ("rate",), values=(graduation,))
    if max(log.psi) > amount(plan.gauge.span[1], "psi") + 1e-9:
        yield Remark("off_scale", ("readings",), values=(plan.gauge.span[1],))
    fed = set(log.top_ups.starts)
    jumps = [i for i, (a, b) in enumerate(pairwise(log.psi), 1)
             if i not in fed and b - a > _JUMP * bounds.graduation]  # fmt: skip
    if jumps:
        yield Remark("jump", ("rate", "flow", "causes"), name=f"{log.lines[jumps[0]]}",
                     values=(q(len(jumps), "count"),))  # fmt: skip
    if log.water_degc is None or _filled(log) is None:
        yield Remark("no_temperature", ("causes",))
    yield Remark("no_rods", ("causes",))


def _off_marks(log: Log, plan: PlanFile) -> bool:
    """Written finer than the dial can be read, or in another unit than it has."""
    step = amount(plan.gauge.graduation, log.written)
    marks = [amount(q(psi, "psi"), log.written) / step for psi in log.psi[:200]]
    return any(abs(mark - round(mark)) > 0.02 for mark in marks)
