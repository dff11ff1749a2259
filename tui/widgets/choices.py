"""A few answers, each with its key, on one or more rows.

    choices.update([Choice("d", "dry"), Choice("m", "damp"), ...], picked="m")
    choices.take(event)                # from a screen that routes its keys: True if it was used
    @on(Choices.Picked)                # a key of the list was pressed

The one picked stands between angle signs: `<m damp>`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from rich.cells import cell_len
from textual import events
from textual.message import Message

from tui.widgets.lines import Lines, Row, Span

__all__ = ["Choice", "Choices"]


class Choice(NamedTuple):
    """A single key and what it means."""

    key: str
    label: str


class Choices(Lines, can_focus=True):
    """Single keys to choose from."""

    DEFAULT_CSS = """
    Choices { height: 1; }
    """

    class Picked(Message):
        """The choice with this key was made."""

        def __init__(self, key: str) -> None:
            super().__init__()
            self.key = key

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._choices: tuple[Choice, ...] = ()
        self._picked = ""

    def update(self, choices: Iterable[Choice], picked: str = "") -> None:
        """These can be chosen; `picked` is the key of the one that is."""
        self._choices, self._picked = tuple(choices), picked
        self.redraw()

    def take(self, event: events.Key) -> bool:
        """The key was one of the list and is picked now, or it means nothing here."""
        pressed = event.character or event.key
        if pressed not in {choice.key for choice in self._choices}:
            return False
        self._picked = pressed
        self.redraw()
        self.post_message(self.Picked(pressed))
        return True

    def on_key(self, event: events.Key) -> None:
        if self.take(event):
            event.stop()
            event.prevent_default()

    def rows(self, width: int, height: int) -> Sequence[Row]:
        rows: list[tuple[Span, ...]] = [()]
        taken = 0
        for choice in self._choices:
            spans = self._spans(choice)
            needed = sum(cell_len(text) for text, _ in spans)
            if taken and taken + needed > width:
                rows.append(())
                taken = 0
            rows[-1] += spans
            taken += needed
        return rows

    def _spans(self, choice: Choice) -> Row:
        if choice.key == self._picked:
            return ((f"<{choice.key} {choice.label}>", "accent strong"),)
        return ((f" {choice.key}", "accent strong"), (f" {choice.label} ", "plain"))
