"""Checks in words: what to do, why it is not settled, what was found."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from engine.checks import Check
from engine.present import plan
from engine.present.quantities import duration, quantity
from engine.units import amount

if TYPE_CHECKING:
    from engine.judging.finding import Finding
    from engine.judging.settling import Standing
    from engine.session import Session


def check(check: Check) -> str:
    return check.do


_ASKED: Final = {"date": "Calibrated until, as its sticker says, like 2027-03-31"}


def asked(check: Check) -> str:
    """What is to be typed, where the check itself does not say it."""
    return _ASKED.get(check.asks or "", check.do)


VOUCHER: Final = (
    "Who answers for it: name",
    "On what ground: rated by whom, tested how, drawn where",
)


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
    "due": "out of calibration on this day",
    "read_after_look": "looked; now read the gauge once more, to show the pressure is still there",
    "burp_unread": "type the reading before the vent is cracked",
    "inlet_open": "close the inlet",
    "uncracked": "crack the vent",
    "positions": "positions measured",
    "over_cap": "at most",
    "far_off_zero": "off zero at most: read it again, or fit another gauge",
    "straight": "between the widest and the narrowest",
    "deflected": "between the open side and the other",
    "side": "(the open side is not the widest)",
}
"""Which part of a rule decided, in words."""


ONLY_WATER: Final = "only water"
"""Said of the cracked vent: no air came."""
ALL_ROUND: Final = "at 12, 3, 6 and 9"
"""Said of what is felt for at each of four clock positions: it is so at every one."""


def why(code: str) -> str:
    return _WHY.get(code, "not yet")


def finding(session: Session, standing: Standing) -> str:
    """What was found, beside its limit."""
    found = standing.finding
    if found is None:
        return ""
    system = session.plan.units
    if planned := plan.check(session.checking.worked, standing.check.rule or "", system):
        return planned
    if found.measure is None:
        return "" if found.ok else why(found.why)
    text = quantity(found.measure, system)
    if found.limit is None or found.ok:
        return text
    wanted = f"found {text}, wanted {_side(standing.check, found)}{quantity(found.limit, system)}"
    return f"{wanted} {_WHY[found.why]}" if found.why in _WHY else wanted


def _side(check: Check, found: Finding) -> str:
    """Whether the limit is the least or the most, where one of the two."""
    if check.kind != "measure" or found.measure is None or found.limit is None:
        return ""
    unit = f"{found.limit.units}"
    return "at least " if amount(found.measure, unit) < amount(found.limit, unit) else "at most "
