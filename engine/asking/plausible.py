"""Whether a typed figure is easy to believe, or can be one at all.

What is hard to believe (135 for 13.5) is asked about and never refused; what cannot be is refused
like a word that nobody understands.  All bounds are house rules.
"""

from __future__ import annotations

from typing import Final

from engine import present
from engine.asking.refusing import Refused
from engine.checks import Check
from engine.judging.holding import levels_of, zero
from engine.levels import levels
from engine.planfile import PlanFile
from engine.rig import Gauge
from engine.session import Session
from engine.units import Quantity, amount

_JUMP: Final = 2.0
"""Psi between two readings of a hold beyond which the second is asked about."""
_BEYOND: Final = 0.1
"""Share of a scale by which a needle may stand beyond its ends."""
_TURNS: Final = 6
"""Past snug: more would stretch a rod beyond what it bears."""
_WEATHER: Final = (-10.0, 50.0)
"""Of a yard, in degC."""
_WATER: Final = (0.0, 50.0)
_CAN_BE: Final = (-60.0, 100.0)
"""From the coldest yard to boiling, in degC."""
_ABOVE_JOINT: Final = 120.0
"""Inches that a gauge may hang above or below the joint."""
_OPEN: Final = 2.0
"""Inches that a joint may stand open beyond what is demanded."""
_RELIEF: Final = 0.2
"""Share by which a relief valve may lift off its planned setting."""
_CAUGHT: Final = 50.0
"""Pocket volumes caught at the vent."""
_PUT_IN: Final = 0.25
"""Share of the pocket's volume put in at once."""
_RAMP: Final = 3600.0
"""Seconds from closed vent to target."""


# --- pressures ----------------------------------------------------------------------------------


def on_dial(session: Session, pressure: Quantity, mark: str | None = None) -> None:
    """Refused where no needle of the gauge can stand there."""
    why = _off_dial(session, pressure, mark)
    if why:
        raise Refused(why)


def _off_dial(session: Session, pressure: Quantity, mark: str | None = None) -> str:
    gauge = next((g for g in session.plan.gauges if g.mark == mark), session.plan.gauge)
    low, high = (amount(end, "psi") for end in gauge.span)
    room = _BEYOND * (high - low)
    if low - room - 1e-9 <= amount(pressure, "psi") <= high + room + 1e-9:
        return ""
    return f"{present.quantity(pressure)} is no reading: the dial shows {_scale(gauge)}"


def _scale(gauge: Gauge) -> str:
    return f"{present.quantity(gauge.span[0])} to {present.quantity(gauge.span[1])}"


def doubt(session: Session, pressure: Quantity, after: Quantity | None = None) -> str:
    """Why a reading should be looked at again, in one clause; empty where it need not, or where it
    is refused anyway.  In a hold it is held against the last reading, or the one it came `after`.
    """
    if _off_dial(session, pressure):
        return ""
    psi, shown = amount(pressure, "psi"), present.quantity(pressure)
    low, high = (amount(end, "psi") for end in session.plan.gauge.span)
    if not low <= psi <= high:
        return f"{shown} is off the scale, {_scale(session.plan.gauge)}"
    cap = levels_of(session).cap + (zero(session, session.plan.gauge.mark) or 0.0)
    if psi > cap + 1e-9:
        return f"{shown} is above the cap, {present.pressure(cap, session.plan.units)}"
    hold, readings = session.hold, session.evidence.readings
    if hold is None or hold.end is not None or not (after is not None or readings):
        return ""
    last = readings[-1].written if after is None else after
    if abs(psi - amount(last, "psi")) > _JUMP:
        return f"{shown} is far from the last, {present.quantity(last)}"
    return ""


# --- other figures ------------------------------------------------------------------------------


def can_be(check: Check, value: Quantity) -> None:
    """Refused where nothing measured for a check can be that."""
    if check.asks == "temperature":
        warm_enough(value)
    never_less = check.asks in ("count", "volume", "time", "flow", "pressure")
    if never_less and value.magnitude < 0:
        raise Refused(f"{present.quantity(value)} cannot be: expected nothing below 0")


