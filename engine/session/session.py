"""The session: what its records add up to, and the one fold that gets there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property, reduce
from itertools import takewhile
from typing import NamedTuple, assert_never

from engine.checks import Check, Stage
from engine.clock import Axis, Stamp, clock_set
from engine.facts import (
    Checking,
    Closing,
    Evidence,
    Record,
    SessionOpened,
    Struck,
    ToppedUp,
    VolumeAdded,
    Water,
)
from engine.levels import furthest_zero
from engine.planfile import PlanFile
from engine.prefix import Prefix
from engine.session.checking import CheckingPart, evolve_checking
from engine.session.closing import ClosingPart, evolve_closing
from engine.session.evidence import EvidencePart, Reading, evolve_evidence
from engine.session.water import WaterPart, evolve_water
from engine.units import amount

Moment = tuple[float, int]
"""Seconds since the session was opened, and the number of the record: these order everything."""


class HoldSpan(NamedTuple):
    """One hold, in seconds since the session was opened; `end` None while it runs."""

    seq: int
    start: float
    end: float | None = None
    end_seq: int | None = None

    def holds(self, t: float, seq: int) -> bool:
        """What was read at `t` belongs to it; at the very end, only what was written before."""
        if t < self.start or self.end is None or self.end_seq is None:
            return t >= self.start
        return t < self.end or (t == self.end and seq < self.end_seq)


@dataclass(frozen=True)
class Session:
    """All that screens, papers and rules may know of a test."""

    seq: int = 0
    axis: Axis | None = None
    author: str = ""
    checking: CheckingPart = field(default_factory=CheckingPart)
    water: WaterPart = field(default_factory=WaterPart)
    evidence: EvidencePart = field(default_factory=EvidencePart)
    closing: ClosingPart = field(default_factory=ClosingPart)
    records: Prefix[Record] = field(default_factory=Prefix)
    times: Prefix[float] = field(default_factory=Prefix)
    """When each record was written, in seconds since the session was opened."""
    restarted: float = float("-inf")
    """When the first record after the machine's last restart was written."""
    clock_set: tuple[int, ...] = ()
    """Records before which somebody set the wall clock: times of day around them are doubtful,
    durations are not."""

    def __hash__(self) -> int:
        """By number of records: equal sessions hash alike, and what is derived can be cached."""
        return hash(self.seq)

    @property
    def opened(self) -> SessionOpened | None:
        return self.checking.opened

    @property
    def plan(self) -> PlanFile:
        return self.checking.plan

    @property
    def stage(self) -> Stage:
        return self.checking.stage

    @property
    def by(self) -> str:
        """Who writes the next record."""
        return self.evidence.handed_to or self.author

    @property
    def t(self) -> float:
        """When the last record was written."""
        return self.axis.t if self.axis else 0.0

    def now(self, stamp: Stamp) -> float:
        """A moment on the session's own time."""
        return self.axis.at(stamp) if self.axis else 0.0

    def check(self, name: str) -> Check | None:
        return self.checking.check(name)

    def struck(self, seq: int) -> bool:
        return seq in self.evidence.strikes

    def moment(self, seq: int) -> Moment:
        """When record `seq` was written; moments compare in the order in which things were."""
        return (self.times[seq - 1], seq) if 0 < seq <= len(self.times) else (float("-inf"), 0)

    @property
    def taken_up(self) -> bool:
        """Closed once, and amended since."""
        ended = [p.seq for p in self.checking.passed if p.fact.stage == "verdict"]
        if self.closing.abandoned is not None:
            ended.append(self.closing.abandoned.seq)
        amended = self.closing.amended[-1].seq if self.closing.amended else 0
        return bool(ended) and amended > max(ended)

    @property
    def closed(self) -> bool:
        """Nothing more is to be done: the verdict stage was passed, or it was abandoned and is
        without pressure."""
        abandoned = self.closing.abandoned is not None and not self.under_pressure
        return (self.checking.over or abandoned) and not self.taken_up

    @cached_property
    def at_rest(self) -> float:
        """A gauge that shows no more than this, in psi as read, may be without pressure."""
        return self.at_rest_before(self.seq + 1)

    def at_rest_before(self, seq: int, mark: str | None = None) -> float:
        """As `at_rest`, by the zero that was read last before record `seq`; of the governing gauge
        where no mark is given."""
        if not self.opened:
            return 0.0
        gauge = next((g for g in self.plan.gauges if g.mark == mark), self.plan.gauge)
        replaced = [g.seq for g in self.checking.fitted if g.mark == gauge.mark and g.gauge]
        since = max((n for n in replaced if n < seq), default=0)
        zeros = [z.psi for z in self.water.zeros if z.mark == gauge.mark and since < z.seq < seq]
        # A zero farther off is no zero: mistyped, or of a gauge whose word is worth nothing.
        believed = [min(psi, furthest_zero(gauge)) for psi in zeros[-1:]]
        return max([0.0, *believed]) + 2 * amount(gauge.graduation, "psi")

    def cut_off(self, moment: Moment) -> bool:
        """The gauge's cock was shut then: it showed what stood in it, and nothing of the pocket."""
        turns = [v for v in self.water.cock if self.moment(v.seq) <= moment]
        return bool(turns) and turns[-1].share == 0

    @cached_property
    def under_pressure(self) -> bool:
        """There may be pressure in the pocket: something raised it since it was last released."""
        ways = [self.moment(r.seq) for r in self.water.released
                if r.quiet and r.psi <= self.at_rest_before(r.seq) + 1e-9
                and not self.cut_off(self.moment(r.seq))]  # fmt: skip
        released = max(ways, default=self.moment(0))
        let_in = [
            *(v.seq for v in self.water.turns if v.which == "inlet" and v.share > 0),
            *(p.seq for p in self.checking.passed if p.fact.stage in ("fill", "vent")),
        ]
        return max(let_in, default=0) > released[1] or self.raised_after(released[1]) is not None

    def raised_after(self, seq: int) -> Moment | None:
        """When the first sign of pressure after record `seq` was: read, topped up or held."""
        acts = [
            *(a.seq for a in self.water.added if a.ml > 0),
            *(u.seq for u in self.water.top_ups),
            *(h.seq for h in self.water.started),
        ]
        since = self.moment(seq)
        later = takewhile(lambda r: (r.t, r.seq) > since, reversed(self.evidence.readings))
        signs = [self.moment(act) for act in acts if act > seq]
        signs += [(r.t, r.seq) for r in later if r.psi > self.at_rest]
        return min(signs, default=None)

    @cached_property
    def vented_shut(self) -> float | None:
        """When the pocket was last closed after venting; None where it stands open."""
        passing = self.checking.passing("vent")
        return passing.t if passing else None

    @cached_property
    def holds(self) -> tuple[HoldSpan, ...]:
        """Every hold that was started, in order."""
        ends = sorted(
            [
                *((s.seq, s.t) for s in self.water.started),
                *((r.seq, r.t) for r in self.checking.reopened),
                *((p.seq, p.t) for p in self.checking.passed if p.fact.stage == "hold"),
                *((f.seq, f.t) for f in self.checking.fitted),
                *((r.seq, r.t) for r in self.water.released),
                *((v.seq, v.t) for v in self.water.turns if v.which == "vent" and v.share > 0),
                *([self.closing.abandoned[:2]] if self.closing.abandoned else []),
            ]
        )
        spans = []
        for seq, start, _ in self.water.started:
            end_seq, end = next((e for e in ends if e[0] > seq), (None, None))
            spans.append(HoldSpan(seq, start, end, end_seq))
        return tuple(spans)

    @property
    def hold(self) -> HoldSpan | None:
        """The last hold that was started; reopening an earlier stage undoes it."""
        last = self.holds[-1] if self.holds else None
        return last if last and last.seq > self.checking.since("hold") else None


