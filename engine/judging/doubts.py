"""What keeps a verdict open: checks owed, gauges in doubt, looks and credit that are missing."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from engine.facts import Reason
from engine.judging.grounds import of_credit, of_leak, of_sighting
from engine.judging.holding import Holding, corrected, holding, levels_of, zeros_of
from engine.judging.leaks import primary_leaks, rig_leaks
from engine.judging.looks import (
    looks_at_end,
    looks_before_end,
    looks_during,
    proven_at_end,
    unexplained,
)
from engine.judging.rules import find
from engine.judging.settling import owed
from engine.judging.trapped import over_limit
from engine.levels import error_limit, furthest_zero
from engine.session import Session
from engine.session.evidence import Reading
from engine.units import amount, q


def doubts(session: Session, hold: Holding | None) -> Iterator[Reason]:
    if session.closing.abandoned is not None:
        yield Reason(rule="abandoned", records=(session.closing.abandoned.seq,))
    elif session.stage != "verdict":
        yield Reason(rule="unfinished")
    for check in owed(session):
        if check.id not in _SAID_BY_A_RULE:
            yield Reason(rule="check_owed", check=check.id)
    yield from _overdue(session, hold)
    for leak in primary_leaks(session, session.t):
        if leak.state == "open":
            yield of_leak("drip_open", leak)
    for seen in rig_leaks(session):
        yield of_sighting("rig_leak_open", seen)
    yield from _gauge_points(session)
    yield from _air_points(session)
    if hold is None:
        yield Reason(rule="no_hold")
    elif not hold.complete:
        yield of_credit("credit_short", hold)
    else:
        yield from _look_points(session, hold)


def _overdue(session: Session, hold: Holding | None) -> Iterator[Reason]:
    """Gauges of the hold, out of calibration on the day of the test or of the hold."""
    marks = {r.mark for r in hold.readings} if hold else set()
    days = [1, hold.span.seq] if hold else [1]
    for gauge in session.plan.gauges:
        due = gauge.calibration_due
        if due is None or gauge.mark not in (marks or {session.plan.gauge.mark}):
            continue
        late = tuple(n for n in days if session.records[n - 1].at.date() > due)
        if late:
            yield Reason(rule="gauge_overdue", records=late)


_SAID_BY_A_RULE = frozenset(
    {"needle_rose", "needle_fell", "credit", "looked_during", "looked_at_end", "gauge_zeroed"}
)


def _air_points(session: Session) -> Iterator[Reason]:
    """Known air above what the procedure allows: leaking air is not seen, and yields a lot."""
    found = over_limit(session)
    if found is not None and found.share is not None:
        measure = q(round(amount(found.share, "percent"), 2), "percent")
        yield Reason(
            rule="air_over_limit",
            measure=measure,
            limit=session.plan.procedure.air_limit,
            records=found.records,
        )


def _gauge_points(session: Session) -> Iterator[Reason]:
    hold = holding(session)
    marks = sorted({str(r.mark) for r in hold.readings} if hold else ())
    for mark in marks or [session.plan.gauge.mark]:
        yield from _zero_points(session, mark)
        yield from _height_points(session, mark)
    if hold is not None and hold.unread:
        yield Reason(rule="gauge_unread")
    step = levels_of(session).graduation
    if session.stage == "verdict":
        # Waiving the check changes nothing here: a dead gauge must not pass.
        for rule in ("needle_rose", "needle_fell"):
            if not find(session, rule).ok:
                yield Reason(rule=f"{rule}_not", limit=q(step, "psi"))
    for a, b, apart, limit in disagreements(session):
        yield Reason(
            rule="gauges_disagree",
            measure=q(apart, "psi"),
            limit=q(limit, "psi"),
            records=(a.seq, b.seq),
        )


def _zero_points(session: Session, mark: str) -> Iterator[Reason]:
    """The zero of a gauge before the hold, beside each one read since."""
    start = session.hold.seq if session.hold else session.seq + 1
    zeros = zeros_of(session, mark)
    step = levels_of(session, mark).graduation
    earlier = [z for z in zeros if z.seq < start][-1:]
    if not earlier:
        yield Reason(rule="gauge_not_zeroed")
    for before in earlier:
        most = next((furthest_zero(g) for g in session.plan.gauges if g.mark == mark), 0.0)
        if abs(before.psi) > most + 1e-9:
            yield Reason(
                rule="far_off_zero",
                measure=q(before.psi, "psi"),
                limit=q(most, "psi"),
                records=(before.seq,),
            )
        for after in zeros:
            if after.seq > start and abs(after.psi - before.psi) > step + 1e-9:
                yield Reason(
                    rule="zero_shifted",
                    measure=q(after.psi - before.psi, "psi"),
                    limit=q(step, "psi"),
                    records=(before.seq, after.seq),
                )


def _height_points(session: Session, mark: str) -> Iterator[Reason]:
    """A gauge that may hang below the port shows more than there is at the datum."""
    height = next((g.height for g in session.plan.gauges if g.mark == mark), None)
    if height is None and session.plan.procedure.datum != "gauge":
        yield Reason(rule="gauge_height_unknown")


def disagreements(session: Session) -> Iterator[tuple[Reading, Reading, float, float]]:
    """Readings of two gauges in the hold, within a minute of each other, that differ, brought to
    one height, by more than both limits of error together; in psi."""
    if len(session.plan.gauges) < 2:
        return
    hold = session.hold
    gauges = {g.mark: g for g in session.plan.gauges}
    steady = [r for r in session.evidence.readings if hold and hold.holds(r.t, r.seq)]
    for a, b in pairwise(steady):
        marks = [r.mark or session.plan.gauge.mark for r in (a, b)]
        if marks[0] == marks[1] or b.t - a.t > 60 or not all(m in gauges for m in marks):
            continue
        above = [corrected(session, r) - levels_of(session, r.mark).needed for r in (a, b)]
        limit = sum(error_limit(gauges[m], r.psi) for m, r in zip(marks, (a, b), strict=True))
        if abs(above[0] - above[1]) > limit:
            yield a, b, abs(above[0] - above[1]), limit


def _look_points(session: Session, hold: Holding) -> Iterator[Reason]:
    if not looks_before_end(session, hold):
        yield Reason(rule="not_looked_during")
    if not proven_at_end(session, hold):
        early = tuple(k.seq for k in looks_at_end(session, hold))
        yield Reason(rule="no_reading_after_look" if early else "not_looked_at_end", records=early)
    for look in unexplained(session):
        yield Reason(rule="wet_unexplained", records=(look.seq,))
    every, widest = session.plan.procedure.look_every, _widest_look(session, hold)
    if every is not None and widest > amount(every, "s") + 1e-6:
        yield Reason(rule="looks_too_far_apart", measure=q(widest, "s"), limit=every)


def _widest_look(session: Session, hold: Holding) -> float:
    """The longest time within a credited run in which nobody looked, in seconds."""
    looks = [k.t for k in looks_during(session, hold)]
    stretches = [
        b - a
        for run in hold.credit.runs
        for a, b in pairwise(
            [run[0].t, *(t for t in looks if run[0].t <= t <= run[-1].t), run[-1].t]
        )
    ]
    return max(stretches, default=0.0)
