"""How a session ends: verdicts announced, names under them, or abandoned."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, NamedTuple, assert_never

from engine.facts import (
    Abandoned,
    Amended,
    Closing,
    Outcome,
    Reason,
    Signed,
    SpecimenDisturbed,
    VerdictGiven,
)


class Happened(NamedTuple):
    """Something with a text: what was disturbed, why it was abandoned or taken up again."""

    seq: int
    t: float
    text: str


class Announced(NamedTuple):
    seq: int
    t: float
    outcome: Outcome
    reasons: tuple[Reason, ...]


class Signature(NamedTuple):
    seq: int
    t: float
    name: str
    role: Literal["technician", "witness"]
    verdict: int


@dataclass(frozen=True)
class ClosingPart:
    disturbed: tuple[Happened, ...] = ()
    verdicts: tuple[Announced, ...] = ()
    signatures: tuple[Signature, ...] = ()
    abandoned: Happened | None = None
    amended: tuple[Happened, ...] = ()


def evolve_closing(part: ClosingPart, fact: Closing, seq: int, t: float) -> ClosingPart:
    match fact:
        case SpecimenDisturbed(how=how):
            return replace(part, disturbed=(*part.disturbed, Happened(seq, t, how)))
        case VerdictGiven(outcome=outcome, reasons=reasons):
            announced = Announced(seq, t, outcome, reasons)
            return replace(part, verdicts=(*part.verdicts, announced))
        case Signed(name=name, role=role, verdict=verdict):
            signature = Signature(seq, t, name, role, verdict)
            return replace(part, signatures=(*part.signatures, signature))
        case Abandoned(reason=reason):
            return replace(part, abandoned=Happened(seq, t, reason))
        case Amended(reason=reason):
            return replace(part, amended=(*part.amended, Happened(seq, t, reason)))
        case _:
            assert_never(fact)
