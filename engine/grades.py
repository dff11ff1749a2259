"""How wet a place is, from dry to spray, and the places that are looked at."""

from __future__ import annotations

from typing import Final, Literal, get_args

Grade = Literal["dry", "damp", "beads", "drip", "pool", "run", "spray"]
Place = Literal["primary", "secondary", "port", "fitting"]

GRADES: Final[tuple[Grade, ...]] = get_args(Grade)


def as_wet_as(grade: Grade, other: Grade) -> bool:
    """True where `grade` is at least as wet as `other`."""
    return GRADES.index(grade) >= GRADES.index(other)
