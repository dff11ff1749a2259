"""Whether a typed reading is easy to believe: 135 for 13.5 is asked about, never refused."""

from __future__ import annotations

from typing import Final

from engine import present
from engine.judging.holding import levels_of, zero
from engine.session import Session
from engine.units import Quantity, amount

_JUMP: Final = 2.0
"""Psi between two readings of a hold beyond which the second is asked about (house rule)."""


def doubt(session: Session, pressure: Quantity) -> str:
    """Why a reading should be looked at again, in one clause; empty where it need not."""
    psi, shown = amount(pressure, "psi"), present.quantity(pressure)
    low, high = (amount(end, "psi") for end in session.plan.gauge.span)
    if not low <= psi <= high:
        scale = f"{present.quantity(session.plan.gauge.span[0])} to "
        return f"{shown} is off the scale, {scale}{present.quantity(session.plan.gauge.span[1])}"
    cap = levels_of(session).cap + (zero(session, session.plan.gauge.mark) or 0.0)
    if psi > cap + 1e-9:
        return f"{shown} is above the cap, {present.pressure(cap, session.plan.units)}"
    hold = session.hold
    if hold is None or hold.end is not None or not session.evidence.readings:
        return ""
    last = session.evidence.readings[-1]
    if abs(psi - last.psi) > _JUMP:
        return f"{shown} is far from the last, {present.quantity(last.written)}"
    return ""
