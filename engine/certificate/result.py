"""What came of the test: outcome, figures and limits, reasons, and what must not be hidden."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from engine.certificate import runs
from engine.certificate.demand import decision_rule, demanded, mark, needed
from engine.certificate.log import Logged, log
from engine.certificate.tree import Row
from engine.certificate.words import plain
from engine.facts import Outcome
from engine.judging.holding import holding, levels_of
from engine.judging.verdict import Verdict, corrected_after, sureness
from engine.present import OUTCOME, duration, number, pressure, reason, time_of_day
from engine.present.quantities import System
from engine.session import Session
from engine.session.closing import Signature

MOST_ALIKE: Final = 5
"""Of one rule so many are told one by one; waivers always."""


def claim(session: Session, outcome: Outcome) -> str:
    """What the outcome says of the joint, in the procedure's own term."""
    term = session.plan.procedure.term
    return {
        "pass": f"The joint was {term} under the conditions stated.",
        "fail": f"The joint was not {term}.",
        "invalid": "Nothing can be said of the joint: the rig or the preparation failed.",
        "undecided": f"The joint was not shown to be {term}, nor that it is not.",
    }[outcome]


def _judged(session: Session) -> tuple[str, tuple[Logged, ...]]:
    """The readings that the lowest and the highest are taken from, and what they are."""
    rows = log(session)
    earned = tuple(r for r in rows if r.how == "credited")
    if earned:
        return "in the credited time", earned
    held = tuple(r for r in rows if r.how not in ("outside the hold", "not counted"))
    return ("in the hold", held) if held else ("in the whole test", rows)


def glance(session: Session) -> tuple[Row, ...]:
    """The figures that the outcome hangs on, each with its limit."""
    return tuple(_glance(session))


def _glance(session: Session) -> Iterator[Row]:
    """In rows of three: what was demanded over what came of it, each figure over its limit."""
    system, procedure, bounds = session.plan.units, session.plan.procedure, levels_of(session)
    hold = holding(session)
    where, rows = _judged(session)
    lowest = min(rows, key=lambda r: r.corrected - r.needed, default=None)
    highest = max(rows, key=lambda r: r.corrected - r.cap, default=None)
    yield Row("Demanded", demanded(session))
    yield Row("Lowest, corrected", _psi(lowest, system), where)
    yield Row("Highest, corrected", _psi(highest, system), where)
    need = duration(hold.need) if hold else ""
    yield Row("Held", f"{duration(hold.credit.seconds)} of {need}" if hold else "no hold")
    yield Row("Needed, at the gauge", pressure(bounds.good_from, system),
              "guard band included" if bounds.guard else "")  # fmt: skip
    yield Row("Cap, at the gauge", pressure(bounds.cap, system), mark(procedure, "cap"))


def _psi(row: Logged | None, system: System) -> str:
    return pressure(row.corrected, system) if row is not None else "not read"


def result(session: Session) -> tuple[Row, ...]:
    return tuple(_result(session))


def _result(session: Session) -> Iterator[Row]:
    hold, system = holding(session), session.plan.units
    if hold is not None:
        end = time_of_day(session, hold.span.end) if hold.span.end is not None else "still running"
        yield Row("Hold", f"{time_of_day(session, hold.span.start)} to {end}")
        if hold.credit.first is not None and hold.credit.last is not None:
            first, last = hold.credit.first.t, hold.credit.last.t
            span = f"{time_of_day(session, first)} to {time_of_day(session, last)}"
            yield Row("Credited", f"{span}: {duration(hold.credit.seconds)} "
                      f"of {duration(hold.need)} needed")  # fmt: skip
        yield from runs.result(session, hold.span)
        late = duration(hold.credit.late) if hold.credit.late else "none"
        yield Row("Rests on late readings", late)
    where, rows = _judged(session)
    if rows:
        lowest = min(rows, key=lambda r: r.corrected - r.needed)
        highest = max(rows, key=lambda r: r.corrected - r.cap)
        yield Row(f"Lowest {where}", _read(session, lowest))
        yield Row(f"Highest {where}", _read(session, highest))
        peak = max(log(session), key=lambda r: r.corrected - r.cap)
        yield Row("Highest of the whole test", _read(session, peak))
    yield Row("Needed at the gauge", needed(session))
    yield Row("Cap at the gauge", pressure(levels_of(session).cap, system))
    ups = session.water.top_ups
    yield Row("Top-ups", str(len(ups)) if ups else "none")


def _read(session: Session, row: Logged) -> str:
    at = f"{row.at:%H:%M:%S}"
    return f"{pressure(row.corrected, session.plan.units)} at {at}, record {row.reading.seq}"


def decision(session: Session) -> str:
    """The rule by which the pressure was judged, and how sure that leaves it."""
    rule = f"Decision rule: {decision_rule(session.plan.procedure)}."
    sure = sureness(session)
    if sure is None:
        return rule
    bounds, system = levels_of(session), session.plan.units
    return (
        f"{rule} Probability that the true pressure was high enough at the lowest reading: "
        f"{percent(sure)} (JCGM 106; standard uncertainty {pressure(bounds.uncertainty, system)})."
    )


def percent(share: float) -> str:
    if share > 0.999:
        return "more than 99.9 %"
    return "less than 0.1 %" if share < 0.001 else f"{number(100 * share, 1)} %"


def reasons(session: Session, said: Verdict) -> tuple[str, ...]:
    return tuple(plain(reason(session, r), 400) for r in said.reasons)


def beside(session: Session, said: Verdict) -> tuple[str, ...]:
    """Waivers first: they are what a reader has to see."""
    ordered = sorted(said.beside, key=lambda r: r.rule != "waived")
    told, more = [], Counter[str]()
    for one in ordered:
        more[one.rule] += 1
        if one.rule == "waived" or more[one.rule] <= MOST_ALIKE:
            told.append(plain(reason(session, one), 280))
    more.pop("waived", None)
    hidden = sum(count - MOST_ALIKE for count in more.values() if count > MOST_ALIKE)
    return (*told, f"{hidden} more of the same kinds stand in the record.") if hidden else (*told,)


def announced(session: Session, said: Verdict) -> str:
    """What was announced, and whether the records still say so."""
    last = session.closing.verdicts[-1] if session.closing.verdicts else None
    if last is None:
        return "No verdict was announced; the one above is what the records say."
    at = time_of_day(session, last.t)
    text = f"{OUTCOME[last.outcome]} was announced at {at} (record {last.seq})"
    if last.outcome != said.outcome:
        return f"{text}; the records do not say so any more."
    return f"{text}, as the records say."


def signatures(session: Session) -> tuple[str, ...]:
    return tuple(_signature(session, s) for s in session.closing.signatures)


def _signature(session: Session, signed: Signature) -> str:
    """A name, what it was put under, and that the records were corrected since."""
    given = {v.seq: OUTCOME[v.outcome] for v in session.closing.verdicts}
    text = (
        f"{plain(signed.name)}, {signed.role}, typed at {time_of_day(session, signed.t)} under "
        f"the verdict of record {signed.verdict} ({given.get(signed.verdict, 'not found')})"
    )
    after = corrected_after(session, signed)
    return text if after is None else f"{text}, before the correction of record {after}"
