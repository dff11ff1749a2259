"""The footer: which keys do something now.

    keys.update([KeyHint("r", "release"), KeyHint("v", "pass the stage", enabled=False), ...])

A key that cannot be used stands in brackets, at the same place: no other key moves.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from rich.cells import cell_len

from tui.widgets.lines import Lines, Row, Span

__all__ = ["KeyHint", "Keys"]


class KeyHint(NamedTuple):
    """A key, what it does, and whether it does it now."""

    key: str
    label: str
    enabled: bool = True

    @property
    def width(self) -> int:
        return cell_len(f" {self.key} {self.label} ")


class Keys(Lines):
    """The keys of a screen, on as many rows as its CSS gives (one by default)."""

    DEFAULT_CSS = """
    Keys { height: 1; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._hints: tuple[KeyHint, ...] = ()

    def update(self, hints: Iterable[KeyHint]) -> None:
        """These keys are shown, the most important first: the last are cut if room is short."""
        self._hints = tuple(hints)
        self.redraw()

    def rows(self, width: int, height: int) -> Sequence[Row]:
        rows: list[tuple[Span, ...]] = []
        taken = width + 1
        for place, hint in enumerate(self._hints):
            last = len(rows) == height and place < len(self._hints) - 1
            if taken + hint.width + (len(_more(99)) if last else 0) > width:
                if len(rows) == height:
                    rows[-1] += ((_more(len(self._hints) - place), "dim"),)
                    break
                rows.append(())
                taken = 0
            rows[-1] += _spans(hint)
            taken += hint.width
        return rows


def _more(count: int) -> str:
    return f" +{count}"


def _spans(hint: KeyHint) -> Row:
    if hint.enabled:
        return ((f" {hint.key}", "accent strong"), (f" {hint.label} ", "plain"))
    return ((f"({hint.key} {hint.label})", "dim"),)