def evolve(session: Session, record: Record) -> Session:
    """The session after `record`.  Never refuses: what is recorded has happened."""
    fact, seq, boot = record.fact, record.seq, record.boot
    session = _passed_by(session, record)
    t = session.t
    if isinstance(fact, Checking):
        part = evolve_checking(session.checking, fact, seq, t, boot)
        return replace(session, checking=part)
    if isinstance(fact, Water):
        water = evolve_water(session.water, fact, seq, t, boot)
        evidence = _with_readings(session, fact, seq, t, boot)
        return replace(session, water=water, evidence=evidence)
    if isinstance(fact, Evidence):
        known = boot if t - getattr(fact, "ago", 0.0) >= session.restarted else ""
        found = evolve_evidence(session.evidence, fact, seq, t, known, session.checking.dial)
        changed = replace(session, evidence=found)
        return _without_struck(changed) if isinstance(fact, Struck) else changed
    if isinstance(fact, Closing):
        return replace(session, closing=evolve_closing(session.closing, fact, seq, t))
    assert_never(fact)


def fold(records: Iterable[Record], start: Session | None = None) -> Session:
    return reduce(evolve, records, start or Session())


def _passed_by(session: Session, record: Record) -> Session:
    """Time and number move on with every record, counted or struck."""
    last = session.axis
    axis = last.moved(record.stamp) if last else Axis(record.stamp)
    again = last is not None and last.last.boot != record.boot
    set_ = last is not None and clock_set(last.last, record.stamp) != 0.0
    return replace(
        session,
        seq=record.seq,
        axis=axis,
        author=session.author or record.by,
        records=session.records.plus(record),
        times=session.times.plus(axis.t),
        restarted=axis.t if again else session.restarted,
        clock_set=(*session.clock_set, record.seq) if set_ else session.clock_set,
    )


def _with_readings(session: Session, fact: Water, seq: int, t: float, boot: str) -> EvidencePart:
    """Both ends of a top-up are readings, so that it cannot hide a dip; and so is what the gauge
    shows after a measured volume."""
    mark = session.checking.dial.mark
    if isinstance(fact, VolumeAdded):
        shown = fact.after
        added = Reading(seq, t, amount(shown, "psi"), shown, mark, boot, topping="added")
        return session.evidence.read(added)
    if not isinstance(fact, ToppedUp):
        return session.evidence
    before, after = fact.before, fact.after
    low = Reading(seq, t, amount(before, "psi"), before, mark, boot, topping="before")
    high = Reading(seq, t, amount(after, "psi"), after, mark, boot, topping="after")
    return session.evidence.read(low).read(high)


def _without_struck(session: Session) -> Session:
    """The session as if the struck records had never been: a fold that passes them by."""
    strikes = session.evidence.strikes
    again = Session()
    for record in session.records:
        if record.seq in strikes or isinstance(record.fact, Struck):
            again = _passed_by(again, record)
        else:
            again = evolve(again, record)
    return replace(again, evidence=replace(again.evidence, strikes=strikes))
