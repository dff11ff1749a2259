"""A figure from session to session, with a cursor on one of them and the limits of the usual.

    plot.update([Dot("2026-06-03", 0.52), Dot("2026-06-04", 0.91, outside=True)],
                Band(0.31, 0.45, 0.62))
    plot.take(event)                   # left, right, home, end: True if used
    plot.at                            # the place of the dot under the cursor

Braille, or `*` and `.` in ASCII; a dot outside the band is an `X`, whatever the colours.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

from textual import events

from tui.widgets.canvas import Canvas, Rank
from tui.widgets.cursor import kept
from tui.widgets.lines import Lines, Row
from tui.widgets.trend import Scale, scale_for

__all__ = ["Band", "Dot", "Plot"]

_LABEL = 11  # columns left of the plot, with the axis
_APART = 8  # columns between two dots at the most


class Dot(NamedTuple):
    """One value, and the day it is from."""

    day: str
    value: float
    outside: bool = False


class Band(NamedTuple):
    """Between which limits ordinary variation stays, and about which mean."""

    low: float
    mean: float
    high: float


class Plot(Lines):
    """Dots in the order of time."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._dots: tuple[Dot, ...] = ()
        self._band: Band | None = None
        self._at = 0

    @property
    def at(self) -> int:
        return self._at

    def update(self, dots: Iterable[Dot], band: Band | None = None) -> None:
        """These are drawn, and the cursor is on the last."""
        self._dots = tuple(dot for dot in dots if math.isfinite(dot.value))
        self._band = band
        self._go(len(self._dots) - 1)

    def take(self, event: events.Key) -> bool:
        """The key moved the cursor, or it means nothing here."""
        last = len(self._dots) - 1
        goals = {"left": self._at - 1, "right": self._at + 1, "home": 0, "end": last}
        if event.key not in goals:
            return False
        self._go(goals[event.key])
        return True

    def _go(self, place: int) -> None:
        self._at = kept(place, len(self._dots))
        self.redraw()

    def rows(self, width: int, height: int) -> Sequence[Row]:
        across, down = width - _LABEL, height - 2
        if across < 8 or down < 3:
            return [(("no room for the plot", "dim"),)]
        if not self._dots:
            return []
        # The latest, or earlier ones where the cursor went back.
        first = max(0, min(len(self._dots) - across, self._at))
        shown = self._dots[first : first + across]
        columns = [_column(n, len(shown), across) for n in range(len(shown))]
        scale = self._scale(shown)
        canvas = Canvas(across, down, self.look.ascii)
        self._draw(canvas, scale, shown, columns)
        labels = self._labels(canvas, scale, down)
        axis = "|" if self.look.ascii else "│"
        made: list[Row] = [
            (labels.get(y, (" " * (_LABEL - 1), "plain")), (axis, "dim"), *canvas.row(y))
            for y in range(down)
        ]
        cursor = columns[self._at - first]
        made.append(((" " * (_LABEL + cursor), "plain"), ("^", "accent strong")))
        made.append(_days(shown, across, len(self._dots)))
        return made

    def _scale(self, shown: Sequence[Dot]) -> Scale:
        values = [dot.value for dot in shown]
        limits = [] if self._band is None else [self._band.low, self._band.high]
        return scale_for([*values, *limits], None)

    def _draw(
        self, canvas: Canvas, scale: Scale, shown: Sequence[Dot], columns: Sequence[int]
    ) -> None:
        across = 1 if self.look.ascii else 2
        if self._band is not None:
            for value, style in ((self._band.mean, "dim"), (self._band.low, "warn"),
                                 (self._band.high, "warn")):  # fmt: skip
                for x in range(0, canvas.columns, 3 if style == "warn" else 6):
                    canvas.dot(x, _level(canvas, scale, value), ".", style, Rank.LEVEL)
        places = [
            (column * across, _level(canvas, scale, dot.value))
            for column, dot in zip(columns, shown, strict=True)
        ]
        if not self.look.ascii:
            for start, end in pairwise(places):
                canvas.line(start, end, ".", "dim")
        for (x, level), dot in zip(places, shown, strict=True):
            if dot.outside:
                canvas.dot(x, level, "X", "bad strong", Rank.SIGN)
            else:
                canvas.point(x, level, "accent strong", Rank.POINT)

    def _labels(self, canvas: Canvas, scale: Scale, down: int) -> dict[int, tuple[str, str]]:
        wanted = [("", scale.high, "dim"), ("", scale.low, "dim")]
        if self._band is not None:
            wanted += [("mean", self._band.mean, "dim"), ("low", self._band.low, "warn"),
                       ("high", self._band.high, "warn")]  # fmt: skip
        dots = canvas.levels // down
        places = scale.decimals + 1
        return {  # the later of two on one row stands
            _level(canvas, scale, value) // dots: (_label(word, value, places), style)
            for word, value, style in wanted
        }


def _label(word: str, value: float, places: int) -> str:
    number = f"{value:.{places}f}"
    return f"{word}{number:>{_LABEL - 2 - len(word)}} "[: _LABEL - 1]


def _level(canvas: Canvas, scale: Scale, value: float) -> int:
    share = (scale.high - value) / (scale.high - scale.low)
    return round(share * (canvas.levels - 1))


def _column(number: int, count: int, across: int) -> int:
    """Few dots stand near each other, many fill the width."""
    step = min(_APART, (across - 1) / max(1, count - 1))
    return round(number * step)


def _days(shown: Sequence[Dot], across: int, count: int) -> Row:
    first, last = shown[0].day, shown[-1].day
    more = f"  ({len(shown)} of {count})" if count > len(shown) else ""
    reach = first if first == last else f"{first} to {last}"
    return ((" " * _LABEL + f"{reach}{more}"[:across], "dim"),)
