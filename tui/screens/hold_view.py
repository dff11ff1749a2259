"""What a fall in the hold may mean, as rows beside the clock: an explanation, never a verdict.

Rows change with the records and not with time, so that a tick works out nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Final

from engine import present
from engine.conversions import KPA_PER_PSI
from engine.falling.causes import Cause
from engine.falling.loss import Loss
from engine.falling.lost import held_in, lost
from engine.falling.stiffness import Bounds, three
from engine.judging.holding import levels_of
from engine.judging.trapped import over_limit, trapped
from engine.session import Session
from engine.units import amount
from tui.widgets.clock import ClockRow

_SHORT: Final[dict[Cause, str]] = {
    "steady_leak": "a leak",
    "pressure_leak": "a leak",
    "creep": "creep",
    "absorption": "drinking",
    "temperature": "temperature",
    "sun": "sun on rods",
    "air_dissolving": "air dissolving",
    "recovery": "recovery",
    "none": "no change",
}


@lru_cache(maxsize=4)
def fall_rows(session: Session) -> tuple[ClockRow, ...]:
    """When the pressure may be too low, how fast it falls, what that is worth, what it fits.

    In the order in which they may be cut off; none without two readings in the hold.
    """
    found = lost(session)
    if found is None or found.fall.rate is None:
        return ()
    return tuple(_rows(session, found))


def _rows(session: Session, found: Loss) -> Iterator[ClockRow]:
    units = session.plan.units
    yield from _crossing(session, found)
    yield ClockRow("fits", fits(found))
    assert found.fall.rate is not None
    factor, unit = (60.0, "psi/min") if units == "us" else (60.0 * KPA_PER_PSI, "kPa/min")
    low, _, high = (-rate * factor for rate in reversed(found.fall.rate))
    yield ClockRow(f"falls {unit}", _span(low, high, 2 if units == "us" else 1))
    yield from air_rows(session)
    if found.drops_per_minute is not None:
        yield ClockRow("drops/min", _lost(found.drops_per_minute, "drop/min", 0))
    if found.flow is not None:
        yield ClockRow("mL/min", _lost(found.flow, "mL/min", 2))
    if found.lost is not None and found.lost.movement is not None:
        if units == "us":
            yield ClockRow("or opens mils", _of(found.lost.movement, "in", 1000.0, 1))
        else:
            yield ClockRow("or opens mm", _of(found.lost.movement, "mm", 1.0, 2))
    if found.lost is not None and found.lost.cooling is not None:
        scale, sign = (1.8, "°F") if units == "us" else (1.0, "°C")
        yield ClockRow(f"or cools {sign}", _of(found.lost.cooling, "K", scale, 1))


@lru_cache(maxsize=4)
def air_rows(session: Session) -> tuple[ClockRow, ...]:
    """Trapped air in percent of the pocket, where measured volumes tell it; and to vent again."""
    found = trapped(session)
    if found is None or found.share is None:
        return ()
    if over_limit(session) is not None:
        return (ClockRow("trapped air", "VENT AGAIN", "warn"),)
    share = amount(found.share, "percent")
    much = session.plan.procedure.air_limit is None and share >= _MUCH_AIR
    value = f"{present.number(share, 1)} %"
    return (ClockRow("trapped air", f"{value} vent?" if much else value),)


_MUCH_AIR: Final = 1.0
"""House figure, where the procedure sets none: it lays bare a hand's width or two at the top."""


def _crossing(session: Session, found: Loss) -> Iterator[ClockRow]:
    """Time of day at which the last gauge is down to what is good, and not before."""
    held = held_in(session)
    assert held is not None
    last = held.readings[-1]
    level = levels_of(session, last.mark).good_from
    if held.psi[-1] < level - 1e-9 or session.hold is None or session.hold.end is not None:
        return
    expected, earliest = found.fall.crossing(level)
    shown = present.pressure(level, session.plan.units).partition(" ")[0]
    if found.fall.seen == "yes" and expected is not None and expected < _FAR_S:
        yield ClockRow(f"below {shown} at", _at(session, last.t + expected))
    if earliest is not None and earliest < _FAR_S:
        yield ClockRow("good at least", f"to {_at(session, last.t + earliest)}")


_FAR_S: Final = 12 * 3600.0


def _at(session: Session, t: float) -> str:
    return present.time_of_day(session, t)[:5]


def fits(found: Loss) -> str:
    """In two words."""
    if found.cause is not None:
        return f"mostly {_SHORT[found.cause]}" if found.cause == "creep" else _SHORT[found.cause]
    if "none" in found.possible:
        return "no fall seen" if found.fall.seen != "yes" else "cannot tell"
    if found.leaking:
        return "a leak"
    if not found.weights:
        return "too few yet"
    return "cannot tell"


def _lost(bounds: Bounds, unit: str, places: int) -> str:
    """Water lost; less than none is none."""
    low, _, high = three(bounds, unit)
    if low > 0:
        return _span(low, high, places)
    return f"at most {present.number(max(0.0, high), places)}"


def _of(bounds: Bounds, unit: str, scale: float, places: int) -> str:
    low, _, high = (value * scale for value in three(bounds, unit))
    return _span(low, high, places)


def _span(low: float, high: float, places: int) -> str:
    return f"{present.number(low, places)} to {present.number(high, places)}"
