"""The gauge against what it has to show, and the marks of its dial to keep between."""

from __future__ import annotations

import datetime as dt

from engine.formulas import gauge as gauges
from engine.levels import Levels, levels
from engine.plan.model import Dial
from engine.planfile import PlanFile
from engine.units import Quantity, amount, q

NARROWEST = 2
"""Graduations; a narrower window between the marks cannot be kept by hand (house rule)."""


def dial(plan: PlanFile, on: dt.date | None) -> Dial:
    """`on`: the day of the test, where it is known."""
    gauge, bounds = plan.gauge, levels(plan, plan.gauge, bled=True)
    (low, full), needed = gauge.span, q(max(bounds.needed, 0.01), "psi")
    due = gauge.calibration_due
    lowest, highest = bounds.mark_to_read(0.0), bounds.mark_not_to_pass(0.0)
    set_point = min(lowest + bounds.graduation, max(lowest, highest))
    uncertainty = q(bounds.uncertainty, "psi")
    guard = gauges.guard_band(uncertainty, q(95, "percent"))
    return Dial(
        range_ok=gauges.in_range(full, needed),
        middle_half=gauges.in_middle_half(full - low, needed - low),
        in_calibration=None if due is None or on is None else on <= due,
        uncertainty=uncertainty,
        guarded_reading=q(bounds.least + amount(guard, "psi"), "psi"),
        to_read=q(bounds.good_from, "psi"),
        not_below=_on_scale(lowest, bounds),
        set_point=_on_scale(set_point, bounds),
        not_above=q(highest, "psi"),
    )


def _on_scale(mark: float, bounds: Levels) -> Quantity | None:
    return q(mark, "psi") if mark <= bounds.scale_ends + 1e-9 else None


def window(bounds: Levels) -> float:
    """Graduations between the lowest mark that is good and the highest within the cap."""
    room = bounds.mark_not_to_pass(0.0) - bounds.mark_to_read(0.0)
    return room / bounds.graduation
