"""The runs of a hold: good readings as they hang together, each with what ended it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from engine.certificate.tree import Row
from engine.judging.holding import (
    Feed,
    alike_gauges,
    breaking,
    considered,
    corrected,
    fed_between,
    judge,
    levels_of,
)
from engine.judging.leaks import Leak, primary_leaks
from engine.present import clock_position, duration, pressure, time_of_day
from engine.session import Session
from engine.session.evidence import Reading
from engine.session.session import HoldSpan
from engine.units import amount

MOST_TOLD = 4
"""Ends of runs that the result tells; all stand among the tries."""


@dataclass(frozen=True)
class Run:
    """Good readings without a break; `ended` says what came then."""

    readings: tuple[Reading, ...]
    ended: str
    mark: str | None = None
    """The gauge, where several count alike: each earns by itself."""
    broken: bool = True
    """It ended before the hold did."""

    @property
    def seconds(self) -> float:
        return self.readings[-1].t - self.readings[0].t


def runs(session: Session, span: HoldSpan) -> tuple[Run, ...]:
    """Every run of the hold, what earned nothing in the end included; gauge by gauge."""
    marks = alike_gauges(session) or (None,)
    return tuple(run for mark in marks for run in _runs(session, span, mark))


def _runs(session: Session, span: HoldSpan, mark: str | None) -> Iterator[Run]:
    good, breaks = judge(session), _Breaks(session, span)
    run: list[Reading] = []
    for reading in considered(session, span, span.start):
        if mark is not None and reading.mark != mark:
            continue
        sound = good(reading)
        if why := breaks.why(run[-1], reading, sound) if run else "":
            yield Run(tuple(run), why, mark)
            run = []
        if sound:
            run.append(reading)
    if run:
        yield Run(tuple(run), breaks.end, mark, broken=False)


class _Breaks:
    """What can part two readings of a hold."""

    def __init__(self, session: Session, span: HoldSpan) -> None:
        self._session = session
        self._longest = amount(session.plan.procedure.longest_gap, "s")
        self._fed: Sequence[Feed] = breaking(session, span)
        self._dried = [k for k in primary_leaks(session, session.t) if k.dried is not None]
        ended = span.end is not None
        self.end = f"the hold ended with record {span.end_seq}" if ended else "still running"

    def why(self, a: Reading, b: Reading, good: bool) -> str:
        """Why credit does not go on from `a`, which was good, to `b`; empty where it does."""
        if not good:
            return self._bad(b)
        dried = next((k for k in self._dried if a.t < (k.dried or 0.0) <= b.t), None)
        if dried is not None:
            return _dried(dried)
        if a.boot != b.boot:
            return "the machine was restarted"
        if self._fed and fed_between(self._fed, a, b):
            return f"water was fed in before record {b.seq}"
        if b.t - a.t > self._longest + _TINY:
            return f"nothing was read for {duration(b.t - a.t)}, {duration(self._longest)} at most"
        return ""

    def _bad(self, reading: Reading) -> str:
        session = self._session
        value = corrected(session, reading)
        under = value < levels_of(session, reading.mark).good_from
        shown = pressure(value, session.plan.units)
        return f"{shown} with record {reading.seq}, {'below needed' if under else 'over the cap'}"


_TINY = 1e-6  # s, as in crediting


def _dried(leak: Leak) -> str:
    seen = leak.sighting
    where = clock_position(seen.clock)
    return f"{seen.grade} at the primary {where}, record {seen.seq}: again from when it was dry"


def count(session: Session) -> str:
    """`2 holds`, and the runs where one of them had more than one: `1 hold, 3 runs`."""
    each = [max(_numbers(runs(session, span)), default=0) for span in session.holds]
    holds = f"{len(each)} hold{'' if len(each) == 1 else 's'}"
    return f"{holds}, {sum(each)} runs" if any(number > 1 for number in each) else holds


def _numbers(found: Sequence[Run]) -> Iterator[int]:
    """Which run of its gauge each is, from 1 on."""
    seen: Counter[str | None] = Counter()
    for run in found:
        seen[run.mark] += 1
        yield seen[run.mark]


def _named(run: Run, number: int) -> str:
    return f"run {number}" if run.mark is None else f"gauge {run.mark}, run {number}"


def told(session: Session, span: HoldSpan, number: int) -> Iterator[tuple[int, str, str]]:
    """Record, time and what happened, for each run of a hold that was not held in one."""
    found = runs(session, span)
    if not any(run.broken for run in found):
        return
    for place, run in zip(_numbers(found), found, strict=True):
        last = run.readings[-1]
        held = f"Hold {number}, {_named(run, place)}: {duration(run.seconds)}"
        yield last.seq, time_of_day(session, last.t), f"{held}; ended: {run.ended}"


def result(session: Session, span: HoldSpan) -> Iterator[Row]:
    """That the last hold was not held in one run, and what ended those that broke."""
    found = runs(session, span)
    broken = [(n, run) for n, run in zip(_numbers(found), found, strict=True) if run.broken]
    if not broken:
        return
    ends = [f"{_named(run, n)} ended: {run.ended}" for n, run in broken[:MOST_TOLD]]
    ends += [f"and {len(broken) - MOST_TOLD} more"] if len(broken) > MOST_TOLD else []
    yield Row("Runs in the hold", "; ".join([str(len(found)), *ends]))
