"""The ports: drill and nipple against the room the pocket leaves them."""

from __future__ import annotations

import math
from typing import Final

from engine.formulas import ports as formulas
from engine.plan.deflection import wider_at
from engine.plan.lines import Band, water_depth
from engine.plan.model import PortFit
from engine.planfile import PlanFile
from engine.tables.bits import bit
from engine.tables.nipples import nipple
from engine.units import Quantity, amount, q

BOND: Final = q(1 / 32, "in")
"""Adhesive all round a nipple: common practice."""


def ports(plan: PlanFile, band: Band) -> PortFit:
    planned, joint = plan.ports, plan.joint
    row = nipple(planned.nipple)
    outside, wall = q(row.outside_in, "in"), q(row.wall_in(planned.schedule), "in")
    bore, least = formulas.bore(outside, wall), formulas.drill(outside, BOND)
    taken = bit(amount(least, "in"), plan.units)
    drill = q(taken.diameter_in, "in")
    room = opened = None
    if joint.pocket_width is not None:
        room = formulas.room_beside(drill, joint.pocket_width)
        opened = _opened(plan, room)
    return PortFit(
        nipple=row.name,
        schedule=planned.schedule,
        bore=bore,
        hole=least,
        drill=drill,
        bit=taken.name,
        room=room,
        room_opened=opened,
        throttling=formulas.throttling(bore, water_depth(joint, band)),
        vents=vents(plan),
        fits=None if room is None else _fits(room, opened),
    )


def _opened(plan: PlanFile, room: Quantity) -> Quantity | None:
    """With the spigot drawn back at the port that stands widest open: the primary may follow it."""
    if plan.procedure.alignment != "deflected":
        return None
    at_ports = (wider_at(plan, clock) for clock in (*_vent_clocks(plan), plan.ports.inlet))
    return q(amount(room, "in") - max(amount(wider, "in") for wider in at_ports), "in")


def _fits(room: Quantity, opened: Quantity | None) -> bool:
    least = room if opened is None else opened
    return amount(least, "in") >= 0


def vents(plan: PlanFile) -> int:
    """One at the top of a pipe; a box needs both top corners."""
    return len(_vent_clocks(plan))


def _vent_clocks(plan: PlanFile) -> tuple[float, ...]:
    """Clock positions of the vents, as they are planned or as they have to be."""
    if plan.ports.vents:
        return tuple(_clock(amount(x, "in"), amount(y, "in")) for x, y in plan.ports.vents)
    return (10.5, 1.5) if plan.joint.shape == "box" else (12.0,)


def _clock(across: float, up: float) -> float:
    return math.degrees(math.atan2(across, up)) / 30 % 12
