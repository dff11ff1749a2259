"""The verdict: pass, fail, invalid or undecided, each with the rules and records it rests on.

Always derived from the records; the same records always give the same verdict.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from engine.facts import Outcome, Reason
from engine.formulas.gauge import probability_above
from engine.judging.beside import beside
from engine.judging.doubts import disagreements, doubts
from engine.judging.grounds import credited, of_credit, of_leak, of_sighting
from engine.judging.holding import Holding, corrected, holding, levels_of
from engine.judging.leaks import primary_leaks, rig_leaks
from engine.judging.looks import looks_during
from engine.session import Session
from engine.session.closing import Signature
from engine.session.evidence import Reading
from engine.units import amount, q

__all__ = ["Verdict", "corrected_after", "disagreements", "stands", "sureness", "verdict"]


@dataclass(frozen=True)
class Verdict:
    outcome: Outcome
    reasons: tuple[Reason, ...]
    beside: tuple[Reason, ...] = ()
    """What changes nothing and is not to be hidden: waivers, doubts, top-ups, sightings."""


@lru_cache(maxsize=8)
def verdict(session: Session, damaged: bool = False) -> Verdict:
    """What the records say, by precedence: a damaged record, a disturbed specimen, a leak past the
    primary gasket, anything owed or doubtful, and only then a completed hold.
    """
    if damaged:
        return Verdict("undecided", (Reason(rule="record_damaged"),))
    others = tuple(beside(session))
    disturbed = tuple(_disturbed(session))
    if disturbed:
        return Verdict("invalid", disturbed, others)
    leaks = tuple(_leaked(session))
    if leaks:
        return Verdict("fail", leaks, others)
    spoiled = tuple(_spoiled(session))
    if spoiled:
        return Verdict("invalid", spoiled, others)
    hold = holding(session)
    open_points = tuple(doubts(session, hold))
    if open_points or hold is None:
        return Verdict("undecided", open_points or (Reason(rule="no_hold"),), others)
    return Verdict("pass", tuple(_held(session, hold)), others)


def stands(session: Session, seq: int) -> bool:
    """The verdict announced with record `seq` is still what the records say."""
    announced = next((v for v in session.closing.verdicts if v.seq == seq), None)
    return announced is not None and announced.outcome == verdict(session).outcome


def sureness(session: Session) -> float | None:
    """Probability that the true pressure was at or above what was needed at the lowest reading
    of the credited time, whatever the decision rule."""
    hold = holding(session)
    readings = credited(hold) if hold else ()
    if not readings:
        return None
    lowest = _lowest(session, readings)
    bounds = levels_of(session, lowest.mark)
    share = probability_above(
        q(corrected(session, lowest), "psi"),
        q(bounds.uncertainty, "psi"),
        q(bounds.least, "psi"),
    )
    return amount(share, "percent") / 100


def _lowest(session: Session, readings: Sequence[Reading]) -> Reading:
    """The reading that is least above what its gauge had to show."""
    lowest: dict[str | None, Reading] = {}
    for reading in readings:
        known = lowest.get(reading.mark)
        if known is None or reading.psi < known.psi:
            lowest[reading.mark] = reading
    return min(
        lowest.values(), key=lambda r: corrected(session, r) - levels_of(session, r.mark).good_from
    )


def corrected_after(session: Session, signature: Signature) -> int | None:
    """The record that last took the test up again after a name was put under it."""
    last = session.closing.amended[-1].seq if session.closing.amended else 0
    return last if last > signature.seq else None


def _disturbed(session: Session) -> Iterator[Reason]:
    for happened in session.closing.disturbed:
        yield Reason(rule="specimen_disturbed", records=(happened.seq,))


def _leaked(session: Session) -> Iterator[Reason]:
    for leak in primary_leaks(session, session.t):
        if leak.state == "counts":
            yield of_leak("primary_leak", leak)


def _spoiled(session: Session) -> Iterator[Reason]:
    """Rig leaks that were never mended, once the hold is over."""
    if session.stage != "verdict" and session.closing.abandoned is None:
        return
    for seen in rig_leaks(session):
        yield of_sighting("rig_leak", seen)


def _held(session: Session, hold: Holding) -> Iterator[Reason]:
    yield of_credit("credit_complete", hold)
    looks = {k.seq for k in looks_during(session, hold)}
    yield Reason(rule="primary_tight", place="primary", records=tuple(sorted(looks)))
    lowest = _lowest(session, credited(hold))
    yield Reason(
        rule=f"pressure_{session.plan.procedure.rule}",
        measure=q(corrected(session, lowest), "psi"),
        limit=q(levels_of(session, lowest.mark).good_from, "psi"),
        records=(lowest.seq,),
    )
