"""How stages and tests are left or gone back to: passed, reopened, struck, announced, signed."""

from __future__ import annotations

from typing import Literal

from engine import present
from engine.asking.refusing import Refused, must, said
from engine.checks import Stage, earlier
from engine.facts import (
    STRIKABLE,
    Abandoned,
    Signed,
    StagePassed,
    StageReopened,
    Struck,
    ToppedUp,
    VerdictGiven,
    VolumeAdded,
)
from engine.judging.leaving import in_the_way
from engine.judging.settling import settled_for_record
from engine.judging.verdict import stands, verdict
from engine.session import Session


def passed(session: Session, stage: Stage, now: float) -> StagePassed:
    """The stage lets go; what was judged is written down."""
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


def reopened(session: Session, stage: Stage, reason: str) -> StageReopened:
    """Back to a stage that was passed; nothing is opened under pressure."""
    must(
        not earlier(session.stage, stage),
        f"{present.STAGE[stage]} has not been passed: now it is {present.STAGE[session.stage]}",
    )
    if earlier(stage, "hold"):
        must(not session.under_pressure, present.NOT_UNDER_PRESSURE)
    must(
        not session.closing.verdicts or stage == "verdict",
        "a verdict was announced: a retest is a test of its own, that follows this one",
    )
    return StageReopened(stage=stage, reason=said(reason, "why the stage is reopened"))


def struck(session: Session, seq: int, reason: str) -> Struck:
    """An earlier record of evidence or of a check does not count."""
    must(1 <= seq <= session.seq, f"there is no record {seq}")
    must(not session.struck(seq), f"record {seq} is struck already")
    fact = session.records[seq - 1].fact
    must(
        isinstance(fact, STRIKABLE),
        f"record {seq} is {present.fact_name(fact)}: only evidence and checks are struck",
    )
    must(
        session.checking.practice is None or not isinstance(fact, VolumeAdded | ToppedUp),
        f"record {seq} moved water in the practice joint: it cannot be undone",
    )
    return Struck(of=seq, reason=said(reason, "why it is struck"))


def announced(session: Session) -> VerdictGiven:
    """The verdict that the records say."""
    must(
        session.stage == "verdict" or session.closing.abandoned is not None,
        f"the verdict comes last: now it is {present.STAGE[session.stage]}",
    )
    must(not session.under_pressure, present.NOT_UNDER_PRESSURE)
    now = verdict(session)
    return VerdictGiven(outcome=now.outcome, reasons=now.reasons)


def signed(session: Session, name: str, witness: bool) -> Signed:
    """A name under the verdict that was announced, while the records still say so."""
    last = session.closing.verdicts[-1] if session.closing.verdicts else None
    if last is None:
        raise Refused("there is no verdict to sign yet: announce it first")
    must(
        stands(session, last.seq),
        f"the records now say {verdict(session).outcome}: announce it again",
    )
    role: Literal["witness", "technician"] = "witness" if witness else "technician"
    return Signed(name=said(name, "who signs"), role=role, verdict=last.seq)


def abandoned(session: Session, reason: str) -> Abandoned:
    """It ends without a result; what is left is to release the pressure."""
    must(
        session.closing.abandoned is None or session.taken_up,
        "it is abandoned already: release the pressure",
    )
    return Abandoned(reason=said(reason, "why it is abandoned"))
