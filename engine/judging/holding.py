"""The hold as it stands: what the readings earn, what is missing, when the next one is due."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice, zip_longest
from typing import NamedTuple

from engine.judging.credit import Credit, credit
from engine.judging.leaks import primary_leaks
from engine.levels import Levels
from engine.session import Session
from engine.session.evidence import Reading
from engine.session.session import HoldSpan, Moment
from engine.session.water import Zero
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
    alike: tuple[str, ...] = ()
    """The gauges that count alike, the lower of them; none where one governs."""

    @property
    def complete(self) -> bool:
        return self.credit.completed is not None

    @property
    def missing(self) -> float:
        return max(0.0, self.need - self.credit.seconds)

    @property
    def running(self) -> bool:
        """Credit is being earned: the last reading was good and the hold has not ended."""
        last = self._last
        return self.span.end is None and last is not None and last is self.credit.last

    @property
    def unread(self) -> tuple[str, ...]:
        """Gauges that have to be read and were not."""
        read = {r.mark for r in self.readings}
        return tuple(mark for mark in self.alike if mark not in read)

    @property
    def _last(self) -> Reading | None:
        """The last reading; of several gauges that count alike, of the one read longest ago."""
        if not self.alike:
            return self.readings[-1] if self.readings else None
        lasts = {r.mark: n for n, r in enumerate(self.readings) if r.mark in self.alike}
        return self.readings[min(lasts.values())] if lasts and not self.unread else None

    @property
    def due(self) -> float:
        """When the next reading is due."""
        return (self._last.t if self._last else self.span.start) + self.reading_every

    @property
    def lost_at(self) -> float | None:
        """When the run is lost for want of a reading; shown, never stored."""
        return self._last.t + self.longest_gap if self.running and self._last else None


@lru_cache(maxsize=8)
def _zeros(session: Session) -> Mapping[str, float]:
    """Of each gauge: the zero read last before the hold, or one read since if less favourable."""
    start = session.hold.seq if session.hold else session.seq + 1
    found: dict[str, float] = {}
    for mark in {z.mark for z in session.water.zeros}:
        zeros = zeros_of(session, mark)
        before = [z.psi for z in zeros if z.seq < start][-1:]
        counting = [*before, *(z.psi for z in zeros if z.seq > start)]
        if counting:
            found[mark] = max(counting)
    return found


def zeros_of(session: Session, mark: str) -> tuple[Zero, ...]:
    """Zeros of the gauge that hung under a mark in the hold, and not of one it replaced there."""
    start = session.hold.seq if session.hold else session.seq + 1
    replaced = [g.seq for g in session.checking.fitted if g.mark == mark and g.gauge is not None]
    since = max((seq for seq in replaced if seq < start), default=0)
    until = min((seq for seq in replaced if seq > start), default=session.seq + 1)
    return tuple(z for z in session.water.zeros if z.mark == mark and since < z.seq < until)


def zero(session: Session, mark: str) -> float | None:
    """The gauge's zero in psi; the less favourable of the one before and the one after a hold.

    None where it was never read.
    """
    return _zeros(session).get(mark)


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
    return judge(session)(reading)


def judge(session: Session) -> Callable[[Reading], bool]:
    """`good`, for many readings of one session."""
    limits: dict[str | None, tuple[float, float]] = {}
    voids = session.plan.procedure.over_cap == "void"

    def is_good(reading: Reading) -> bool:
        known = limits.get(reading.mark)
        if known is None:
            bounds = levels_of(session, reading.mark)
            still = zero(session, reading.mark or session.plan.gauge.mark) or 0.0
            most = bounds.cap + still if voids else bounds.scale_ends  # beyond it nobody can read
            most += _TINY
            known = limits[reading.mark] = (bounds.good_from + still - _TINY, most)
        return known[0] <= reading.psi <= known[1]

    return is_good


_TINY = 1e-9  # psi, so that a reading on the mark is on the mark


def counted(session: Session, reading: Reading) -> bool:
    """A reading that may earn credit: of the gauge that governed then, else of any planned; its
    cock open, and in time where the procedure wants that."""
    in_time = session.plan.procedure.late_readings or not reading.late
    return reading.governs and in_time and not session.cut_off((reading.t, reading.seq))


@lru_cache(maxsize=8)
def peak_over_cap(session: Session) -> Reading | None:
    """The reading farthest above the cap; None where the cap was kept."""
    highest: dict[str | None, Reading] = {}
    for reading in session.evidence.readings:
        known = highest.get(reading.mark)
        if known is None or reading.psi > known.psi:
            highest[reading.mark] = reading
    over = {mark: corrected(session, r) - levels_of(session, mark).cap
            for mark, r in highest.items()}  # fmt: skip
    worst = max(over, key=lambda mark: over[mark], default=None)
    return highest[worst] if over and over[worst] > _TINY else None


def disturbed_at(session: Session, before: int | None = None) -> Moment:
    """The moment at which the pocket was last disturbed, so that it has to settle afresh.

    Closed after venting, released, vented again, another gauge fitted, or taken over the cap.
    """
    until = (float("inf"), 0) if before is None else session.moment(before)
    moments = [let_down_at(session, before)]
    if peak_over_cap(session) is not None:
        over = (r for r in reversed(session.evidence.readings)
                if (r.t, r.seq) < until and over_cap(session, r))  # fmt: skip
        moments += [(r.t, r.seq) for r in islice(over, 1)]
    return max(moments)


def let_down_at(session: Session, before: int | None = None) -> Moment:
    """As `disturbed_at`, but for the cap: what was read until then says nothing of the pressure
    now."""
    water, checking = session.water, session.checking
    seqs = [
        *(p.seq for p in checking.passed if p.fact.stage == "vent"),
        *(r.seq for r in water.released),
        *(v.seq for v in water.turns if v.which == "vent" and v.share > 0),
        *(g.seq for g in checking.fitted),
    ]
    until = (float("inf"), 0) if before is None else session.moment(before)
    moments = [session.moment(seq) for seq in seqs]
    return max((m for m in moments if m < until), default=session.moment(0))


def since_over_cap(session: Session, readings: Sequence[Reading]) -> tuple[Reading, ...]:
    """Those after the last one above the cap: what fell from there was let out, or recovered."""
    if peak_over_cap(session) is None:
        return tuple(readings)
    over = [n for n, r in enumerate(readings, 1) if over_cap(session, r)]
    return tuple(readings[over[-1] if over else 0 :])


def over_cap(session: Session, reading: Reading) -> bool:
    """Less its zero, above what the gauge may show at its height."""
    return corrected(session, reading) > levels_of(session, reading.mark).cap + _TINY


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
    is_good = judge(session)
    readings = considered(session, span, begins)
    fed = breaking(session, span)

    def broken(a: Reading, b: Reading) -> bool:
        return fed_between(fed, a, b)

    continuous = procedure.continuity == "continuous"
    alike = alike_gauges(session)
    got = credit(readings, is_good, longest_gap, need, continuous, broken if fed else None, alike)
    every = amount(procedure.reading_every, "s")
    return Holding(span, begins, got, need, readings, longest_gap, every, alike)


def alike_gauges(session: Session) -> tuple[str, ...]:
    """The marks of several gauges of which none governs: then the lower one counts."""
    gauges = session.plan.gauges
    return (
        () if len(gauges) < 2 or any(g.governs for g in gauges) else tuple(g.mark for g in gauges)
    )


def considered(session: Session, span: HoldSpan, begins: float) -> tuple[Reading, ...]:
    """Readings of a hold, from `begins` on, that may earn credit or end a run.

    What may not earn credit, being late or of a doubtful time, may still show a dip.
    """
    is_good = judge(session)
    return tuple(
        r for r in _from(session.evidence.readings, begins)
        if r.governs and (span.end is None or span.holds(r.t, r.seq))
        and ((r.boot and counted(session, r)) or not is_good(r))
    )  # fmt: skip


def _from(readings: Sequence[Reading], t: float) -> Iterator[Reading]:
    return islice(readings, bisect_left(readings, t, key=lambda r: r.t), None)


def breaking(session: Session, span: HoldSpan) -> tuple[Feed, ...]:
    """What let water in during a hold so that credit begins again after it."""
    allowed = session.plan.procedure.top_ups
    return hidden(session, span) if allowed else feeds(session, span)


def hidden(session: Session, span: HoldSpan) -> tuple[Feed, ...]:
    """What a dip may hide behind, in a hold: water that was let in without the pressure before it,
    as a measured volume or for as long as the inlet stood open.

    Whoever waived the closed inlet, as on a head tank, holds with the pressure kept up by it: then
    only what happened at its opening is hidden.
    """
    moments = [session.moment(a.seq) for a in session.water.added if a.ml > 0]
    closed = session.checking.settled.get("inlet_shut")
    by_inlet = list(_by_the_inlet(session, span))
    if closed is not None and closed.how == "waived":
        moments += [feed.start for feed in by_inlet]
        by_inlet = []
    at_once = [Feed(m, m) for m in moments if m[1] > span.seq and span.holds(*m)]
    return tuple(sorted([*at_once, *by_inlet]))


class Feed(NamedTuple):
    """Water went in from `start` to `end`; the same moment where it was at once."""

    start: Moment
    end: Moment


def fed_between(fed: Sequence[Feed], a: Reading, b: Reading) -> bool:
    """Water went in between two readings that follow each other; what was read once a volume was in
    lies after it."""
    at, then = (a.t, a.seq), (b.t, b.seq)
    topped = a.topping == "before" and b.topping == "after"
    added = b.topping == "added"
    return any(
        (at < f.end and (f.start < then or (added and f.start == then)))
        or (topped and f.start == at)
        for f in fed
    )


def feeds(session: Session, span: HoldSpan) -> tuple[Feed, ...]:
    """What let water in during a hold: top-ups, measured volumes, an inlet that stood open."""
    water = session.water
    at_once = [*(u.seq for u in water.top_ups), *(a.seq for a in water.added if a.ml > 0)]
    moments = sorted(session.moment(seq) for seq in at_once)
    fed = [Feed(m, m) for m in moments if m[1] > span.seq and span.holds(*m)]
    return tuple(sorted([*fed, *_by_the_inlet(session, span)]))


def _by_the_inlet(session: Session, span: HoldSpan) -> Iterator[Feed]:
    """From each opening of the inlet to its shutting, as far as that reaches into the hold."""
    inlet = [v for v in session.water.turns if v.which == "inlet"]
    for turn, following in zip_longest(inlet, inlet[1:]):
        opened = session.moment(turn.seq)
        shut = session.moment(following.seq) if following else (float("inf"), 0)
        in_time = opened[1] < span.seq or span.holds(*opened)
        if turn.share > 0 and in_time and shut > (span.start, span.seq):
            yield Feed(opened, shut)
