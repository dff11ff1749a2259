"""Checks in words: what to do, why it is not settled, what was found."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from engine.checks import Check
from engine.present import plan
from engine.present.quantities import duration, quantity

if TYPE_CHECKING:
    from engine.session import Session
    from engine.settling import Standing


def check(check: Check) -> str:
    return check.do


def open_check(session: Session, standing: Standing) -> str:
    """Why a check is not settled, in its own words."""
    do = standing.check.do
    if standing.waiting and standing.left is not None:
        return f"{do}: {duration(standing.left)} to wait"
    if standing.check.kind == "wait":
        return f"{do}: the wait was not started"
    if standing.refuted and standing.finding is not None:
        return f"{do}: {finding(session, standing)}"
    if standing.check.kind == "measure":
        return f"{do}: not measured yet"
    return f"{do}: not yet"


_WHY: Final = {
    "read_after_look": "looked; now read the gauge once more, to show the pressure is still there",
}


def finding(session: Session, standing: Standing) -> str:
    """What was found, beside its limit."""
    found = standing.finding
    if found is None:
        return ""
    system = session.plan.units
    if planned := plan.check(session.checking.worked, standing.check.rule or "", system):
        return planned
    if found.measure is None:
        return "" if found.ok else _WHY.get(found.why, "not yet")
    text = quantity(found.measure, system)
    if found.limit is not None and not found.ok:
        return f"found {text}, wanted {quantity(found.limit, system)}"
    return text
