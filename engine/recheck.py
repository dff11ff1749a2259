"""Gauges: which are due, and which past verdicts hang on one that was found wrong afterwards."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final, Literal

from engine.facts import Outcome, Reason
from engine.judging.holding import corrected, holding, levels_of
from engine.judging.verdict import verdict
from engine.prefix import Prefix
from engine.session import Session
from engine.session.evidence import Reading
from engine.units import Quantity, amount

SOON: Final = 30
"""Days before the due date from which a gauge is said to be due (house rule)."""

State = Literal["out of date", "due", "in date", "no date"]
_ORDER: Final[tuple[State, ...]] = ("out of date", "no date", "due", "in date")


@dataclass(frozen=True)
class GaugeDate:
    mark: str
    state: State
    due: dt.date | None
    days: int | None
    """Until it is due; negative once it is past."""


def gauges_due(
    gauges: Iterable[Mapping[str, Any]], today: dt.date, soon: int = SOON
) -> tuple[GaugeDate, ...]:
    """Every gauge of a catalogue by when it is due, the most pressing first.

    Each as its entry has it, with `mark` and `calibration_due`.
    """
    found = [_gauge_date(gauge, today, soon) for gauge in gauges]
    return tuple(sorted(found, key=lambda g: (_ORDER.index(g.state), g.days or 0, g.mark)))


def _gauge_date(gauge: Mapping[str, Any], today: dt.date, soon: int) -> GaugeDate:
    mark, due = str(gauge.get("mark", "")), _date(gauge.get("calibration_due"))
    if due is None:
        return GaugeDate(mark, "no date", None, None)
    days = (due - today).days
    state: State = "out of date" if days < 0 else "due" if days <= soon else "in date"
    return GaugeDate(mark, state, due, days)


def _date(value: object) -> dt.date | None:
    if isinstance(value, dt.date):
        return value
    try:
        return dt.date.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None


# --- a gauge found wrong ------------------------------------------------------------------------


@dataclass(frozen=True)
class Recheck:
    """What becomes of one verdict when the gauge's error is taken off its readings."""

    session: str
    before: Outcome
    after: Outcome
    reasons: tuple[Reason, ...]
    """Of the verdict as it would be."""
    margin: float | None
    """Lowest corrected reading of the hold above what was needed, in psi, the error taken off."""

    @property
    def turns(self) -> bool:
        return self.before != self.after


def hang_on(
    sessions: Iterable[tuple[str, Session]],
    mark: str,
    reads_high_by: Quantity,
    since: dt.date | None = None,
) -> Iterator[Recheck]:
    """The verdicts of all closed tests in which the gauge was read, as they are and as they would
    be had it read true.

    `reads_high_by` is the error at the test's pressure that its zero does not show, for a zero was
    taken off every reading already; negative where the gauge reads low. Since a day: the last on
    which the gauge was known to be right.
    """
    for identity, session in sessions:
        if not session.closed or (since and session.records[0].at.date() < since):
            continue
        if mark not in {_mark(session, reading) for reading in session.evidence.readings}:
            continue
        true = as_if_true(session, mark, reads_high_by)
        would_be = verdict(true)
        yield Recheck(
            identity, verdict(session).outcome, would_be.outcome, would_be.reasons, _margin(true)
        )


def lost_passes(rechecks: Iterable[Recheck]) -> tuple[Recheck, ...]:
    """The passes that no longer stand."""
    return tuple(r for r in rechecks if r.before == "pass" and r.turns)


def as_if_true(session: Session, mark: str, reads_high_by: Quantity) -> Session:
    """The session with the gauge's error taken off its readings.  Nothing is written.

    Readings of a gauge at rest stay: there its zero was seen, and the error was not. At rest by
    its zero as it then was; one read later says nothing of what was no pressure before.
    """
    error = amount(reads_high_by, "psi")

    def true(reading: Reading) -> Reading:
        of_it = _mark(session, reading) == mark
        if not of_it or reading.psi <= session.at_rest_before(reading.seq, mark):
            return reading
        return reading._replace(psi=reading.psi - error)

    readings = Prefix(map(true, session.evidence.readings))
    return replace(session, evidence=replace(session.evidence, readings=readings))


def _mark(session: Session, reading: Reading) -> str:
    return reading.mark or session.plan.gauge.mark


def _margin(session: Session) -> float | None:
    hold = holding(session)
    if hold is None or not hold.readings:
        return None
    return min(corrected(session, r) - levels_of(session, r.mark).good_from for r in hold.readings)
