"""Text longer than its place, moved through with the keys; says how much is out of sight.

sheet.show(rows)                   # stays where it was, as far as there are rows
sheet.take(event)                  # from a screen that routes its keys: True if it was used
sheet.to_end()
"""

from __future__ import annotations

from collections.abc import Sequence

from textual import events

from tui.widgets.cursor import goal
from tui.widgets.lines import Lines, Row

__all__ = ["Sheet"]


class Sheet(Lines):
    """Rows, of which as many are shown as fit."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._top = 0

    def take(self, event: events.Key) -> bool:
        """The key moved through the text, or it means nothing here."""
        page = max(1, self.size.height - 2)
        place = goal(event.key, self._top, len(self._given), page)
        if place is None:
            return False
        self._top = place
        self.redraw()
        return True

    def to_start(self) -> None:
        self._top = 0
        self.redraw()

    def to_end(self) -> None:
        self._top = len(self._given)
        self.redraw()

    def rows(self, width: int, height: int) -> Sequence[Row]:
        count = len(self._given)
        if count <= height:
            self._top = 0
            return self._given
        body = max(1, height - 1)
        self._top = max(0, min(self._top, count - body))
        below = count - body - self._top
        parts = [f"{self._top} more above"] if self._top else []
        parts += [f"{below} more below"] if below else []
        told = ((f"({', '.join(parts)}: up, down)", "dim"),)
        return [*self._given[self._top : self._top + body], told]
