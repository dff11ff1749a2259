"""What changes no verdict and is not to be hidden: waivers, doubts, top-ups, sightings."""

from __future__ import annotations

from collections.abc import Iterator

from engine.facts import CheckMeasured, Reason
from engine.grades import as_wet_as
from engine.judging.grounds import MOST, of_leak, of_sighting
from engine.judging.holding import corrected, feeds, hidden, holding, levels_of, peak_over_cap
from engine.judging.leaks import counting, pressed, primary_leaks, rig_leaks
from engine.judging.settling import waived
from engine.session import Session
from engine.units import q


def beside(session: Session) -> Iterator[Reason]:
    for check, settlement in waived(session):
        yield Reason(rule="waived", check=check.id, records=(settlement.seq,))
    yield from _measured_again(session)
    yield from _ticked_off(session)
    yield from _seen(session)
    yield from _water(session)
    hold = holding(session)
    if hold and hold.credit.late:
        yield Reason(rule="rests_on_late", measure=q(hold.credit.late, "s"))
    gauge = session.plan.gauge
    if gauge.stop_pin and any(z.mark == gauge.mark and z.psi <= 0 for z in session.water.zeros):
        yield Reason(rule="zero_on_pin")
    if len(session.holds) > 1:
        yield Reason(rule="held_again", records=tuple(h.seq for h in session.holds))
    if session.restarted > float("-inf"):
        yield Reason(rule="machine_restarted")
    if session.clock_set:
        yield Reason(rule="clock_set", records=session.clock_set[:MOST])


def _seen(session: Session) -> Iterator[Reason]:
    leaks = {leak.sighting.seq: leak for leak in primary_leaks(session, session.t)}
    rig = {seen.seq for seen in rig_leaks(session)}
    for seen in session.evidence.sightings:
        if seen.seq in leaks:
            if leaks[seen.seq].state == "dried":
                yield of_leak("drip_dried", leaks[seen.seq])
        elif seen.seq in rig or not as_wet_as(seen.grade, "damp"):
            continue
        elif seen.place == "primary" and not counting(session, seen):
            before = "seen_before_reseating" if pressed(session, seen) else "seen_outside"
            yield of_sighting(before, seen)
        else:
            yield of_sighting("seen_harmless", seen)


def _water(session: Session) -> Iterator[Reason]:
    """What was fed in during a hold, and the highest pressure where it was too high."""
    fed = sorted({f.start[1] for span in session.holds for f in feeds(session, span)})
    if fed:
        allowed = session.plan.procedure.top_ups
        rule = "topped_up" if allowed else "topped_up_forbidden"
        yield Reason(rule=rule, records=tuple(fed[:MOST]))
        unread = sorted({f.start[1] for span in session.holds for f in hidden(session, span)})
        if allowed and unread:
            yield Reason(rule="fed_unread", records=tuple(unread[:MOST]))
    peak = peak_over_cap(session)
    if peak is not None:
        yield Reason(
            rule="over_cap",
            measure=q(corrected(session, peak), "psi"),
            limit=q(levels_of(session, peak.mark).cap, "psi"),
            records=(peak.seq,),
        )


def _measured_again(session: Session) -> Iterator[Reason]:
    """Figures that another took the place of, in one passage of their stage."""
    found: dict[str, list[int]] = {}
    for record in session.records:
        fact = record.fact
        if isinstance(fact, CheckMeasured) and not session.struck(record.seq):
            check = session.check(fact.check)
            if check is not None and record.seq > session.checking.since(check.stage):
                found.setdefault(check.id, []).append(record.seq)
    for name, seqs in found.items():
        if len(seqs) > 1:
            yield Reason(rule="measured_again", check=name, records=tuple(seqs[-MOST:]))


_BURST, _TO_LOOK = 4, 3.0
"""So many checks answered, each in fewer seconds after the one before than it takes to read what it
says and to look (house rule)."""


def _ticked_off(session: Session) -> Iterator[Reason]:
    """Checks that were answered faster than anybody can look: every run of them."""
    checking = session.checking
    answered = [s.seq for s in checking.settled.values() if s.how != "waived"]
    begun = [wait.seq for wait in checking.waits.values()]
    runs: list[list[int]] = []
    for seq in sorted(answered + begun):
        if runs and session.times[seq - 1] - session.times[runs[-1][-1] - 1] < _TO_LOOK:
            runs[-1].append(seq)
        else:
            runs.append([seq])
    for run in runs:
        if len(run) >= _BURST:
            took = session.times[run[-1] - 1] - session.times[run[0] - 1]
            yield Reason(
                rule="ticked_off",
                measure=q(len(run), "count"),
                limit=q(took, "s"),
                records=tuple(run[:MOST]),
            )
