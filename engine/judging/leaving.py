"""What is in the way of leaving a stage, the verdict taken into account."""

from __future__ import annotations

from engine.checks import Stage
from engine.judging.settling import ENDING, Standing, stopping
from engine.judging.verdict import verdict
from engine.session import Session


def in_the_way(session: Session, stage: Stage, now: float) -> tuple[Standing, ...]:
    """What does not let the stage go.

    Once the joint has failed, or nothing can be said of it any more, nothing more is to be learned
    from it: what is left is to leave it safe, and to say so.
    """
    open_ = stopping(session, stage, now)
    if stage in ("hold", "verdict") and verdict(session).outcome in ("fail", "invalid"):
        return tuple(s for s in open_ if s.check.rank == "safety" or s.check.id in ENDING)
    return open_
