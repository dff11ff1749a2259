"""Sightings that count: which leaks stand, which dried in time, which are the rig's."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

from engine.grades import as_wet_as
from engine.session import Session
from engine.session.evidence import Look, Sighting
from engine.session.session import Moment
from engine.units import amount


class Leak(NamedTuple):
    """Leakage past the primary gasket, and how it stands."""

    sighting: Sighting
    state: Literal["counts", "open", "dried"]
    dried: float | None = None
    """When it was wiped and looked dry, in seconds since the session was opened."""
    until: float | None = None
    """How long it may stand to dry."""


def counting(session: Session, sighting: Sighting) -> bool:
    """Between closing the vent and releasing the pressure; and not before gaskets were reseated."""
    seen = sighting.t, sighting.seq
    if seen <= session.moment(session.checking.since("seal")):
        return False
    return any(start <= seen and (end is None or seen < end) for start, end in _raised(session))


def _raised(session: Session) -> Iterator[tuple[Moment, Moment | None]]:
    """When the pocket was closed, from each passing of the vent stage to the release."""
    ends = [r.seq for r in session.water.released if r.quiet]
    for passing in session.checking.passed:
        if passing.fact.stage == "vent":
            end = next((seq for seq in ends if seq > passing.seq), None)
            yield session.moment(passing.seq), session.moment(end) if end else None


def is_leakage(session: Session, sighting: Sighting) -> bool:
    """Worse than the criterion; or damp that came back at the invert after it was wiped."""
    if as_wet_as(sighting.grade, session.plan.procedure.leak_from):
        return True
    low = sighting.clock is None or 4.5 <= sighting.clock <= 7.5
    return sighting.returns and low and sighting.grade != "dry"


def primary_leaks(session: Session, now: float) -> tuple[Leak, ...]:
    return tuple(
        _standing(session, sighting, now)
        for sighting in session.evidence.sightings
        if sighting.place == "primary"
        and counting(session, sighting)
        and is_leakage(session, sighting)
    )


def _standing(session: Session, sighting: Sighting, now: float) -> Leak:
    procedure = session.plan.procedure
    mild = not as_wet_as(sighting.grade, "pool")
    if procedure.may_stand is None or not mild:
        return Leak(sighting, "counts")
    until = sighting.t + amount(procedure.may_stand, "s")
    released = [r.t for r in session.water.released if r.t > sighting.t]
    if procedure.stand_under_pressure:
        until = min([until, *released])
    dried = _dried(session, sighting)
    if dried is not None and dried <= until:
        return Leak(sighting, "dried", dried, until)
    if now > until or until in released or session.stage == "verdict":
        return Leak(sighting, "counts", None, until)
    return Leak(sighting, "open", None, until)


def _dried(session: Session, sighting: Sighting) -> float | None:
    def dries(look: Look) -> bool:
        return look.dry and look.wiped and look.t > sighting.t

    return next((look.t for look in session.evidence.looks if dries(look)), None)


def rig_leaks(session: Session) -> tuple[Sighting, ...]:
    """Port and fitting leaks that can wet the place looked at: not mended, or not held since."""
    hold = session.hold
    mends = [m.seq for m in session.water.mended if hold is not None and m.seq < hold.seq]
    mended = session.moment(max(mends, default=0))
    return tuple(
        s
        for s in session.evidence.sightings
        if s.place in ("port", "fitting")
        and s.wets
        and as_wet_as(s.grade, session.plan.procedure.leak_from)
        and counting(session, s)
        and (s.t, s.seq) > mended
    )
