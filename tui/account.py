"""A session as plain data: what `show --json` prints, and what its other form is printed from."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import Any

from engine import facts as f
from engine import present
from engine.facts import Reason
from engine.judging.holding import corrected, holding, levels_of, zero
from engine.judging.settling import waived
from engine.judging.verdict import corrected_after, stands, sureness, verdict
from engine.marks import marks
from engine.session import Session
from engine.session.evidence import Reading, pressure_read
from engine.units import Quantity, amount, stored

Plain = dict[str, Any]
"""JSON: quantities are `[value, "unit"]`, what there is not is null."""


def account(
    name: str,
    session: Session,
    head: str,
    damaged: bool = False,
    kept: Collection[int] | None = None,
) -> Plain:
    """What the records of a session say, by the keys that `show` documents.

    `kept` are the numbers of records of the earlier revisions that are kept, None where that
    cannot be told.
    """
    return {
        "session": name,
        "product": session.plan.joint.name,
        "marks": str(marks(session)) or None,
        "alignment": session.plan.procedure.alignment,
        "units": session.plan.units,
        "stage": session.stage,
        "closed": session.closed,
        "verdict": _verdict(session, damaged),
        "announced": _announced(session),
        "signed": [
            {
                "name": s.name,
                "role": s.role,
                "verdict": s.verdict,
                "record": s.seq,
                "corrected": corrected_after(session, s),
            }
            for s in session.closing.signatures
        ],
        "credit": _credit(session),
        "needed": _needed(session),
        "probability": sureness(session),
        "readings": [_reading(session, r) for r in _readings(session)],
        "sightings": list(_seen(session, f.Sighted)),
        "looks": list(_seen(session, f.Looked)),
        "waivers": [
            {"check": check.id, "text": check.do, "reason": found.answer, "record": found.seq}
            for check, found in waived(session)
        ],
        "revisions": [
            {
                "records": again.seq - 1,
                "record": again.seq,
                "reason": again.text,
                "kept": None if kept is None else again.seq - 1 in kept,
            }
            for again in session.closing.amended
        ],
        "records": session.seq,
        "head": head,
        "practice": session.checking.practice is not None,
    }


def _verdict(session: Session, damaged: bool) -> Plain:
    said = verdict(session, damaged)
    return {
        "outcome": said.outcome,
        "reasons": [_reason(session, reason) for reason in said.reasons],
        "beside": [_reason(session, reason) for reason in said.beside],
    }


def _reason(session: Session, said: Reason) -> Plain:
    return {
        "rule": said.rule,
        "text": present.reason(session, said),
        "measure": _stored(said.measure),
        "limit": _stored(said.limit),
        "place": said.place,
        "clock": said.clock,
        "grade": said.grade,
        "check": said.check,
        "records": list(said.records),
    }


def _stored(quantity: Quantity | None) -> list[float | str] | None:
    return None if quantity is None else stored(quantity)


def _announced(session: Session) -> Plain | None:
    if not session.closing.verdicts:
        return None
    last = session.closing.verdicts[-1]
    return {"outcome": last.outcome, "record": last.seq, "stands": stands(session, last.seq)}


def _credit(session: Session) -> Plain | None:
    hold = holding(session)
    if hold is None:
        return None
    got = hold.credit
    return {"counted": [got.seconds, "s"], "needed": [hold.need, "s"], "late": [got.late, "s"]}


def _needed(session: Session) -> Plain:
    """Of the gauge that governs: true pressures, but `to_read`, which is a mark of its dial."""
    levels = levels_of(session)
    still = zero(session, session.plan.gauge.mark) or 0.0
    return {
        "at_gauge": [levels.needed, "psi"],
        "to_read": [levels.mark_to_read(still), "psi"],
        "cap": [levels.cap, "psi"],
    }


# --- what was read and seen, the struck among it ------------------------------------------------


def _readings(session: Session) -> Sequence[Reading]:
    """In the order in which they were made; a top-up holds two."""
    struck = [r for seq in session.evidence.strikes for r in _struck(session, seq)]
    return sorted([*session.evidence.readings, *struck], key=lambda r: (r.t, r.seq))


def _struck(session: Session, seq: int) -> Iterator[Reading]:
    record, t, dial = session.records[seq - 1], session.times[seq - 1], session.checking.dial
    fact, boot = record.fact, record.boot
    if isinstance(fact, f.PressureRead):
        yield pressure_read(fact, seq, t, boot, dial)
    elif isinstance(fact, f.ToppedUp):
        for written in (fact.before, fact.after):
            yield Reading(seq, t, amount(written, "psi"), written, dial.mark, boot)


def _reading(session: Session, reading: Reading) -> Plain:
    return {
        "seq": reading.seq,
        "t": reading.t,
        "pressure": stored(reading.written),
        "corrected": [corrected(session, reading), "psi"],
        "gauge": reading.mark,
        "struck": session.struck(reading.seq),
        "late": reading.late,
    }


def _seen(session: Session, kind: type[f.Sighted] | type[f.Looked]) -> Iterator[Plain]:
    """In the order in which it was made, as it was written down."""
    found = [
        (session.times[record.seq - 1] - record.fact.ago, record.seq, record.fact)
        for record in session.records
        if isinstance(record.fact, kind)
    ]
    for t, seq, fact in sorted(found, key=lambda each: each[:2]):
        values = fact.model_dump(mode="json", exclude={"kind", "ago"})
        yield {"seq": seq, "t": t, **values, "struck": session.struck(seq)}
