"""Looks at the primary gasket that count: during the credited time, and at its end."""

from __future__ import annotations

from collections.abc import Iterator

from engine.judging.holding import Holding
from engine.judging.leaks import counting
from engine.session import Session
from engine.session.evidence import Look


def looks_during(session: Session, hold: Holding) -> tuple[Look, ...]:
    """Looks at the primary gasket inside the credited time."""
    return tuple(k for k in session.evidence.looks if hold.credit.covers(k.t))


def looks_at_end(session: Session, hold: Holding) -> tuple[Look, ...]:
    """Looks from the last reading interval on, while nothing was released or vented."""
    completed, last = hold.credit.completed, hold.credit.last
    if completed is None or last is None:
        return ()
    until = last.t + hold.longest_gap
    if hold.span.end is not None:
        until = min(until, hold.span.end)
    return tuple(
        k for k in session.evidence.looks if completed.t - hold.reading_every <= k.t <= until
    )


def proven_at_end(session: Session, hold: Holding) -> tuple[Look, ...]:
    """Looks at the end with a good reading at or after them: then the pressure was still there."""
    return tuple(k for k in looks_at_end(session, hold) if hold.credit.covers(k.t))


def looks_before_end(session: Session, hold: Holding) -> tuple[Look, ...]:
    """Looks inside the credited time, a reading interval or more before the one that stands for
    its end: a key that was pressed twice looks once.

    One look serves both where the whole hold is no longer than the longest gap.
    """
    during, end = looks_during(session, hold), proven_at_end(session, hold)
    if not end or hold.need <= hold.longest_gap:
        return during
    return tuple(k for k in during if k.t <= end[-1].t - hold.reading_every + 1e-6)


def unexplained(session: Session) -> Iterator[Look]:
    """Looks under pressure that were not dry, with nothing on the primary written down for them.

    A sighting belongs to the look that comes next to it, before or after.
    """
    looks = [k for k in session.evidence.looks if counting(session, k)]
    wet = [s.t for s in session.evidence.sightings
           if s.place == "primary" and s.grade != "dry" and counting(session, s)]  # fmt: skip
    for place, look in enumerate(looks):
        since = looks[place - 1].t if place else float("-inf")
        until = looks[place + 1].t if place + 1 < len(looks) else float("inf")
        if not look.dry and not any(since <= t <= until for t in wet):
            yield look
