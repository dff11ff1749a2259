"""Sightings that count: which leaks stand, which dried in time, which are the rig's."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Literal, NamedTuple

from engine.checks import earlier
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


def counting(session: Session, made: Sighting | Look) -> bool:
    """Between closing the vent and releasing the pressure; and not before gaskets were reseated."""
    reseated = session.moment(session.checking.since("seal"))
    return (made.t, made.seq) > reseated and pressed(session, made)


def pressed(session: Session, made: Sighting | Look) -> bool:
    """There was pressure in the closed pocket then, whatever was done to the joint since."""
    seen = made.t, made.seq
    return any(start <= seen and (end is None or seen < end) for start, end in _raised(session))


@lru_cache(maxsize=8)
def _raised(session: Session) -> tuple[tuple[Moment, Moment | None], ...]:
    """When there may have been pressure in the closed pocket, each time up to the release.

    From the first pressure after a fill, the burp's, or else from passing the vent stage; and where
    that still stood after a release, from the pressure's coming up again.
    """
    releases = [r.seq for r in session.water.released if r.quiet]
    closed = [p.seq for p in session.checking.passed if p.fact.stage == "vent"]
    starts = [_up(session, seq) for seq in closed]
    starts += [m for seq in releases if (m := _again(session, closed, seq)) is not None]
    return tuple((start, _first_after(session, releases, start)) for start in sorted(starts))


def _up(session: Session, vented: int) -> Moment:
    """When pressure first came up before the vent stage was passed with that record: since the
    fill, or since a release where the stage was taken up again after one."""
    begun = [p.seq for p in session.checking.passed if p.fact.stage == "fill"]
    begun += [r.seq for r in session.water.released if r.quiet]
    since = max((seq for seq in begun if seq < vented), default=None)
    shut = session.moment(vented)
    raised = None if since is None else session.raised_after(since)
    return shut if raised is None else min(shut, raised)


def _first_after(session: Session, seqs: Sequence[int], start: Moment) -> Moment | None:
    return next((m for seq in seqs if (m := session.moment(seq)) > start), None)


def _again(session: Session, closed: Sequence[int], released: int) -> Moment | None:
    """When pressure came up after a release, unless the vent stage was taken up again before."""
    vented = max((seq for seq in closed if seq < released), default=None)
    raised = session.raised_after(released)
    if vented is None or raised is None:
        return None
    reopened = [r.seq for r in session.checking.reopened
                if r.seq > vented and not earlier("vent", r.stage)]  # fmt: skip
    until = _first_after(session, reopened, session.moment(vented))
    return raised if until is None or raised < until else None


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
