"""The hold as it stands: what the readings earn, what is missing, when the next one is due."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from engine.credit import Credit, credit
from engine.leaks import primary_leaks
from engine.levels import Levels
from engine.session import Session
from engine.session.evidence import Reading
from engine.session.session import HoldSpan
from engine.units import amount


@dataclass(frozen=True)
class Holding:
    """The last hold of a session; times in seconds since it was opened, pressures in psi."""

    span: HoldSpan
    begins: float
    """Credit counts from here: the start, or when the last drip was seen to have dried."""
    credit: Credit
    need: float
    readings: tuple[Reading, ...]
    longest_gap: float
    reading_every: float

    @property
    def complete(self) -> bool:
        return self.credit.completed is not None

    @property
    def missing(self) -> float:
        return max(0.0, self.need - self.credit.seconds)

    @property
    def running(self) -> bool:
        """Credit is being earned: the last reading was good and the hold has not ended."""
        last = self.readings[-1] if self.readings else None
        return self.span.end is None and last is not None and last is self.credit.last

    @property
    def due(self) -> float:
        """When the next reading is due."""
        return (self.readings[-1].t if self.readings else self.span.start) + self.reading_every

    @property
    def lost_at(self) -> float | None:
        """When the run is lost for want of a reading; shown, never stored."""
        return self.readings[-1].t + self.longest_gap if self.running else None


def zero(session: Session, mark: str) -> float | None:
    """The gauge's zero in psi; the less favourable of the one before and the one after a hold.

    None where it was never read.
    """
    zeros = [z for z in session.water.zeros if z.mark == mark]
    if not zeros:
        return None
    start = session.holds[-1].start if session.holds else float("inf")
    earlier = [z.psi for z in zeros if z.t <= start]
    later = [z.psi for z in zeros if z.t > start]
    return max([*earlier[-1:], *later[-1:]])


def levels_of(session: Session, mark: str | None = None) -> Levels:
    """What a gauge must show in this session; the governing one where no mark is given."""
    known = session.checking.levels
    return known.get(mark or "") or known[session.plan.gauge.mark]


def corrected(session: Session, reading: Reading) -> float:
    """The reading, in psi, less the zero of its gauge."""
    mark = reading.mark or session.plan.gauge.mark
    return reading.psi - (zero(session, mark) or 0.0)


def good(session: Session, reading: Reading) -> bool:
    """At or above what is needed; and at or below the cap where going over it voids."""
    bounds = levels_of(session, reading.mark)
    value = corrected(session, reading)
    if value < bounds.good_from - 1e-9:
        return False
    return session.plan.procedure.over_cap == "credited" or value <= bounds.cap + 1e-9


def counted(session: Session, reading: Reading) -> bool:
    """A reading that may earn credit: of the gauge that governs, else of any gauge planned."""
    governing = [g.mark for g in session.plan.gauges if g.governs]
    if reading.mark and governing and reading.mark not in governing:
        return False
    return session.plan.procedure.late_readings or not reading.late


@lru_cache(maxsize=8)
def holding(session: Session) -> Holding | None:
    """The last hold, credited; None where none was started, or it was undone by going back."""
    span = session.hold
    if span is None:
        return None
    procedure = session.plan.procedure
    need, longest_gap = amount(procedure.hold_time, "s"), amount(procedure.longest_gap, "s")
    dried = [leak.dried for leak in primary_leaks(session, session.t) if leak.dried is not None]
    begins = max([span.start, *dried])
    readings = tuple(
        r for r in session.evidence.readings
        if r.t >= begins and span.holds(r.t, r.seq) and counted(session, r)
    )  # fmt: skip

    def is_good(reading: Reading) -> bool:
        return good(session, reading)

    def broken(a: Reading, b: Reading) -> bool:
        return a.topping == "before" and b.topping == "after" and not procedure.top_ups

    continuous = procedure.continuity == "continuous"
    got = credit(readings, is_good, longest_gap, need, continuous, broken)
    every = amount(procedure.reading_every, "s")
    return Holding(span, begins, got, need, readings, longest_gap, every)
