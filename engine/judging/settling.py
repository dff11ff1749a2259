"""How each check of a session stands at a moment, and what still stops a stage."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from engine.checks import Check, Stage, earlier
from engine.clock import left
from engine.facts import Settled
from engine.judging.finding import Finding
from engine.judging.holding import disturbed_at
from engine.judging.rules import find
from engine.session import Session
from engine.session.checking import Settlement, Waiting
from engine.units import Quantity, amount, q

How = Literal["confirmed", "measured", "computed", "waited", "waived", "carried"]


@dataclass(frozen=True)
class Standing:
    """One check at one moment."""

    check: Check
    how: How | None
    """How it is settled; None while it is open."""
    finding: Finding | None = None
    left: float | None = None
    """Seconds until a running wait is over."""
    settlement: Settlement | None = None

    @property
    def settled(self) -> bool:
        return self.how is not None

    @property
    def waiting(self) -> bool:
        return self.how is None and self.left is not None

    @property
    def refuted(self) -> bool:
        """What was found says no: confirming it is not enough."""
        return self.how is None and self.finding is not None and self.finding.ok is False

    @property
    def asked(self) -> bool:
        """It cannot be computed here, or is not: somebody must answer."""
        if self.check.kind == "compute":
            return self.how is None and self.finding is not None and self.finding.ok is None
        return self.how is None and self.check.kind != "wait"


def standing(session: Session, check: Check, now: float) -> Standing:
    """The one gate of a check; only a wait depends on `now`."""
    found = session.checking.settled.get(check.id)
    if found is not None and found.how == "waived":
        return Standing(check, "waived", settlement=found)
    if check.kind == "compute":
        return _computed(session, check, found)
    if check.kind == "wait":
        return _waited(session, check, now)
    if found is not None:
        finding = Finding(found.sound, found.measure, found.limit, (found.seq,))
        if check.kind == "confirm" and check.rule:
            finding = _resting_on(find(session, check.rule), finding)
        how = found.how if finding.ok else None
        return Standing(check, how, finding, settlement=found)
    if check.id in session.checking.carried:
        return Standing(check, "carried")
    return Standing(check, None)


def _resting_on(under: Finding, said: Finding) -> Finding:
    """What was said, while what it rests on stands: not struck, and no other since."""
    if under.ok is not True:
        return under
    since = any(seq > max(said.records) for seq in under.records)
    return Finding(None, records=under.records) if since else said


def _computed(session: Session, check: Check, found: Settlement | None) -> Standing:
    finding = find(session, check.rule or check.id)
    if finding.ok:
        return Standing(check, "computed", finding)
    if finding.ok is None and found is not None and found.sound:
        return Standing(check, found.how, finding, settlement=found)
    if finding.ok is None and check.id in session.checking.carried:
        return Standing(check, "carried", finding)
    return Standing(check, None, finding, settlement=found)


def _waited(session: Session, check: Check, now: float) -> Standing:
    if check.id in session.checking.carried:
        return Standing(check, "carried")
    lasts = wait_of(session, check)
    started = session.checking.waits.get(check.id)
    if started is not None and check.wait == "settle" and not settled_since(session, started):
        started = None
    if lasts == 0:
        return Standing(check, "waited", Finding(True, q(0, "s"), q(0, "s")))
    remaining = left(started.t if started else None, lasts, now)
    records = (started.seq,) if started else ()
    waited = None if started is None else q(now - started.t, "s")
    finding = Finding(remaining == 0.0, waited, q(lasts, "s"), records)
    return Standing(check, "waited" if remaining == 0.0 else None, finding, remaining)


def settled_since(session: Session, started: Waiting) -> bool:
    """The pocket was not disturbed again after it began to settle and before the hold began."""
    hold = session.hold
    return (started.t, started.seq) > disturbed_at(session, hold.seq if hold else None)


def wait_of(session: Session, check: Check) -> float:
    """Seconds that a wait lasts in this session."""
    lasts: Quantity = getattr(session.plan.waits, check.wait or "", q(0, "s"))
    return amount(lasts, "s")


def standings(session: Session, stage: Stage, now: float) -> tuple[Standing, ...]:
    return tuple(standing(session, c, now) for c in session.checking.checks if c.stage == stage)


def stopping(session: Session, stage: Stage, now: float) -> tuple[Standing, ...]:
    """What does not let the stage go: its own open checks, and those owed from earlier ones."""
    return tuple(
        standing_now
        for check in session.checking.checks
        if check.rank != "advice" and not earlier(stage, check.stage)
        if not (standing_now := standing(session, check, now)).settled
    )


def owed(session: Session) -> Iterator[Check]:
    """Checks of stages that were passed, or of all once it is over, that do not stand any more."""
    for check in session.checking.checks:
        if check.rank == "advice" or not _due(session, check):
            continue
        if not standing(session, check, session.t).settled:
            yield check


def _due(session: Session, check: Check) -> bool:
    if check.id in ENDING:
        return False
    return earlier(check.stage, session.stage) or session.stage == "verdict"


ENDING = frozenset({"announced", "signed"})
"""They come after the verdict and cannot be owed by it."""


def waived(session: Session) -> Iterator[tuple[Check, Settlement]]:
    for check in session.checking.checks:
        found = session.checking.settled.get(check.id)
        if found is not None and found.how == "waived":
            yield check, found


def settled_for_record(session: Session, stage: Stage, now: float) -> tuple[Settled, ...]:
    """How each check of a stage stood, with the measure and the limit, as it is written down."""
    return tuple(
        Settled(
            check=s.check.id,
            how=s.how or "advice",
            measure=s.finding.measure if s.finding else None,
            limit=s.finding.limit if s.finding else None,
        )
        for s in standings(session, stage, now)
    )


def needs_release(session: Session, check: Check) -> bool:
    """Doing it now, its stage being passed, would open or handle something under pressure."""
    handled = check.stage in ("seal", "vent") and check.kind == "confirm" and check.asks != "text"
    handled = handled or check.field == "supply.relief"  # it is lifted off the joint
    return handled and earlier(check.stage, session.stage) and session.under_pressure
