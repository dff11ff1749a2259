"""A stage, and one check that it must have settled before it lets go."""

from __future__ import annotations

from datetime import date
from typing import Final, Literal, get_args

from pydantic import Field

from engine.fields import Frozen, Name, Text
from engine.units import Measure

Stage = Literal["prepare", "seal", "fill", "vent", "hold", "verdict"]
STAGES: Final[tuple[Stage, ...]] = get_args(Stage)

Kind = Literal["confirm", "measure", "compute", "wait"]
Rank = Literal["safety", "required", "advice"]
Asked = Literal[
    "text", "positions", "length", "pressure", "temperature", "volume", "time", "count", "flow",
    "voucher", "date", "air",
]  # fmt: skip
"""`voucher`: who answers for it, and on what ground; `air`: what comes from the cracked vent, air
or only water; `date`: a day, that may replace a `field` of
the plan as a measure does."""
Caution = Literal[
    "move", "tighten", "air", "silica", "lifting", "line_of_fire", "release", "confined"
]  # fmt: skip


class Check(Frozen):
    """One thing to be confirmed, measured, computed or waited for.

    A measured check may replace a `field` of the plan (measured beats planned), and may have its
    limit from a `rule`; a computed check has its answer from one.
    """

    id: Name
    stage: Stage
    do: Text
    """What to do, in the imperative."""
    kind: Kind = "confirm"
    rank: Rank = "required"
    caution: Caution | None = None
    asks: Asked | None = None
    field: Name | None = None
    at_least: Measure | None = None
    at_most: Measure | None = None
    rule: Name | None = None
    wait: Name | None = None
    """Which of the plan's waits a wait lasts."""
    only: tuple[Name, ...] = Field(default=(), max_length=8)
    """Applies only where the plan is all of these: box, deflected, relief, seal_lines_unknown..."""
    stands: Literal["never", "specimen", "product"] = "never"
    """What it survives: nothing, a further test of the same specimen, or of the same product."""


def day_of(text: str) -> date | None:
    """A day as it is written down, 2027-03-31; None for anything else."""
    try:
        return date.fromisoformat(text.strip()) if len(text.strip()) == 10 else None
    except ValueError:
        return None


def earlier(stage: Stage, other: Stage) -> bool:
    return STAGES.index(stage) < STAGES.index(other)


def after(stage: Stage) -> Stage | None:
    """The stage that follows; None after the verdict."""
    position = STAGES.index(stage) + 1
    return STAGES[position] if position < len(STAGES) else None
