"""Whether records from elsewhere can be a session at all, before anything is made of them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import timedelta
from typing import Final

from engine import present
from engine.facts import (
    STRIKABLE,
    Carried,
    CheckMeasured,
    Record,
    SessionOpened,
    Signed,
    Struck,
    VerdictGiven,
)
from engine.judging.verdict import verdict
from engine.planfile import BadPlan, PlanFile, read_plan
from engine.session import Session, fold
from engine.trouble import Trouble

MOST_RECORDS: Final = 20_000
"""Of a session from elsewhere: a day with a record every four seconds."""
_MOST_STRIKES: Final = 1_000_000
"""Strikes times records, for each strike folds all of them again."""
_YEARS: Final = range(1990, 2200)
_MOST_TICKS: Final = 1e10


class Unbelievable(Trouble):
    """Records that prove themselves, and still cannot be a test's; one line says why."""


def believe(records: Sequence[Record]) -> Session:
    """The session that the records add up to.  Raises Unbelievable.

    What is refused could not have come of a command: a test that does not begin with its opening,
    a plan that cannot be, a strike of what cannot be struck, moments out of all reason.
    """
    for why in _amiss(records):
        raise Unbelievable(why)
    try:
        session = fold(records)
        verdict(session)
        for seq in range(1, len(records) + 1):
            present.record(session, seq)
    except Exception as error:  # whatever it is that was not thought of: it is not taken in
        why = f"it cannot be worked out ({type(error).__name__})"
        raise Unbelievable(why) from error
    return session


def _amiss(records: Sequence[Record]) -> Iterator[str]:
    if not records or not isinstance(records[0].fact, SessionOpened):
        yield "it does not begin with the opening of a test"
        return
    if len(records) > MOST_RECORDS:
        yield f"{len(records)} records, {MOST_RECORDS} are the most"
    strikes = sum(isinstance(record.fact, Struck) for record in records)
    if strikes * len(records) > _MOST_STRIKES:
        yield f"{strikes} records are struck, which is out of all reason"
    yield from _plan_amiss(records[0].fact)
    for record in records[1:]:
        if isinstance(record.fact, SessionOpened):
            yield f"record {record.seq} opens the test a second time"
        yield from _fact_amiss(records, record)
    yield from _moments_amiss(records)
    yield from _measures_amiss(records)


def _plan_amiss(opened: SessionOpened) -> Iterator[str]:
    try:
        read_plan(opened.plan.model_dump(mode="json"))
    except BadPlan as bad:
        yield f"its plan cannot be: {bad.faults[0]}"
    names = [check.id for check in opened.checks]
    if len(set(names)) < len(names):
        yield "two of its checks have one name"


def _fact_amiss(records: Sequence[Record], record: Record) -> Iterator[str]:
    fact, seq = record.fact, record.seq
    if isinstance(fact, Struck) and (
        fact.of >= seq or not isinstance(records[fact.of - 1].fact, STRIKABLE)
    ):
        yield f"record {seq} strikes record {fact.of}, which cannot be struck"
    if isinstance(fact, Signed) and (
        fact.verdict >= seq or not isinstance(records[fact.verdict - 1].fact, VerdictGiven)
    ):
        yield f"record {seq} signs record {fact.verdict}, which is no verdict"


def _moments_amiss(records: Sequence[Record]) -> Iterator[str]:
    for record in records:
        if record.at.year not in _YEARS:
            yield f"record {record.seq} is of the year {record.at.year}"
        elif not (math.isfinite(record.ticks) and abs(record.ticks) < _MOST_TICKS):
            yield f"record {record.seq} has no usable time"
        elif abs(record.at.utcoffset() or timedelta()) > timedelta(hours=16):
            yield f"record {record.seq} is of no time zone on earth"


def _measures_amiss(records: Sequence[Record]) -> Iterator[str]:
    """What was measured in place of a field of the plan fits that field."""
    opened = records[0].fact
    assert isinstance(opened, SessionOpened)
    fields = {check.id: check.field for check in opened.checks if check.field}
    found: list[tuple[int, CheckMeasured | Carried]] = [(1, each) for each in opened.carried]
    found += [(r.seq, r.fact) for r in records if isinstance(r.fact, CheckMeasured)]
    for seq, measured in found:
        field = fields.get(measured.check)
        if field is None or measured.measure is None:
            continue
        if not _fits(opened.plan, field, measured):
            yield f"record {seq} measures {field}, and what it found cannot be"


def _fits(plan: PlanFile, field: str, measured: CheckMeasured | Carried) -> bool:
    section, _, key = field.partition(".")
    whole = "gauges" if section == "gauge" else section
    if whole not in type(plan).model_fields or measured.measure is None:
        return False
    part = plan.gauge if section == "gauge" else getattr(plan, section)
    if key not in getattr(type(part), "model_fields", {}):
        return False
    try:
        read_plan(plan.with_field(field, measured.measure).model_dump(mode="json"))
    except BadPlan:
        return False
    return True
