"""The clock panel: rows of a label with a value.

    clock = Clock(values=9)                           # values right-aligned in 9 columns
    clock.update([ClockRow("credit", "4:20 min"), ...])

Values have a fixed width, so a countdown sends its changed digits and nothing else.  Call it as
often as you like: what is unchanged costs nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rich.cells import cell_len

from tui.theme import Tone
from tui.widgets.lines import Lines, Row, cut

__all__ = ["Clock", "ClockRow"]


@dataclass(frozen=True, slots=True)
class ClockRow:
    """A label and what it stands at.  A tone that means something has its word in the value."""

    label: str
    value: str
    tone: Tone = "plain"


class Clock(Lines):
    """What the time asks for."""

    def __init__(self, *, values: int = 9, id: str | None = None) -> None:
        """`values` is the width of the value column."""
        super().__init__(id=id)
        self._value_width = values
        self._values: tuple[ClockRow, ...] = ()

    def update(self, rows: Iterable[ClockRow]) -> None:
        """The rows stand in the order given."""
        self._values = tuple(rows)
        self.redraw()

    def rows(self, width: int, height: int) -> Sequence[Row]:
        ascii = self.look.ascii
        values = min(self._value_width, width)
        longest = max((cell_len(row.label) for row in self._values), default=0)
        labels = max(0, min(longest + 1, width - values))
        return [_row(row, labels, values, width - labels, ascii) for row in self._values]


def _row(row: ClockRow, labels: int, values: int, room: int, ascii: bool) -> Row:
    label = cut(row.label, max(0, labels - 1), ascii)
    value = cut(row.value, room, ascii)
    return (
        (label + " " * (labels - cell_len(label)), "dim"),
        (" " * (values - cell_len(value)), "plain"),
        (value, row.tone),
    )
