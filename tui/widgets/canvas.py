"""Dots on cells: eight to a cell in braille, or one sign to a cell in ASCII."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import Final

from tui.widgets.lines import Span

__all__ = ["Canvas", "Rank"]

_DOTS: Final = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))  # by column, then downwards
_BLANK: Final = 0x2800


class Rank(IntEnum):
    """What gives a cell its style, and in ASCII its sign: the highest wins."""

    LEVEL = 0
    LINE = 1
    POINT = 2
    WRONG_POINT = 3
    SIGN = 4


@dataclass
class _Mark:
    rank: Rank
    sign: str
    style: str
    dots: int = 0


class Canvas:
    """`width` x `height` cells; dots are counted from the top left."""

    def __init__(self, width: int, height: int, ascii: bool) -> None:
        self._width, self._height = width, height
        self._across, self._down = (1, 1) if ascii else (2, 4)
        self._ascii = ascii
        self._marks: dict[tuple[int, int], _Mark] = {}

    @property
    def columns(self) -> int:
        return self._width * self._across

    @property
    def levels(self) -> int:
        return self._height * self._down

    def dot(self, column: int, level: int, sign: str, style: str, rank: Rank) -> None:
        """A dot, kept within the canvas; `sign` stands for it where there is no braille."""
        column = max(0, min(column, self.columns - 1))
        level = max(0, min(level, self.levels - 1))
        cell = (column // self._across, level // self._down)
        mark = self._marks.setdefault(cell, _Mark(rank, sign, style))
        if not self._ascii:
            mark.dots |= _DOTS[column % 2][level % 4]
        if rank >= mark.rank:
            mark.rank, mark.sign, mark.style = rank, sign, style

    def line(self, start: tuple[int, int], end: tuple[int, int], sign: str, style: str) -> None:
        """Dots without a gap from one (column, level) to another."""
        (x1, y1), (x2, y2) = start, end
        steps = max(abs(x2 - x1), abs(y2 - y1), 1)
        for step in range(steps + 1):
            x, y = x1 + (x2 - x1) * step / steps, y1 + (y2 - y1) * step / steps
            self.dot(round(x), round(y), sign, style, Rank.LINE)

    def point(self, column: int, level: int, style: str, rank: Rank, grows: int = -1) -> None:
        """A point that stands out from a line: a cell wide, two dots high towards `grows`."""
        first = column - column % self._across
        for x in range(first, first + self._across):
            self.dot(x, level, "*", style, rank)
            if not self._ascii and 0 <= level + grows < self.levels:
                self.dot(x, level + grows, "*", style, rank)

    def row(self, y: int) -> tuple[Span, ...]:
        """Row `y`, one span a cell."""
        return tuple(self._span(self._marks.get((x, y))) for x in range(self._width))

    def _span(self, mark: _Mark | None) -> Span:
        if mark is None:
            return (" ", "plain")
        if self._ascii or mark.rank is Rank.SIGN:
            return (mark.sign, mark.style)
        return (chr(_BLANK + mark.dots), mark.style)
