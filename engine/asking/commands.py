"""Everything that can be asked of a session, and the one place that says yes or no.

Observations are refused only where they cannot be understood: what happened is written down.
Claims (a check, a stage, a hold, a waiver, a strike, a verdict, a signature) may be refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, assert_never

from pydantic import ValidationError

from engine import present
from engine.asking.observing import observed
from engine.asking.refusing import Refused, must, said, unfit
from engine.asking.starting import hold_started, wait_started
from engine.checks import Check, Stage, earlier
from engine.clock import Stamp
from engine.facts import (
    STRIKABLE,
    Abandoned,
    Amended,
    CheckConfirmed,
    CheckMeasured,
    CheckWaived,
    Fact,
    Signed,
    StagePassed,
    StageReopened,
    Struck,
    ToppedUp,
    VerdictGiven,
    VolumeAdded,
)
from engine.judging.leaving import in_the_way
from engine.judging.rules import find
from engine.judging.settling import needs_release, settled_for_record, standing
from engine.judging.verdict import stands, verdict
from engine.session import Session
from engine.units import (
    DURATION,
    FLOW,
    LENGTH,
    PRESSURE,
    TEMPERATURE,
    VOLUME,
    Quantity,
    amount,
)

__all__ = [
    "Abandon",
    "Amend",
    "Announce",
    "Command",
    "Confirm",
    "Measure",
    "PassStage",
    "Refused",
    "Reopen",
    "Sign",
    "StartHold",
    "StartWait",
    "Strike",
    "Waive",
    "Write",
    "decide",
]


@dataclass(frozen=True)
class Write:
    """Write down something that was seen or done; a fact as it is."""

    fact: Fact


@dataclass(frozen=True)
class Confirm:
    check: str
    answer: str | None = None


@dataclass(frozen=True)
class Measure:
    check: str
    measure: Quantity


@dataclass(frozen=True)
class Waive:
    check: str
    reason: str


@dataclass(frozen=True)
class StartWait:
    check: str
    ago: float = 0.0


@dataclass(frozen=True)
class PassStage:
    stage: Stage


@dataclass(frozen=True)
class Reopen:
    stage: Stage
    reason: str


@dataclass(frozen=True)
class StartHold:
    pass


@dataclass(frozen=True)
class Strike:
    seq: int
    reason: str


@dataclass(frozen=True)
class Announce:
    """Give the verdict that the records say."""


@dataclass(frozen=True)
class Sign:
    name: str
    witness: bool = False


@dataclass(frozen=True)
class Abandon:
    reason: str


@dataclass(frozen=True)
class Amend:
    reason: str


_Claim = (
    Confirm | Measure | Waive | StartWait | PassStage | Reopen | StartHold
    | Strike | Announce | Sign | Abandon
)  # fmt: skip
Command = Write | Amend | _Claim


def decide(session: Session, command: Command, stamp: Stamp) -> Fact:
    """The fact that `command` makes at that moment, or Refused with the reason."""
    now = session.now(stamp)
    try:
        return _decided(session, command, now)
    except ValidationError as error:
        raise unfit(error) from None


def _decided(session: Session, command: Command, now: float) -> Fact:
    if isinstance(command, Write):
        return observed(session, command.fact, now)
    must(session.opened is not None, "nothing is open: a test begins with its plan")
    if isinstance(command, Amend):
        must(session.closed, "this test is still open: go on with it")
        return Amended(reason=said(command.reason, "why it is taken up again"))
    must(not session.closed or isinstance(command, _AFTER_END), "this test is closed: amend it")
    must(
        session.closing.abandoned is None or not isinstance(command, _GOES_ON),
        "this test was abandoned: what is left is to release the pressure",
    )
    return _claimed(session, command, now)


_AFTER_END: Final = Sign | Announce
_GOES_ON: Final = PassStage | Reopen | StartHold | StartWait | Waive


def _claimed(session: Session, command: _Claim, now: float) -> Fact:
    match command:
        case Confirm():
            return _confirm(session, command, now)
        case Measure():
            return _measure(session, command, now)
        case Waive():
            return _waive(session, command)
        case StartWait():
            return _start_wait(session, command, now)
        case PassStage():
            return _pass(session, command, now)
        case Reopen():
            return _reopen(session, command)
        case StartHold():
            return hold_started(session, now)
        case Strike():
            return _strike(session, command)
        case Announce():
            return _announce(session)
        case Sign():
            return _sign(session, command)
        case Abandon():
            return _abandon(session, command)
        case _:
            assert_never(command)


# --- claims -------------------------------------------------------------------------------------


def _of_stage(session: Session, name: str) -> Check:
    """A check that may be answered now: of this stage, or owed from an earlier one."""
    check = session.check(name)
    if check is None:
        raise Refused(f"there is no check {name!r} in this test")
    must(
        not earlier(session.stage, check.stage),
        f"{present.STAGE[check.stage]} comes later: now it is {present.STAGE[session.stage]}",
    )
    return check


def _confirm(session: Session, command: Confirm, now: float) -> Fact:
    check = _of_stage(session, command.check)
    here = standing(session, check, now)
    _loose(session, check)
    must(
        check.id not in _AFTER_RELEASE or not session.under_pressure,
        f"{present.check(check)}: release the pressure first",
    )
    must(check.kind != "wait", "a wait is over when its time is: it is not confirmed")
    must(check.kind != "measure", f"{present.check(check)}: a figure is asked for")
    if check.kind == "compute":
        must(here.asked or here.settled, present.open_check(session, here))
        must(not here.settled or here.how != "computed", "this is worked out, and it is settled")
    if check.kind == "confirm" and check.rule:
        first = find(session, check.rule)
        must(first.ok is True, f"{present.why(first.why)}: {present.check(check)}")
    if check.asks in ("text", "positions"):
        must(bool(command.answer and command.answer.strip()), f"{present.check(check)}: say it")
    if check.asks != "text" and (command.answer or "").strip().lower() in _NO:
        raise Refused(f"{present.check(check)}: {command.answer!r} is no yes; put it right first")
    return CheckConfirmed(check=check.id, answer=command.answer)


_AFTER_RELEASE: Final = ("drained", "peak_inspected", "no_crack")
_NO: Final = ("no", "n", "not", "air", "bubbles")


def _loose(session: Session, check: Check) -> None:
    """No nut is touched while there may be pressure."""
    must(check.caution != "tighten" or not session.under_pressure, present.NOT_UNDER_PRESSURE)
    must(not needs_release(session, check), present.NOT_UNDER_PRESSURE)


def _measure(session: Session, command: Measure, now: float) -> Fact:
    check = _of_stage(session, command.check)
    _loose(session, check)
    must(check.kind == "measure", f"{present.check(check)}: there is nothing to measure")
    _fits(session, check, command.measure)
    found = find(session, check.rule) if check.rule else None
    least = check.at_least if check.at_least is not None else (found.limit if found else None)
    passed = _passed_limit(command.measure, least, check.at_most)
    limit = passed if passed is not None else least if least is not None else check.at_most
    return CheckMeasured(check=check.id, measure=command.measure, limit=limit, sound=passed is None)


def _passed_limit(
    value: Quantity, least: Quantity | None, most: Quantity | None
) -> Quantity | None:
    """The limit on whose wrong side the figure lies."""
    for limit, sign in ((least, 1), (most, -1)):
        if limit is not None:
            unit = f"{limit.units}"
            short = sign * (amount(limit, unit) - amount(value, unit))
            if short > 1e-9 * max(1.0, abs(amount(limit, unit))):
                return limit
    return None


_ASKED: Final = {
    "length": LENGTH, "pressure": PRESSURE, "temperature": TEMPERATURE, "volume": VOLUME,
    "time": DURATION, "flow": FLOW,
}  # fmt: skip


def _fits(session: Session, check: Check, value: Quantity) -> None:
    """A figure of the right kind that, put into the plan, leaves a plan that can be."""
    wanted = _ASKED.get(check.asks or "")
    right = wanted.holds(value) if wanted else value.dimensionless
    expected = wanted.expected if wanted else "a number"
    must(bool(right), f"{present.quantity(value)} found, expected {expected}")
    if check.field is None:
        return
    changed, section = session.plan.with_field(check.field, value), check.field.partition(".")[0]
    searched = changed.gauge if section == "gauge" else getattr(changed, section)
    for fault in searched.faults():
        raise Refused(f"{present.quantity(value)} cannot be: {fault}")


def _waive(session: Session, command: Waive) -> Fact:
    check = _of_stage(session, command.check)
    must(check.rank != "safety", f"{present.check(check)}: a safety check cannot be waived")
    must(check.id not in ("announced", "signed"), f"{present.check(check)}: cannot be waived")
    return CheckWaived(check=check.id, reason=said(command.reason, "why it is waived"))


def _start_wait(session: Session, command: StartWait, now: float) -> Fact:
    check = _of_stage(session, command.check)
    must(check.kind == "wait", f"{present.check(check)}: there is nothing to wait for")
    return wait_started(session, check.id, command.ago, now)


def _pass(session: Session, command: PassStage, now: float) -> Fact:
    stage = command.stage
    must(stage == session.stage, f"now it is {present.STAGE[session.stage]}")
    open_ = in_the_way(session, stage, now)
    if open_:
        more = f" (and {len(open_) - 1} more)" if len(open_) > 1 else ""
        raise Refused(present.open_check(session, open_[0]) + more)
    if stage == "verdict":
        last = session.closing.verdicts[-1] if session.closing.verdicts else None
        must(
            last is not None and stands(session, last.seq),
            f"the records now say {verdict(session).outcome}: announce it again",
        )
    return StagePassed(stage=stage, settled=settled_for_record(session, stage, now))


def _reopen(session: Session, command: Reopen) -> Fact:
    must(
        not earlier(session.stage, command.stage),
        f"{present.STAGE[command.stage]} has not been passed: now it is "
        f"{present.STAGE[session.stage]}",
    )
    if earlier(command.stage, "hold"):
        must(not session.under_pressure, present.NOT_UNDER_PRESSURE)
    must(
        not session.closing.verdicts or command.stage == "verdict",
        "a verdict was announced: a retest is a test of its own, that follows this one",
    )
    return StageReopened(
        stage=command.stage, reason=said(command.reason, "why the stage is reopened")
    )


def _strike(session: Session, command: Strike) -> Fact:
    must(1 <= command.seq <= session.seq, f"there is no record {command.seq}")
    must(not session.struck(command.seq), f"record {command.seq} is struck already")
    fact = session.records[command.seq - 1].fact
    must(
        isinstance(fact, STRIKABLE),
        f"record {command.seq} is {present.fact_name(fact)}: only evidence and checks are struck",
    )
    must(
        session.checking.practice is None or not isinstance(fact, VolumeAdded | ToppedUp),
        f"record {command.seq} moved water in the practice joint: it cannot be undone",
    )
    return Struck(of=command.seq, reason=said(command.reason, "why it is struck"))


def _announce(session: Session) -> Fact:
    must(
        session.stage == "verdict" or session.closing.abandoned is not None,
        f"the verdict comes last: now it is {present.STAGE[session.stage]}",
    )
    must(not session.under_pressure, present.NOT_UNDER_PRESSURE)
    now = verdict(session)
    return VerdictGiven(outcome=now.outcome, reasons=now.reasons)


def _sign(session: Session, command: Sign) -> Fact:
    last = session.closing.verdicts[-1] if session.closing.verdicts else None
    if last is None:
        raise Refused("there is no verdict to sign yet: announce it first")
    must(
        stands(session, last.seq),
        f"the records now say {verdict(session).outcome}: announce it again",
    )
    name = said(command.name, "who signs")
    return Signed(name=name, role="witness" if command.witness else "technician", verdict=last.seq)


def _abandon(session: Session, command: Abandon) -> Fact:
    must(
        session.closing.abandoned is None or session.taken_up,
        "it is abandoned already: release the pressure",
    )
    return Abandoned(reason=said(command.reason, "why it is abandoned"))
