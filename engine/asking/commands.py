"""Everything that can be asked of a session, and the one place that says yes or no.

Observations are refused only where they cannot be understood: what happened is written down.
Claims (a check, a stage, a hold, a waiver, a strike, a verdict, a signature) may be refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, assert_never

from pydantic import ValidationError

from engine.asking import answering, concluding
from engine.asking.observing import observed
from engine.asking.refusing import Refused, must, said, unfit
from engine.asking.starting import hold_started
from engine.checks import Stage
from engine.clock import Stamp
from engine.facts import Amended, Fact
from engine.session import Session
from engine.units import Quantity

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
            return answering.confirmed(session, command.check, command.answer, now)
        case Measure():
            return answering.measured(session, command.check, command.measure)
        case Waive():
            return answering.waived(session, command.check, command.reason)
        case StartWait():
            return answering.waiting(session, command.check, command.ago, now)
        case PassStage():
            return concluding.passed(session, command.stage, now)
        case Reopen():
            return concluding.reopened(session, command.stage, command.reason)
        case StartHold():
            return hold_started(session, now)
        case Strike():
            return concluding.struck(session, command.seq, command.reason)
        case Announce():
            return concluding.announced(session)
        case Sign():
            return concluding.signed(session, command.name, command.witness)
        case Abandon():
            return concluding.abandoned(session, command.reason)
        case _:
            assert_never(command)
