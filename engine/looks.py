"""Looks at the primary gasket that count: during the credited time, and at its end."""

from __future__ import annotations

from engine.holding import Holding
from engine.session import Session
from engine.session.evidence import Look


def looks_during(session: Session, hold: Holding) -> tuple[Look, ...]:
    """Looks at the primary gasket inside the credited time."""
    first, last = hold.credit.first, hold.credit.last
    if first is None or last is None:
        return ()
    return tuple(k for k in session.evidence.looks if first.t <= k.t <= last.t)


def looks_at_end(session: Session, hold: Holding) -> tuple[Look, ...]:
    """Looks from the last reading interval on, while the pressure was still there."""
    completed, last = hold.credit.completed, hold.credit.last
    if completed is None or last is None:
        return ()
    until = last.t + hold.longest_gap
    if hold.span.end is not None:
        until = min(until, hold.span.end)
    return tuple(
        k for k in session.evidence.looks if completed.t - hold.reading_every <= k.t <= until
    )
