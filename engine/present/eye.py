"""What a trainee sees, feels and measures at the practice joint, in words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import acos
from typing import Final

from engine.grades import as_wet_as
from engine.practice import Seen, Setup, Wet
from engine.present.quantities import clock_position, duration, number, pressure, quantity
from engine.present.words import PLACE
from engine.rehearsal import seen, setup_of
from engine.session import Session
from engine.units import q

INSIDE: Final = ("primary", "port")
OUTSIDE: Final = ("secondary", "fitting")


def inside(session: Session, now: float) -> str:
    """What a look along the joint from inside shows."""
    there = seen(session, now)
    if there is None:
        return ""
    return f"You look along the joint inside: {_wet(there.leaks, INSIDE) or 'dry all round'}."


def outside(session: Session, now: float) -> str:
    """What a walk round the joint shows: secondary gasket, fittings, relief valve, gauge."""
    there = seen(session, now)
    if there is None:
        return ""
    lifting = "; the relief valve lifts" if there.relief_lifting else ""
    cock = "open" if there.cock > 0 else "SHUT"
    wet = _wet(there.leaks, OUTSIDE) or "secondary gasket and fittings dry"
    return f"You walk round outside: {wet}{lifting}; the gauge's cock is {cock}."


def _wet(leaks: Sequence[Wet], places: tuple[str, ...]) -> str:
    found = [w for w in leaks if w.place in places and as_wet_as(w.grade, "damp")]
    return "; ".join(f"{w.grade} on the {PLACE[w.place]} {clock_position(w.clock)}" for w in found)


def check(session: Session, now: float, name: str) -> str:
    """What there is to see where a check is to be answered; empty where it is for you to say."""
    there, setup = seen(session, now), setup_of(session)
    told = _CHECKS.get(name)
    if there is None or setup is None or told is None:
        return ""
    return told(session, there, setup)


def _tape(session: Session, there: Seen, setup: Setup) -> str:
    radius, drop = setup.rise / 2, setup.rise / 2 - setup.vent_height
    along = radius * acos(max(-1.0, 1.0 - drop / radius)) if drop > 1e-6 else 0.125
    return f"The tape says {number(round(along * 16) / 16, 3)} in."


def _feeler(session: Session, there: Seen, setup: Setup) -> str:
    if not there.feeler:
        return "The feeler meets the gasket in its place all round: 12, 3, 6 and 9."
    where = " and ".join(clock_position(c) for c in there.feeler)
    return f"The feeler misses the gasket {where}: it is out of its place there."


def _line(session: Session, there: Seen, setup: Setup) -> str:
    if setup.line_air > 0:
        return "You let the gauge line run: it spits air for a while, then gives only water."
    return "You let the gauge line run: only water comes."


def _ramp(session: Session, there: Seen, setup: Setup) -> str:
    shut = session.vented_shut
    readings = [r.t for r in session.evidence.readings if shut is not None and r.t >= shut]
    if shut is None or not readings:
        return ""
    return f"The watch says {duration(max(1.0, readings[0] - shut))}."


def _height(session: Session, there: Seen, setup: Setup) -> str:
    height = session.plan.gauge.height
    return "" if height is None else f"The tape says {quantity(height)}."


def _inside(session: Session, there: Seen, setup: Setup) -> str:
    return f"You look along the joint inside: {_wet(there.leaks, INSIDE) or 'dry all round'}."


def _told(text: str) -> Callable[[Session, Seen, Setup], str]:
    return lambda session, there, setup: text


def _dial(session: Session, there: Seen, setup: Setup) -> str:
    return f"The dial shows {pressure(there.dial, session.plan.units)}."


def _relief(session: Session, there: Seen, setup: Setup) -> str:
    return f"It lifts at {pressure(round(setup.relief * 4) / 4, session.plan.units)}."


def _caught(session: Session, there: Seen, setup: Setup) -> str:
    caught, volume = (quantity(q(ml, "mL"), places=0) for ml in (there.vent_total, setup.volume))
    return f"Caught from the vent so far: {caught}; the pocket holds {volume}."


def _vent(session: Session, there: Seen, setup: Setup) -> str:
    words = {"none": "nothing", "air": "air", "spitting": "water that spits air", "water": "water"}
    return f"From the vent comes {words[there.vent_flow]}."


_CHECKS: Final[dict[str, Callable[[Session, Seen, Setup], str]]] = {
    "marks": _told("Painted on the sections: D-1041 on the spigot, D-1042 on the bell."),
    "warmth": _told("The yard's book says 52 degF was the lowest."),
    "vent_top": _tape,
    "primary": _told("The box says lot 26-118."),
    "lubricant": _told("The tin says soap."),
    "feeler": _feeler,
    "restraint_on": _told("Each nut went 2 turns past snug."),
    "openings": _told("The callipers say 1/2 in at 12, 3 and 9 o'clock, 9/16 in at 6."),
    "openings_held": _told("The callipers say 1/2 in at 12, 3 and 9 o'clock, 9/16 in at 6."),
    "openings_after": _told("The callipers say 1/2 in at 12, 3 and 9 o'clock, 9/16 in at 6."),
    "gauge_height": _height,
    "gauge_zeroed": _dial,
    "zero_again": _dial,
    "relief_lifts": _relief,
    "full": _vent,
    "vent_flow": _vent,
    "through": _caught,
    "line_bled": _line,
    "wiped": _inside,
    "burp_read": _dial,
    "burp": _vent,
    "ramp": _ramp,
    "looked_during": _inside,
    "looked_at_end": _inside,
    "no_crack": _told("No crack anywhere."),
}
