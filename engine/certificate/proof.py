"""What the paper rests on, what that proves, and what the test does not show."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from engine.session import Session

OUTSIDE: Final = (
    "Pressure came from outside the primary gasket and does not by itself show how the joint "
    "behaves under pressure from inside."
)
SPECIMEN: Final = (
    "This certificate relates only to the specimen tested, as it was assembled on the day."
)
PRACTICE: Final = "PRACTICE: a made-up joint was tested. This paper says nothing of any real one."
NOT_CLOSED: Final = "NOT CLOSED: the record of this test is still open; this is no certificate yet."


def statements(sessions: Sequence[Session], elsewhere: Sequence[str] = ()) -> tuple[str, ...]:
    """What a reader has to be told of the paper, the specimen and the figures."""
    said = [
        SPECIMEN,
        OUTSIDE,
        "House rule: the plant's own, for which no published joint test or contract was named. "
        "Where one is broken the test is undecided or held again, never failed.",
        "Corrected: as read on the gauge, less its zero; the less favourable of the zeros before "
        "and after the hold is taken. All pressures are gauge pressures.",
        "Between two good readings no farther apart than the longest gap the pressure is taken to "
        "have stayed good.",
        "Clock positions are seen looking at the bell, 12 at the top.",
    ]
    if any(s.plan.joint.primary_held == "step" for s in sessions):
        said.append(
            "The primary gasket sits on a single step, open inward: pressure in the pocket pushes "
            "it off the step, which service pressure from inside would not."
        )
    if elsewhere:
        said.append(f"Read from a file of another store: {', '.join(elsewhere)}.")
    return tuple(said)


def proof(tests: Sequence[tuple[str, int, str]]) -> tuple[str, ...]:
    """For each session its identity, number of records and digest; then what that is worth."""
    lines = [f"Session {name}, record {count}, digest {digest}" for name, count, digest in tests]
    name, count, digest = tests[0]
    return (
        *lines,
        "The digest (SHA-256, chained) proves whether a session file holds, up to that record, "
        f"what this paper was made from: holdwater audit {name} --paper {count}:{digest[:16]} "
        "compares them. Records that are added later do not change it.",
        "It does not prove who wrote the records, that what was typed is what the gauge showed, "
        "or that the clock of the computer was right.",
    )
