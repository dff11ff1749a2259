"""A technician who does everything in order: for the demonstration on the practice joint.

What comes next is a function of the session, the moment, and what stands before the eye.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

from engine import facts as f
from engine import present
from engine.asking.commands import (
    Announce,
    Command,
    Confirm,
    Measure,
    PassStage,
    Sign,
    StartHold,
    StartWait,
    Write,
)
from engine.judging.holding import holding, levels_of, zero
from engine.judging.looks import looks_at_end
from engine.judging.rules import find
from engine.judging.settling import Standing, standings
from engine.practice import Seen
from engine.rehearsal import after_adding
from engine.session import Session
from engine.units import Quantity, amount, q

_ANSWERS: Final = {
    "demand": "read, clause 4.2",
    "marks": "D-1041 / D-1042",
    "primary": "lot 26-118",
    "lubricant": "soap, as its label says",
    "feeler": present.ALL_ROUND,
}
_FIGURES: Final = {
    "warmth": q(52, "degF"),
    "vent_top": q(0.125, "in"),
    "restraint_on": q(2, "count"),
    "relief_lifts": q(15, "psi"),
}
_OPENINGS: Final = {12.0: 0.5, 3.0: 0.5, 6.0: 0.5625, 9.0: 0.5}
_PUMPS_ML: Final = (0.25, 0.5, 1.0, 2.0, 4.0)
"""Strokes, the smallest first."""
_BURP_PSI: Final = 5.0


class Move(NamedTuple):
    """Let so many seconds pass, then ask for this."""

    after: float
    command: Command | None


def next_move(session: Session, now: float, seen: Seen) -> Move | None:
    """The next move; None once the session is closed."""
    if session.closed:
        return None
    for here in standings(session, session.stage, now):
        if here.settled or here.check.rank == "advice":
            continue
        return towards(session, now, seen, here)
    return Move(5, PassStage(session.stage))


def towards(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    """The next move to settle one check."""
    check = here.check
    own = _OWN.get(check.id)
    if own is not None:
        return own(session, now, seen, here)
    if check.kind == "wait":
        return Move(here.left, None) if here.left else Move(10, StartWait(check.id))
    if check.kind == "measure":
        return Move(45, Measure(check.id, _figure(session, here)))
    return Move(30, Confirm(check.id, _ANSWERS.get(check.id)))


def _figure(session: Session, here: Standing) -> Quantity:
    check = here.check
    if check.field == "gauge.height" and session.plan.gauge.height is not None:
        return session.plan.gauge.height
    return _FIGURES.get(check.id, q(1, "in"))


def _openings(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    since = session.checking.since("seal")
    done = {o.clock for o in session.checking.openings
            if o.seq > since and o.stage == session.stage}  # fmt: skip
    clock = next((c for c in _OPENINGS if c not in done), 12.0)
    width = q(_OPENINGS[clock], "in")
    return Move(40, Write(f.OpeningMeasured(clock=clock, opening=width)))


def _zero(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    mark = session.plan.gauge.mark
    return Move(20, Write(f.GaugeZeroed(mark=mark, reading=q(seen.dial, "psi"))))


def _valves_open(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    vent = session.water.valve("vent")
    if vent is None or vent.share == 0:
        return Move(10, _valve("vent", 1.0))
    return Move(10, _valve("inlet", 0.3))


def _valve(which: str, share: float) -> Write:
    return Write(f.ValveTurned(which=which, share=share))


def _full(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    full = seen.vent_flow == "water"
    return Move(5, Confirm(here.check.id)) if full else Move(20, None)


def _vent_flow(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    if here.left:
        return Move(here.left, None)
    return Move(5, StartWait(here.check.id)) if seen.vent_flow == "water" else Move(20, None)


def _through(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    limit = find(session, here.check.rule or "").limit
    if limit is not None and seen.vent_total < amount(limit, "mL"):
        return Move(20, None)
    return Move(10, Measure(here.check.id, q(round(seen.vent_total), "mL")))


def _inlet_shut(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    return Move(5, _valve("inlet", 0.0))


def _vent_shut(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    return Move(5, _valve("vent", 0.0))


def _burp_read(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    """By strokes of a pump, behind a shut inlet."""
    return Move(5, _reading(seen)) if seen.dial >= _BURP_PSI - 0.5 else _pump(session, now)


def _burp(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    vent = session.water.valve("vent")
    if vent is not None and vent.share > 0:
        return Move(5, _valve("vent", 0.0))
    if not find(session, "burp").ok:
        return Move(5, _valve("vent", 0.1))
    return Move(5, Confirm(here.check.id, present.ONLY_WATER))


def _pump(session: Session, now: float) -> Move:
    ml, after = _stroke(session, now)
    return Move(5, Write(f.VolumeAdded(volume=q(ml, "mL"), after=q(after, "psi"))))


def _stroke(session: Session, now: float) -> tuple[float, float]:
    """The smallest stroke that is enough, and what the gauge shows after it.

    More would be let off by the relief valve before anybody had read it.
    """
    for ml in _PUMPS_ML:
        after = after_adding(session, now + 5, ml).dial
        if after >= _target(session):
            break
    return ml, after


def _reading(seen: Seen) -> Write:
    return Write(f.PressureRead(pressure=q(seen.dial, "psi"), ago=0.0))


def _target(session: Session) -> float:
    """A mark above the lowest that is good, so that the reading stays good while it settles."""
    bounds = levels_of(session)
    still = zero(session, session.plan.gauge.mark) or 0.0
    return bounds.mark_to_read(still) + 2 * bounds.graduation


def _raised(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    if seen.dial >= _target(session):
        return Move(5, _reading(seen))
    return _pump(session, now)


def _ramp(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    """From the last pumping to the reading that was good: the records hold both times."""
    vent = session.water.valve("vent")
    since = vent.seq if vent else 0
    first = next(a for a in session.water.added if a.seq > since)
    raised = next(r for r in session.evidence.readings
                  if r.seq >= first.seq and r.psi >= levels_of(session).good_from)  # fmt: skip
    return Move(5, Measure(here.check.id, q(round(raised.t - first.t + 5), "s")))


def _credit(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    hold = holding(session)
    bounds = levels_of(session)
    if hold is None or hold.span.end is not None:
        if seen.dial < bounds.good_from + bounds.graduation:
            return _pump(session, now)
        last = session.evidence.readings[-1]
        if now - last.t > 5:
            return Move(2, _reading(seen))
        return Move(2, StartHold())
    looked = any(look.t >= hold.begins for look in session.evidence.looks)
    if hold.running and not looked and hold.credit.seconds >= hold.need / 2:
        return Move(15, Write(f.Looked(dry=_dry(seen), ago=0.0)))
    if seen.dial < bounds.good_from + 0.5 * bounds.graduation:
        ml, after = _stroke(session, now)
        top_up = f.ToppedUp(before=q(seen.dial, "psi"), after=q(after, "psi"), volume=q(ml, "mL"))
        return Move(5, Write(top_up))
    return Move(max(1.0, hold.due - now) if hold.readings else 1.0, _reading(seen))


def _dry(seen: Seen) -> bool:
    return not any(wet.place == "primary" for wet in seen.leaks)


def _look(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    hold = holding(session)
    if hold is not None and looks_at_end(session, hold):
        return Move(5, _reading(seen))
    return Move(15, Write(f.Looked(dry=_dry(seen), ago=0.0)))


def _needle_fell(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    vent = session.water.valve("vent")
    if vent is None or vent.share == 0:
        return Move(5, _valve("vent", 0.004))
    return Move(1, _reading(seen))


def _released(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    vent = session.water.valve("vent")
    if vent is None or vent.share < 1:
        return Move(3, _valve("vent", 1.0))
    if seen.dial > 0.25 or seen.vent_flow != "none":
        return Move(10, None)
    return Move(20, Write(f.PressureReleased(gauge=q(seen.dial, "psi"), vent_quiet=True)))


def _announced(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    return Move(10, Announce())


def _signed(session: Session, now: float, seen: Seen, here: Standing) -> Move:
    return Move(10, Sign(session.by))


_Own = Callable[[Session, float, Seen, Standing], Move]
_OWN: Final[dict[str, _Own]] = {
    "openings": _openings,
    "openings_held": _openings,
    "openings_after": _openings,
    "gauge_zeroed": _zero,
    "zero_again": _zero,
    "valves_open": _valves_open,
    "full": _full,
    "vent_flow": _vent_flow,
    "through": _through,
    "vent_shut": _vent_shut,
    "inlet_first": _inlet_shut,
    "burp_read": _burp_read,
    "burp": _burp,
    "raised": _raised,
    "needle_rose": _raised,
    "ramp": _ramp,
    "inlet_shut": _inlet_shut,
    "credit": _credit,
    "looked_during": _look,
    "looked_at_end": _look,
    "needle_fell": _needle_fell,
    "released": _released,
    "announced": _announced,
    "signed": _signed,
}
