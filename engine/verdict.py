"""The verdict: pass, fail, invalid or undecided, each with the rules and records it rests on.

Always derived from the records; the same records always give the same verdict.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from engine.facts import Outcome, Reason
from engine.formulas.gauge import probability_above
from engine.grades import as_wet_as
from engine.holding import Holding, corrected, holding, levels_of, zero
from engine.leaks import Leak, counting, primary_leaks, rig_leaks
from engine.levels import error_limit
from engine.looks import looks_at_end, looks_during
from engine.rules import find
from engine.session import Session
from engine.session.evidence import Reading
from engine.settling import owed, waived
from engine.units import amount, q


@dataclass(frozen=True)
class Verdict:
    outcome: Outcome
    reasons: tuple[Reason, ...]
    beside: tuple[Reason, ...] = ()
    """What changes nothing and is not to be hidden: waivers, doubts, top-ups, sightings."""


def verdict(session: Session, damaged: bool = False) -> Verdict:
    """What the records say, by precedence: a damaged record, a disturbed specimen, a leak past the
    primary gasket, anything owed or doubtful, and only then a completed hold.
    """
    if damaged:
        return Verdict("undecided", (Reason(rule="record_damaged"),))
    beside = tuple(_beside(session))
    disturbed = tuple(_disturbed(session))
    if disturbed:
        return Verdict("invalid", disturbed, beside)
    leaks = tuple(_leaked(session))
    if leaks:
        return Verdict("fail", leaks, beside)
    spoiled = tuple(_spoiled(session))
    if spoiled:
        return Verdict("invalid", spoiled, beside)
    hold = holding(session)
    open_points = tuple(_open_points(session, hold))
    if open_points or hold is None:
        return Verdict("undecided", open_points or (Reason(rule="no_hold"),), beside)
    return Verdict("pass", tuple(_held(session, hold)), beside)


def stands(session: Session, seq: int) -> bool:
    """The verdict announced with record `seq` is still what the records say."""
    announced = next((v for v in session.closing.verdicts if v.seq == seq), None)
    return announced is not None and announced.outcome == verdict(session).outcome


def sureness(session: Session) -> float | None:
    """Probability that the true pressure was at or above what was needed at the lowest reading
    of the credited time, whatever the decision rule."""
    hold = holding(session)
    readings = _credited(hold) if hold else ()
    if not readings:
        return None
    lowest = min(readings, key=lambda r: corrected(session, r))
    bounds = levels_of(session, lowest.mark)
    share = probability_above(
        q(corrected(session, lowest), "psi"),
        q(bounds.uncertainty, "psi"),
        q(bounds.least, "psi"),
    )
    return amount(share, "percent") / 100


def _credited(hold: Holding) -> tuple[Reading, ...]:
    first, last = hold.credit.first, hold.credit.last
    if first is None or last is None:
        return ()
    return tuple(r for r in hold.readings if first.t <= r.t <= last.t)


def _disturbed(session: Session) -> Iterator[Reason]:
    for happened in session.closing.disturbed:
        yield Reason(rule="specimen_disturbed", records=(happened.seq,))


def _leaked(session: Session) -> Iterator[Reason]:
    for leak in primary_leaks(session, session.t):
        if leak.state == "counts":
            yield _leak_reason("primary_leak", leak)


def _leak_reason(rule: str, leak: Leak) -> Reason:
    seen = leak.sighting
    return Reason(
        rule=rule, place=seen.place, clock=seen.clock, grade=seen.grade, records=(seen.seq,)
    )


def _spoiled(session: Session) -> Iterator[Reason]:
    """Rig leaks that were never mended, once the hold is over."""
    if session.stage != "verdict" and session.closing.abandoned is None:
        return
    for seen in rig_leaks(session):
        yield Reason(
            rule="rig_leak",
            place=seen.place,
            clock=seen.clock,
            grade=seen.grade,
            records=(seen.seq,),
        )


def _open_points(session: Session, hold: Holding | None) -> Iterator[Reason]:
    if session.closing.abandoned is not None:
        yield Reason(rule="abandoned", records=(session.closing.abandoned.seq,))
    for check in owed(session):
        if check.id not in _SAID_BY_A_RULE:
            yield Reason(rule="check_owed", check=check.id)
    if (
        (due := session.plan.gauge.calibration_due)
        and session.axis
        and (session.records[0].at.date() > due)
    ):
        yield Reason(rule="gauge_overdue", records=(1,))
    for leak in primary_leaks(session, session.t):
        if leak.state == "open":
            yield _leak_reason("drip_open", leak)
    for seen in rig_leaks(session):
        yield Reason(
            rule="rig_leak_open",
            place=seen.place,
            clock=seen.clock,
            grade=seen.grade,
            records=(seen.seq,),
        )
    yield from _gauge_points(session)
    if hold is None:
        yield Reason(rule="no_hold")
    elif not hold.complete:
        yield _credit_reason("credit_short", hold)
    else:
        yield from _look_points(session, hold)


_SAID_BY_A_RULE = frozenset(
    {"needle_rose", "needle_fell", "credit", "looked_during", "looked_at_end", "gauge_zeroed"}
)


def _credit_reason(rule: str, hold: Holding) -> Reason:
    records = tuple(r.seq for r in _credited(hold))
    return Reason(
        rule=rule,
        measure=q(hold.credit.seconds, "s"),
        limit=q(hold.need, "s"),
        records=tuple(sorted(set(records))),
    )


def _gauge_points(session: Session) -> Iterator[Reason]:
    mark = session.plan.gauge.mark
    zeros = [z for z in session.water.zeros if z.mark == mark]
    step = levels_of(session).graduation
    if zero(session, mark) is None:
        yield Reason(rule="gauge_not_zeroed")
    if session.stage == "verdict":
        # Waiving the check changes nothing here: a dead gauge must not pass.
        for rule in ("needle_rose", "needle_fell"):
            if not find(session, rule).ok:
                yield Reason(rule=f"{rule}_not", limit=q(step, "psi"))
    for before, after in pairwise(zeros):
        if abs(after.psi - before.psi) > step + 1e-9:
            yield Reason(
                rule="zero_shifted",
                measure=q(after.psi - before.psi, "psi"),
                limit=q(step, "psi"),
                records=(before.seq, after.seq),
            )
    for a, b, apart, limit in disagreements(session):
        yield Reason(
            rule="gauges_disagree",
            measure=q(apart, "psi"),
            limit=q(limit, "psi"),
            records=(a.seq, b.seq),
        )


def disagreements(session: Session) -> Iterator[tuple[Reading, Reading, float, float]]:
    """Readings of two gauges within a minute of each other that differ, brought to one height,
    by more than both limits of error together; in psi."""
    if len(session.plan.gauges) < 2:
        return
    gauges = {g.mark: g for g in session.plan.gauges}
    for a, b in pairwise(session.evidence.readings):
        marks = [r.mark or session.plan.gauge.mark for r in (a, b)]
        if marks[0] == marks[1] or b.t - a.t > 60 or not all(m in gauges for m in marks):
            continue
        above = [corrected(session, r) - levels_of(session, r.mark).needed for r in (a, b)]
        limit = sum(error_limit(gauges[m], r.psi) for m, r in zip(marks, (a, b), strict=True))
        if abs(above[0] - above[1]) > limit:
            yield a, b, abs(above[0] - above[1]), limit


def _look_points(session: Session, hold: Holding) -> Iterator[Reason]:
    during, at_end = looks_during(session, hold), looks_at_end(session, hold)
    short = hold.need <= hold.longest_gap
    if not during:
        yield Reason(rule="not_looked_during")
    if not at_end or (not short and set(at_end) == set(during) and len(during) == 1):
        yield Reason(rule="not_looked_at_end")
    every = session.plan.procedure.look_every
    if every is not None and hold.credit.first and hold.credit.last:
        times = [hold.credit.first.t, *(k.t for k in during), hold.credit.last.t]
        widest = max(b - a for a, b in pairwise(times))
        if widest > amount(every, "s") + 1e-6:
            yield Reason(rule="looks_too_far_apart", measure=q(widest, "s"), limit=every)


def _held(session: Session, hold: Holding) -> Iterator[Reason]:
    yield _credit_reason("credit_complete", hold)
    looks = {k.seq for k in (*looks_during(session, hold), *looks_at_end(session, hold))}
    yield Reason(rule="primary_tight", place="primary", records=tuple(sorted(looks)))
    lowest = min(_credited(hold), key=lambda r: corrected(session, r))
    yield Reason(
        rule=f"pressure_{session.plan.procedure.rule}",
        measure=q(corrected(session, lowest), "psi"),
        limit=q(levels_of(session, lowest.mark).good_from, "psi"),
        records=(lowest.seq,),
    )


def _beside(session: Session) -> Iterator[Reason]:
    for check, settlement in waived(session):
        yield Reason(rule="waived", check=check.id, records=(settlement.seq,))
    for leak in primary_leaks(session, session.t):
        if leak.state == "dried":
            yield _leak_reason("drip_dried", leak)
    for seen in session.evidence.sightings:
        if seen.place != "primary" and as_wet_as(seen.grade, "damp"):
            yield Reason(
                rule="seen_elsewhere",
                place=seen.place,
                clock=seen.clock,
                grade=seen.grade,
                records=(seen.seq,),
            )
        elif seen.place == "primary" and not counting(session, seen):
            yield Reason(
                rule="seen_outside",
                place=seen.place,
                clock=seen.clock,
                grade=seen.grade,
                records=(seen.seq,),
            )
    if session.water.top_ups:
        seqs = tuple(u.seq for u in session.water.top_ups)
        allowed = session.plan.procedure.top_ups
        yield Reason(rule="topped_up" if allowed else "topped_up_forbidden", records=seqs)
    hold = holding(session)
    if hold and hold.credit.late:
        yield Reason(rule="rests_on_late", measure=q(hold.credit.late, "s"))
    over = [
        r
        for r in session.evidence.readings
        if corrected(session, r) > levels_of(session, r.mark).cap + 1e-9
    ]
    if over:
        peak = max(over, key=lambda r: corrected(session, r))
        yield Reason(
            rule="over_cap",
            measure=q(corrected(session, peak), "psi"),
            limit=q(levels_of(session, peak.mark).cap, "psi"),
            records=(peak.seq,),
        )
    if len(session.holds) > 1:
        yield Reason(rule="held_again", records=tuple(h.seq for h in session.holds))
    boots = {r.boot for r in session.records}
    if len(boots) > 1:
        yield Reason(rule="machine_restarted")
