"""A few answers, each with its key, on one or more rows.

choices.update([Choice("d", "dry"), Choice("m", "damp"), ...])
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from rich.cells import cell_len

from tui.widgets.lines import Lines, Row, Span

__all__ = ["Choice", "Choices"]


class Choice(NamedTuple):
    """A single key and what it means."""

    key: str
    label: str


class Choices(Lines):
    """Single keys to choose from."""

    DEFAULT_CSS = """
    Choices { height: 1; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._choices: tuple[Choice, ...] = ()

    def update(self, choices: Iterable[Choice]) -> None:
        """These can be chosen."""
        self._choices = tuple(choices)
        self.redraw()

    def rows(self, width: int, height: int) -> Sequence[Row]:
        rows: list[tuple[Span, ...]] = [()]
        taken = 0
        for choice in self._choices:
            spans = _spans(choice)
            needed = sum(cell_len(text) for text, _ in spans)
            if taken and taken + needed > width:
                rows.append(())
                taken = 0
            rows[-1] += spans
            taken += needed
        return rows


def _spans(choice: Choice) -> Row:
    return ((f" {choice.key}", "accent strong"), (f" {choice.label} ", "plain"))
