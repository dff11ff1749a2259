"""Everything that can be asked of a session, and the one place that says yes or no.

Observations are refused only where they cannot be understood: what happened is written down.
Claims (a check, a stage, a hold, a waiver, a strike, a verdict, a signature) may be refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, assert_never

from engine import present
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
    GaugeZeroed,
    HoldStarted,
    Mended,
    PressureReleased,
    SessionOpened,
    Signed,
    StagePassed,
    StageReopened,
    Struck,
    VerdictGiven,
    WaitStarted,
)
from engine.holding import good, levels_of
from engine.rules import find
from engine.session import Session
from engine.settling import settled_for_record, standing, stopping
from engine.trouble import Trouble
from engine.units import Quantity, amount
from engine.verdict import stands, verdict


class Refused(Trouble):  # noqa: N818 - read aloud where it is raised
    """No, and why, in one line for people."""


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
    if isinstance(command, Write):
        return _written(session, command.fact)
    _must(session.opened is not None, "nothing is open: a test begins with its plan")
    if isinstance(command, Amend):
        _must(session.closed, "this test is still open: go on with it")
        return Amended(reason=_text(command.reason, "why it is taken up again"))
    _must(not session.closed or isinstance(command, Sign), "this test is closed: amend it first")
    return _claimed(session, command, now)


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
            return _start_hold(session, now)
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


def _must(condition: bool, why: str) -> None:
    if not condition:
        raise Refused(why)


def _text(text: str, what: str) -> str:
    said = " ".join(text.split())
    _must(bool(said), f"say {what}")
    return said


# --- observations -------------------------------------------------------------------------------


def _written(session: Session, fact: Fact) -> Fact:
    if isinstance(fact, SessionOpened):
        _must(session.opened is None, "this test is open already")
        return fact
    _must(session.opened is not None, "nothing is open: a test begins with its plan")
    _must(not isinstance(fact, _CLAIMS), "this has to be asked for, not written down")
    _must(not session.closed, "this test is closed: amend it first")
    if isinstance(fact, GaugeZeroed):
        _must(not session.under_pressure, present.NOT_UNDER_PRESSURE)
    if isinstance(fact, Mended):
        _must(not session.under_pressure, present.NOT_UNDER_PRESSURE)
    if isinstance(fact, PressureReleased) and fact.vent_quiet:
        limit = amount(session.plan.gauge.graduation, "psi") * 2
        _must(
            amount(fact.gauge, "psi") <= limit,
            f"the gauge still shows {present.quantity(fact.gauge)}: go on bleeding",
        )
    return fact


_CLAIMS: Final = (
    CheckConfirmed | CheckMeasured | CheckWaived | WaitStarted | StagePassed | StageReopened
    | HoldStarted | Struck | VerdictGiven | Signed | Abandoned | Amended
)  # fmt: skip


# --- claims -------------------------------------------------------------------------------------


def _of_stage(session: Session, name: str) -> Check:
    """A check that may be answered now: of this stage, or owed from an earlier one."""
    check = session.check(name)
    if check is None:
        raise Refused(f"there is no check {name!r} in this test")
    _must(
        not earlier(session.stage, check.stage),
        f"{present.STAGE[check.stage]} comes later: now it is {present.STAGE[session.stage]}",
    )
    return check


def _confirm(session: Session, command: Confirm, now: float) -> Fact:
    check = _of_stage(session, command.check)
    here = standing(session, check, now)
    _must(check.kind != "wait", "a wait is over when its time is: it is not confirmed")
    _must(check.kind != "measure", f"{present.check(check)}: a figure is asked for")
    if check.kind == "compute":
        _must(here.asked or here.settled, present.open_check(session, here))
        _must(not here.settled or here.how != "computed", "this is worked out, and it is settled")
    if check.asks == "text":
        _must(bool(command.answer and command.answer.strip()), f"{present.check(check)}: say it")
    return CheckConfirmed(check=check.id, answer=command.answer)


def _measure(session: Session, command: Measure, now: float) -> Fact:
    check = _of_stage(session, command.check)
    _must(check.kind == "measure", f"{present.check(check)}: there is nothing to measure")
    found = find(session, check.rule) if check.rule else None
    least = check.at_least if check.at_least is not None else (found.limit if found else None)
    most, value = check.at_most, command.measure
    sound = True
    for limit, sign in ((least, 1), (most, -1)):
        if limit is not None:
            unit = f"{limit.units}"
            short = sign * (amount(limit, unit) - amount(value, unit))
            sound = sound and short <= 1e-9 * max(1.0, abs(amount(limit, unit)))
    return CheckMeasured(
        check=check.id, measure=value, limit=least if least is not None else most, sound=sound
    )


def _waive(session: Session, command: Waive) -> Fact:
    check = _of_stage(session, command.check)
    _must(check.rank != "safety", f"{present.check(check)}: a safety check cannot be waived")
    _must(check.id not in ("announced", "signed"), f"{present.check(check)}: cannot be waived")
    return CheckWaived(check=check.id, reason=_text(command.reason, "why it is waived"))


def _start_wait(session: Session, command: StartWait, now: float) -> Fact:
    check = _of_stage(session, command.check)
    _must(check.kind == "wait", f"{present.check(check)}: there is nothing to wait for")
    if check.id == "settle":
        _at_pressure(session)
    return WaitStarted(check=check.id, ago=command.ago)


def _pass(session: Session, command: PassStage, now: float) -> Fact:
    stage = command.stage
    _must(stage == session.stage, f"now it is {present.STAGE[session.stage]}")
    open_ = stopping(session, stage, now)
    if stage == "hold" and verdict(session).outcome in ("fail", "invalid"):
        open_ = tuple(s for s in open_ if s.check.rank == "safety")
    if open_:
        more = f" (and {len(open_) - 1} more)" if len(open_) > 1 else ""
        raise Refused(present.open_check(session, open_[0]) + more)
    if stage == "verdict":
        last = session.closing.verdicts[-1]
        _must(
            stands(session, last.seq),
            f"the records now say {verdict(session).outcome}: announce it again",
        )
    return StagePassed(stage=stage, settled=settled_for_record(session, stage, now))


def _reopen(session: Session, command: Reopen) -> Fact:
    _must(
        not earlier(session.stage, command.stage),
        f"{present.STAGE[command.stage]} has not been passed: now it is "
        f"{present.STAGE[session.stage]}",
    )
    if command.stage in ("prepare", "seal", "fill"):
        _must(not session.under_pressure, present.NOT_UNDER_PRESSURE)
    return StageReopened(
        stage=command.stage, reason=_text(command.reason, "why the stage is reopened")
    )


def _start_hold(session: Session, now: float) -> Fact:
    _must(
        session.stage == "hold",
        f"the hold comes after the vent: now it is {present.STAGE[session.stage]}",
    )
    _at_pressure(session)
    for name in ("inlet_shut", "settle"):
        check = session.check(name)
        if check is not None:
            here = standing(session, check, now)
            _must(here.settled, present.open_check(session, here))
    return HoldStarted()


def _at_pressure(session: Session) -> None:
    last = session.evidence.readings[-1] if session.evidence.readings else None
    wanted = present.pressure(levels_of(session).good_from, session.plan.units)
    _must(last is not None and good(session, last), f"not at pressure: read {wanted} or more first")


def _strike(session: Session, command: Strike) -> Fact:
    _must(1 <= command.seq <= session.seq, f"there is no record {command.seq}")
    _must(not session.struck(command.seq), f"record {command.seq} is struck already")
    fact = session.records[command.seq - 1].fact
    _must(
        isinstance(fact, STRIKABLE),
        f"record {command.seq} is {present.fact_name(fact)}: only evidence and checks are struck",
    )
    return Struck(of=command.seq, reason=_text(command.reason, "why it is struck"))


def _announce(session: Session) -> Fact:
    _must(
        session.stage == "verdict" or session.closing.abandoned is not None,
        f"the verdict comes last: now it is {present.STAGE[session.stage]}",
    )
    _must(not session.under_pressure, present.NOT_UNDER_PRESSURE)
    said = verdict(session)
    return VerdictGiven(outcome=said.outcome, reasons=said.reasons)


def _sign(session: Session, command: Sign) -> Fact:
    last = session.closing.verdicts[-1] if session.closing.verdicts else None
    if last is None:
        raise Refused("there is no verdict to sign yet: announce it first")
    _must(
        stands(session, last.seq),
        f"the records now say {verdict(session).outcome}: announce it again",
    )
    name = _text(command.name, "who signs")
    return Signed(name=name, role="witness" if command.witness else "technician", verdict=last.seq)


def _abandon(session: Session, command: Abandon) -> Fact:
    _must(session.closing.abandoned is None, "it is abandoned already: release the pressure")
    return Abandoned(reason=_text(command.reason, "why it is abandoned"))
