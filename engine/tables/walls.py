"""Wall thickness of round pipe, walls A, B and C, and the usual thickness of boxes."""

from __future__ import annotations

from typing import Final, NamedTuple

from engine import sources as s
from engine.sources import Source, Standing
from engine.tables.names import UnknownRow


class Wall(NamedTuple):
    """A wall as it is usually made: a help for typing in, never a measurement."""

    inside_in: float
    letter: str
    thickness_in: float
    source: Source
    standing: Standing


class Thickness(NamedTuple):
    """The usual thickness of a box by its span; the leg of the haunch is the same."""

    span_ft: float
    thickness_in: float
    source: Source = s.ASTM_C1577
    standing: Standing = "from_memory"


_B: Final = {
    12: 2.0, 15: 2.25, 18: 2.5, 21: 2.75, 24: 3.0, 27: 3.25, 30: 3.5, 33: 3.75, 36: 4.0, 42: 4.5,
    48: 5.0, 54: 5.5, 60: 6.0, 66: 6.5, 72: 7.0, 78: 7.5, 84: 8.0, 90: 8.5, 96: 9.0, 102: 9.5,
    108: 10.0, 114: 10.5, 120: 11.0, 132: 12.0, 144: 13.0,
}  # fmt: skip
# Small A walls do not follow the rule of a twelfth; C walls begin at 24 in.
_SMALL_A: Final = {
    12: 1.75, 15: 1.875, 18: 2.0, 21: 2.25, 24: 2.5, 27: 2.625, 30: 2.75, 33: 2.875, 36: 3.0,
}  # fmt: skip

BOXES: Final = tuple(
    Thickness(span, thick)
    for span, thick in ((3, 4), (4, 5), (5, 6), (6, 7), (7, 8), (8, 8), (9, 9), (10, 10), (11, 11),
                        (12, 12))
)  # fmt: skip


def _rows(inside: int) -> list[Wall]:
    rows = [Wall(inside, "B", _B[inside], s.ASTM_C76_WALLS, "from_memory")]
    if inside in _SMALL_A:
        rows.append(Wall(inside, "A", _SMALL_A[inside], s.ASTM_C76_WALLS, "from_memory"))
    else:
        rows.append(Wall(inside, "A", inside / 12, s.ASTM_C76, "seen"))
    if inside >= 24:
        rows.append(Wall(inside, "C", inside / 12 + 1.75, s.ASTM_C76, "seen"))
    return rows


WALLS: Final = tuple(wall for inside in _B for wall in _rows(inside))


def wall(inside_in: float, letter: str) -> Wall:
    """The wall of a pipe of that inside diameter.

    Raises UnknownRow, naming the walls of that size, or the sizes next to it.
    """
    of_size = [w for w in WALLS if w.inside_in == inside_in]
    for row in of_size:
        if row.letter == letter.strip().upper():
            return row
    if of_size:
        known = ", ".join(sorted(w.letter for w in of_size))
        raise UnknownRow(f"wall {letter!r} of {inside_in:g} in pipe is not known; known: {known}")
    near = sorted(_B, key=lambda size: abs(size - inside_in))[:2]
    shown = " and ".join(f"{size} in" for size in sorted(near))
    raise UnknownRow(f"{inside_in:g} in pipe is not known; closest: {shown}")


def box(span_ft: float) -> Thickness:
    """The usual thickness of a box of that span.

    Raises UnknownRow, naming the spans that are known.
    """
    for row in BOXES:
        if row.span_ft == span_ft:
            return row
    raise UnknownRow(
        f"box of {span_ft:g} ft span is not known; "
        f"known: {BOXES[0].span_ft:g} to {BOXES[-1].span_ft:g} ft by the foot"
    )
