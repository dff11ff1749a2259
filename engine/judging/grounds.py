"""Reasons as they are written down: what a sighting, a leak or a credit gives rise to."""

from __future__ import annotations

from engine.facts import Reason
from engine.judging.holding import Holding
from engine.judging.leaks import Leak
from engine.session.evidence import Reading, Sighting
from engine.units import q

MOST = 1000
"""Records named by one reason; of more, the first and the last."""


def of_sighting(rule: str, seen: Sighting) -> Reason:
    return Reason(
        rule=rule, place=seen.place, clock=seen.clock, grade=seen.grade, records=(seen.seq,)
    )


def of_leak(rule: str, leak: Leak) -> Reason:
    return of_sighting(rule, leak.sighting)


def credited(hold: Holding) -> tuple[Reading, ...]:
    return tuple(r for run in hold.credit.runs for r in run)


def of_credit(rule: str, hold: Holding) -> Reason:
    records = sorted({r.seq for r in credited(hold)})
    return Reason(
        rule=rule,
        measure=q(hold.credit.seconds, "s"),
        limit=q(hold.need, "s"),
        records=tuple([*records[: MOST - 1], *records[-1:]] if len(records) > MOST else records),
    )
