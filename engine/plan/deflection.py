"""The deflected joint: angle, openings round the clock, spacer, and how far the far end moves."""

from __future__ import annotations

import math
from typing import Final

from engine.formulas import deflection as formulas
from engine.joint import Joint
from engine.plan.model import Deflected, OpeningAt
from engine.planfile import PlanFile
from engine.units import Quantity, amount, q

CLOCKS: Final = (12.0, 3.0, 6.0, 9.0)


def deflected(plan: PlanFile) -> Deflected | None:
    """None for a straight test."""
    procedure, joint = plan.procedure, plan.joint
    if procedure.alignment != "deflected" or procedure.opening is None:
        return None
    over = measured_over(plan)
    angle = formulas.angle(procedure.opening, over)
    far = None
    if joint.section_length is not None:
        far = formulas.offset(angle, joint.section_length)
    limit = formulas.slope_limit(joint.inside) if joint.inside is not None else None
    return Deflected(
        angle=angle,
        openings=tuple(OpeningAt(clock, wider_at(plan, clock)) for clock in CLOCKS),
        spacer=formulas.shim(procedure.opening, over, over),
        slope=q(1000 * math.tan(amount(angle, "rad")), "mm/m"),
        slope_limit=limit,
        far_end=far,
    )


def measured_over(plan: PlanFile) -> Quantity:
    """From the closed side across to the open one, inside or outside, as it is measured."""
    across, up = _half_sides(plan.joint, plan.procedure.measured_at == "outside")
    turn = math.radians(30 * plan.procedure.open_side)
    if plan.joint.shape == "circle":
        return q(2 * across, "in")
    return q(2 * (abs(across * math.sin(turn)) + abs(up * math.cos(turn))), "in")


def wider_at(plan: PlanFile, clock: float) -> Quantity:
    """Than at the closed side, at a clock position; of a box at the middle of that side."""
    opening = plan.procedure.opening or q(0, "in")
    open_side = plan.procedure.open_side
    if plan.joint.shape == "circle":
        from_closed = q(30 * (clock - open_side) + 180, "deg")
        return formulas.opening_at(from_closed, q(0, "in"), opening)
    across, up = _half_sides(plan.joint, plan.procedure.measured_at == "outside")
    turn, side = math.radians(30 * open_side), math.radians(30 * clock)
    x, y = across * _sign(math.sin(side)), up * _sign(math.cos(side))
    along = x * math.sin(turn) + y * math.cos(turn)
    share = 0.5 + along / amount(measured_over(plan), "in")
    return q(amount(opening, "in") * min(1.0, max(0.0, share)), "in")


def _sign(value: float) -> float:
    return 0.0 if abs(value) < 0.5 else math.copysign(1.0, value)


def _half_sides(joint: Joint, outside: bool) -> tuple[float, float]:
    wall = amount(joint.wall, "in") if outside else 0.0
    sizes = (joint.inside, joint.inside) if joint.shape == "circle" else (joint.span, joint.rise)
    across, up = (amount(size, "in") / 2 + wall for size in sizes if size is not None)
    return across, up