def can_hang(plan: PlanFile, gauge: Gauge) -> None:
    """Refused where a gauge hangs so high that no reading is good and not above the cap: the cap
    falls with the height, what must be read never goes below the demanded figure."""
    bounds = levels(plan, gauge, bled=True)
    too_high = bounds.least > bounds.needed + 1e-9 and bounds.cap < bounds.good_from - 1e-9
    if too_high and gauge.height is not None:
        least, most = (present.pressure(p, plan.units) for p in (bounds.good_from, bounds.cap))
        raise Refused(
            f"height {present.quantity(gauge.height)} cannot be: {least} must be read there, and "
            f"the cap there is {most}: measure it again, or hang the gauge lower"
        )


def warm_enough(value: Quantity) -> None:
    degc, (low, high) = amount(value, "degC"), _CAN_BE
    if not low <= degc <= high:
        raise Refused(f"{present.quantity(value)} cannot be: nothing in a yard is")


def wide_enough(opening: Quantity) -> None:
    if opening.magnitude < 0:
        raise Refused(f"{present.quantity(opening)} cannot be: an opening is 0 or more")


def doubt_measure(session: Session, check: Check, value: Quantity) -> str:
    """Why a figure measured for a check should be looked at again; empty where it need not."""
    shown = present.quantity(value)
    if check.asks == "temperature":
        return doubt_temperature(value, water=False)
    if check.asks == "count" and amount(value, "count") > _TURNS:
        return f"{shown} is hard to believe: more than {_TURNS}"
    if check.field == "gauge.height":
        return doubt_height(session, value)
    if check.asks == "length":
        return _doubt_length(session, value)
    if check.field == "supply.relief":
        return _doubt_relief(session, value)
    pocket = session.checking.worked.pocket.volume
    if check.asks == "volume" and pocket is not None and value > _CAUGHT * pocket:
        return f"{shown} is hard to believe: the pocket holds {_told(session, pocket)}"
    if check.rule == "ramp_time" and amount(value, "s") > _RAMP:
        return f"{shown} is hard to believe: longer than {present.duration(_RAMP)}"
    return ""


def doubt_temperature(value: Quantity, water: bool) -> str:
    low, high = _WATER if water else _WEATHER
    believed = low <= amount(value, "degC") <= high
    return "" if believed else f"{present.quantity(value)} is hard to believe"


def doubt_opening(session: Session, opening: Quantity) -> str:
    """Held against what the procedure wants open on one side."""
    demanded = session.plan.procedure.opening
    most = _OPEN + (0.0 if demanded is None else amount(demanded, "in"))
    if amount(opening, "in") <= most + 1e-9:
        return ""
    return f"{present.quantity(opening)} is hard to believe: so wide no gasket seals"


def doubt_volume(session: Session, volume: Quantity) -> str:
    """Of a measured volume put in at once, or taken out."""
    pocket = session.checking.worked.pocket.volume
    if pocket is None or abs(amount(volume, "mL")) <= _PUT_IN * amount(pocket, "mL"):
        return ""
    shown = present.quantity(volume)
    return f"{shown} is hard to believe: the pocket holds {_told(session, pocket)}"


def doubt_height(session: Session, height: Quantity) -> str:
    """Of a gauge above the joint's centre, or below it."""
    most = amount(session.plan.joint.crown, "in") + _ABOVE_JOINT
    if abs(amount(height, "in")) <= most + 1e-9:
        return ""
    return f"{present.quantity(height)} is hard to believe: nobody at the joint could read it"


def _doubt_length(session: Session, value: Quantity) -> str:
    """Held against the joint's own size."""
    if abs(amount(value, "in")) <= 2 * amount(session.plan.joint.crown, "in") + 1e-9:
        return ""
    return f"{present.quantity(value)} is hard to believe: the joint is not so large"


def _doubt_relief(session: Session, value: Quantity) -> str:
    """Held against the setting that was planned."""
    planned = session.opened.plan.supply.relief if session.opened else None
    if planned is None:
        return ""
    apart = abs(amount(value, "psi") - amount(planned, "psi"))
    if apart <= _RELIEF * amount(planned, "psi") + 1e-9:
        return ""
    return f"{present.quantity(value)} is far from what was planned, {present.quantity(planned)}"


def _told(session: Session, volume: Quantity) -> str:
    return present.quantity(volume, session.plan.units)
