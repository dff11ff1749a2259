"""The rules behind the checks that the plan decides.

What was measured since counts in place of what was planned: `session.plan` holds it already.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from engine.judging.finding import Finding
from engine.levels import levels
from engine.plan.lines import closes
from engine.plan.pressures import limited_to
from engine.session import Session
from engine.units import amount, q


def _restraint_enough(session: Session) -> Finding:
    """Demand over allowable of the part that governs, at the highest pressure that can occur.

    A cap that the restraint would not hold counts against it too. While a part is not known there
    is no such figure, and a thrust that closes the joint rests on who holds which gasket: somebody
    has to answer for that.
    """
    worked = session.checking.worked
    held, pressure = worked.restraint, worked.pressure
    use = None if held.use is None else q(100 * held.use, "percent")
    whole = q(100, "percent")
    if held.enough is False:
        return Finding(False, use, whole, why=held.governs or "")
    limit, cap = pressure.limit_of_rig, pressure.cap_at_gauge
    if limit is not None and amount(cap, "psi") > amount(limit, "psi") + 1e-9:
        return Finding(False, cap, limit, why="cap")
    if held.enough is None:
        return Finding(None, why="unknown")
    if closes(session.plan.joint):
        return Finding(None, use, whole, why="closing")
    return Finding(held.enough, use, whole, why=held.governs or "")


def _supply_limited(session: Session) -> Finding:
    """Relief setting, carried to the gauge, at or below the cap there; else the supply itself."""
    plan = session.plan
    limit, cap = limited_to(plan), levels(plan, plan.gauge, bled=True).cap
    why = "supply" if plan.supply.relief is None else "relief"
    if limit is None:
        return Finding(None, None, q(cap, "psi"), why=why)
    return Finding(limit <= cap + 1e-9, q(limit, "psi"), q(cap, "psi"), why=why)


def _relief_least(session: Session) -> Finding:
    """The least setting at which the relief valve lets the needed pressure come up."""
    return Finding(None, None, session.checking.worked.pressure.relief_least)


def _gauge_survives(session: Session) -> Finding:
    """The highest pressure that can occur, against the scale it goes beyond; of the gauge that
    governs where it goes beyond none."""
    worked = session.checking.worked
    for short in (r for r in worked.refusals if r.code == "gauge_short"):
        full, sees = short.values
        return Finding(False, sees, full)
    highest = worked.pressure.highest
    return Finding(None if highest is None else True, highest, session.plan.gauge.span[1])


def _ports_fit(session: Session) -> Finding:
    """Room beside the drilled hole before it reaches a gasket, the joint opened as it will be."""
    fit = session.checking.worked.ports
    least = fit.room_opened if fit.room_opened is not None else fit.room
    why = "opened" if fit.room_opened is not None else "straight"
    return Finding(fit.fits, least, q(0, "in"), why=why)


def _pocket_volume(session: Session) -> Finding:
    """The least to be caught at the vent; the catch is measured, the rule only limits it."""
    return Finding(None, limit=session.checking.worked.pocket.volume)


def _ramp_time(session: Session) -> Finding:
    """The least time from closed vent to target that keeps the ramp limit."""
    return Finding(None, limit=session.checking.worked.filling.least_time)


PLAN_RULES: Final[dict[str, Callable[[Session], Finding]]] = {
    "restraint_enough": _restraint_enough,
    "supply_limited": _supply_limited,
    "relief_least": _relief_least,
    "gauge_survives": _gauge_survives,
    "ports_fit": _ports_fit,
    "pocket_volume": _pocket_volume,
    "ramp_time": _ramp_time,
}
