"""What is settled, stage by stage: the part of a session that checks hang on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property, partial
from types import MappingProxyType
from typing import Literal, NamedTuple, assert_never

from engine.checks import STAGES, Check, Stage, after, day_of, earlier
from engine.facts import (
    Carried,
    CheckConfirmed,
    Checking,
    CheckMeasured,
    CheckWaived,
    GaugeFitted,
    OpeningMeasured,
    Practice,
    SessionOpened,
    StagePassed,
    StageReopened,
    WaitStarted,
)
from engine.levels import Levels, levels
from engine.plan import Plan, work_out
from engine.planfile import PlanFile
from engine.rig import Gauge
from engine.units import Quantity, amount


class Settlement(NamedTuple):
    """How a check was settled, and by which record."""

    seq: int
    t: float
    how: Literal["confirmed", "measured", "waived"]
    answer: str | None = None
    measure: Quantity | None = None
    limit: Quantity | None = None
    sound: bool = True


class Waiting(NamedTuple):
    seq: int
    t: float
    boot: str


class Passed(NamedTuple):
    seq: int
    t: float
    fact: StagePassed


class Reopened(NamedTuple):
    seq: int
    t: float
    stage: Stage
    reason: str


class Opening(NamedTuple):
    """How wide the joint stood open, in inches, at a clock position, in a stage."""

    seq: int
    t: float
    clock: float
    inches: float
    stage: Stage


class Dial(NamedTuple):
    """The gauge a reading is of where none is named; `alone`: no other counts beside it."""

    mark: str | None = None
    alone: bool = False


class Fitted(NamedTuple):
    seq: int
    t: float
    mark: str
    height: Quantity
    gauge: Gauge | None


@dataclass(frozen=True)
class CheckingPart:
    opened: SessionOpened | None = None
    stage: Stage = "prepare"
    over: bool = False
    """The verdict stage was passed."""
    settled: Mapping[str, Settlement] = field(default_factory=lambda: MappingProxyType({}))
    waits: Mapping[str, Waiting] = field(default_factory=lambda: MappingProxyType({}))
    passed: tuple[Passed, ...] = ()
    reopened: tuple[Reopened, ...] = ()
    openings: tuple[Opening, ...] = ()
    fitted: tuple[Fitted, ...] = ()

    @cached_property
    def plan(self) -> PlanFile:
        """The plan as pinned, with what was measured since in place of what was planned."""
        assert self.opened is not None, "a session begins with its opening"
        plan = self.opened.plan
        for _, change in sorted(self._changes(), key=lambda numbered: numbered[0]):
            plan = change(plan)
        return plan

    def _changes(self) -> Iterator[tuple[int, Callable[[PlanFile], PlanFile]]]:
        """What was measured or fitted, by its record: what came last counts."""
        for check in self.checks:
            found, carried = self.settled.get(check.id), self.carried.get(check.id)
            answer = found or carried
            value = None if answer is None else _value(check, answer.measure, answer.answer)
            if check.field and value is not None:
                change = partial(PlanFile.with_field, field=check.field, value=value)
                yield (found.seq if found else 0), change
        for new in self.fitted:
            fitting = partial(
                PlanFile.with_gauge, mark=new.mark, height=new.height, gauge=new.gauge
            )
            yield new.seq, fitting

    @property
    def checks(self) -> tuple[Check, ...]:
        return self.opened.checks if self.opened else ()

    @cached_property
    def line_bled(self) -> bool:
        """Water stands in the line up to the gauge; taken so where the check is not asked."""
        found = self.settled.get("line_bled")
        return self.check("line_bled") is None or (found is not None and found.how == "confirmed")

    @cached_property
    def levels(self) -> Mapping[str, Levels]:
        """What each gauge must show, by its mark."""
        return {g.mark: levels(self.plan, g, self.line_bled) for g in self.plan.gauges}

    @cached_property
    def worked(self) -> Plan:
        """What the plan works out, with what was measured since."""
        return work_out(self.plan)

    @cached_property
    def dial(self) -> Dial:
        """Which gauge is read now."""
        if self.opened is None:
            return Dial()
        return Dial(self.plan.gauge.mark, any(g.governs for g in self.plan.gauges))

    @property
    def practice(self) -> Practice | None:
        return self.opened.practice if self.opened else None

    def check(self, name: str) -> Check | None:
        return next((c for c in self.checks if c.id == name), None)

    @cached_property
    def carried(self) -> Mapping[str, Carried]:
        """Checks that still stand from earlier; a reopened stage asks them again."""
        if self.opened is None:
            return {}
        asked_again = {c.id for r in self.reopened for c in self.checks
                       if not earlier(c.stage, r.stage)}  # fmt: skip
        return {c.check: c for c in self.opened.carried if c.check not in asked_again}

    def since(self, stage: Stage) -> int:
        """The record with which `stage` was last taken up afresh; 0 from the beginning."""
        return max((r.seq for r in self.reopened if not earlier(stage, r.stage)), default=0)

    def passing(self, stage: Stage) -> Passed | None:
        """How `stage` was last passed, where it is passed now."""
        last = [p for p in self.passed if p.fact.stage == stage and p.seq > self.since(stage)]
        return last[-1] if last else None


def evolve_checking(part: CheckingPart, fact: Checking, seq: int, t: float, boot: str
                    ) -> CheckingPart:  # fmt: skip
    match fact:
        case SessionOpened():
            return replace(part, opened=fact)
        case CheckConfirmed(check=check, answer=answer):
            return _with(part, check, Settlement(seq, t, "confirmed", answer))
        case CheckMeasured(check=check, measure=measure, limit=limit, sound=sound):
            found = Settlement(seq, t, "measured", None, measure, limit, sound)
            return _with(part, check, found)
        case CheckWaived(check=check, reason=reason):
            return _with(part, check, Settlement(seq, t, "waived", reason))
        case WaitStarted(check=check, ago=ago):
            waits = {**part.waits, check: Waiting(seq, t - ago, boot)}
            return replace(part, waits=MappingProxyType(waits))
        case StagePassed(stage=stage):
            following = after(stage)
            return replace(
                part,
                passed=(*part.passed, Passed(seq, t, fact)),
                stage=following or stage,
                over=following is None,
            )
        case StageReopened(stage=stage, reason=reason):
            return _reopened(part, Reopened(seq, t, stage, reason))
        case GaugeFitted(mark=mark, height=height, gauge=gauge):
            return replace(part, fitted=(*part.fitted, Fitted(seq, t, mark, height, gauge)))
        case OpeningMeasured(clock=clock, opening=opening):
            found_open = Opening(seq, t, clock, amount(opening, "in"), part.stage)
            return replace(part, openings=(*part.openings, found_open))
        case _:
            assert_never(fact)


def _value(check: Check, measure: Quantity | None, answer: str | None) -> Quantity | date | None:
    """What was found for a field of the plan: a figure, or a day."""
    return day_of(answer or "") if check.asks == "date" else measure


def _with(part: CheckingPart, check: str, settlement: Settlement) -> CheckingPart:
    return replace(part, settled=MappingProxyType({**part.settled, check: settlement}))


def _reopened(part: CheckingPart, reopened: Reopened) -> CheckingPart:
    """Back to a stage: what was settled there and later is open again."""
    earlier_stages = STAGES[: STAGES.index(reopened.stage)]
    keeps = {c.id for c in part.checks if c.stage in earlier_stages}
    return replace(
        part,
        stage=reopened.stage,
        over=False,
        settled=MappingProxyType({k: v for k, v in part.settled.items() if k in keeps}),
        waits=MappingProxyType({k: v for k, v in part.waits.items() if k in keeps}),
        reopened=(*part.reopened, reopened),
    )
