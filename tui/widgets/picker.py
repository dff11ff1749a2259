"""A list with a cursor, of any length: only the rows in sight are made.

picker.update(sessions, lambda row: ((row["product"], "plain"),))
picker.take(event)                 # from a screen that routes its keys: True if it was used
picker.chosen                      # what is under the cursor, None in an empty list
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from textual import events

from tui.widgets.cursor import goal, kept, window
from tui.widgets.lines import Lines, Row

__all__ = ["Picker"]


class Picker(Lines):
    """Things to choose from, one a row."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._things: Sequence[Any] = ()
        self._row: Callable[[Any], Row] = lambda thing: ((str(thing), "plain"),)
        self._empty = ""
        self._at = self._top = 0

    @property
    def chosen(self) -> Any:
        return self._things[self._at] if self._things else None

    @property
    def at(self) -> int:
        return self._at

    def update(self, things: Sequence[Any], row: Callable[[Any], Row], empty: str = "") -> None:
        """These can be chosen; `empty` is said where there are none.  The cursor stays in place."""
        self._things, self._row, self._empty = things, row, empty
        self._go(self._at)

    def move_to(self, place: int) -> None:
        self._go(place)

    def take(self, event: events.Key) -> bool:
        """The key moved the cursor, or it means nothing here."""
        page = max(1, self.size.height - 1)
        place = goal(event.key, self._at, len(self._things), page)
        if place is None:
            return False
        self._go(place)
        return True

    def _go(self, place: int) -> None:
        self._at = kept(place, len(self._things))
        self.redraw()

    def rows(self, width: int, height: int) -> Sequence[Row]:
        if not self._things:
            return [((self._empty, "plain"),)] if self._empty else []
        count = len(self._things)
        first, last = window(count, height, self._at, self._top)
        self._top = first
        made: list[Row] = [
            (("> " if n == self._at else "  ", "accent strong"), *self._row(thing))
            for n, thing in enumerate(self._things[first:last], first)
        ]
        if height > 1 and last - first < count:
            parts = [f"{first} more above"] if first else []
            parts += [f"{count - last} more below"] if last < count else []
            made.append(((f"  ({', '.join(parts)})", "dim"),))
        return made
