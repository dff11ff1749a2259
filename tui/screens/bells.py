"""Bells: each timer of a test that ends rings once."""

from __future__ import annotations

from collections.abc import Iterator

from engine.judging.holding import holding
from engine.judging.settling import standings
from engine.session import Session

__all__ = ["Bells", "over"]


class Bells:
    """Knows which timers were over when it was last asked."""

    def __init__(self) -> None:
        self._over: frozenset[str] = frozenset()

    def ended(self, session: Session, now: float) -> frozenset[str]:
        """The timers that have ended since."""
        before, self._over = self._over, frozenset(over(session, now))
        return self._over - before


def over(session: Session, now: float) -> Iterator[str]:
    """Waits that are over, a reading that is due, a credit that is complete."""
    if session.opened is None or session.closed:
        return
    for here in standings(session, session.stage, now):
        if here.check.kind == "wait" and here.settled:
            yield wait(here.check.id)
    hold = holding(session)
    if hold is None or hold.span.end is not None:
        return
    if hold.complete:
        yield f"complete {hold.span.seq}"
    if hold.running and now >= hold.due:
        yield f"due {hold.readings[-1].seq if hold.readings else 0}"


def wait(check: str | None) -> str:
    """What the wait of a check is called here."""
    return f"wait {check}"
