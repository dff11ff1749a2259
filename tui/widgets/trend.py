"""A strip chart of pressure over the hold: readings, the pressure needed, and the cap.

    trend.update([Point(0, 13.6), Point(60, 13.5, joined=True), ...],
                 Frame(until=600, needed=13.0, cap=15.0))

The time axis is fixed over the hold, and the pressure scale moves only when a reading leaves it, so
a new reading sends the cells it touches.  Braille, or `*` and `.` in ASCII.  A reading is drawn
on its side of the needed line even where rounding would put it on the other.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import NamedTuple

from tui.widgets.canvas import Canvas, Rank
from tui.widgets.lines import Lines, Row

__all__ = ["Frame", "Point", "Scale", "Trend", "scale_for"]

_LABEL = 11  # columns left of the plot, with the axis
_MOST_DRAWN = 400  # points; of more, only those that show are drawn
_EMPTIEST = 5  # a scale is given up when less than this part of it is used


class Point(NamedTuple):
    """A reading, `at` seconds from the start of the axis, in the unit shown."""

    at: float
    value: float
    joined: bool = False  # a line leads here from the reading before: the span between counts
    sign: str = ""  # drawn in its place: "x" for struck, "L" for late


@dataclass(frozen=True, slots=True)
class Frame:
    """What is drawn besides the readings, in the same units."""

    until: float = 600.0  # the end of the time axis [s]
    needed: float | None = None
    cap: float | None = None


class Scale(NamedTuple):
    """The lowest and the highest value drawn, and the decimals its labels need."""

    low: float
    high: float
    decimals: int


class Trend(Lines):
    """How the pressure went."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._points: tuple[Point, ...] = ()
        self._frame = Frame()
        self._scale: Scale | None = None
        self._until = 0.0

    def update(self, points: Iterable[Point], frame: Frame) -> None:
        """These readings are drawn, in the order of time."""
        sound = tuple(p for p in points if math.isfinite(p.at) and math.isfinite(p.value))
        if (sound, frame) == (self._points, self._frame):
            return
        if frame.until != self._frame.until:
            self._until = 0.0
        self._points, self._frame = sound, frame
        self.redraw()

    def rows(self, width: int, height: int) -> Sequence[Row]:
        across = width - _LABEL
        down = height - 1 if height >= 4 else height
        if across < 4 or down < 1:
            return [(("no room for the trend", "dim"),)]
        self._rescale()
        canvas = Canvas(across, down, self.look.ascii)
        self._draw_levels(canvas)
        self._draw_points(canvas)
        labels = self._labels(canvas, down)
        axis = "|" if self.look.ascii else "│"
        rows: list[Row] = [
            (labels.get(y, (" " * (_LABEL - 1), "plain")), (axis, "dim"), *canvas.row(y))
            for y in range(down)
        ]
        if down < height:
            rows.append(((" " * _LABEL + time_labels(self._until, across), "dim"),))
        return rows

    def _rescale(self) -> None:
        """Both axes hold everything drawn, and are the ones before where those still do."""
        levels = [level for level in (self._frame.needed, self._frame.cap) if level is not None]
        values = [*levels, *(point.value for point in self._points)]
        self._scale = scale_for(values or [0.0, 1.0], self._scale)
        self._until = max(self._until, self._frame.until, 1.0)
        while any(point.at > self._until for point in self._points):
            self._until *= 1.5

    def _level(self, canvas: Canvas, value: float) -> int:
        scale = self._scale or scale_for([value], None)
        return round((scale.high - value) / (scale.high - scale.low) * (canvas.levels - 1))

    def _draw_levels(self, canvas: Canvas) -> None:
        frame = self._frame
        for value, step, sign, style in (
            (frame.cap, 2, "=", "warn"),
            (frame.needed, 1, "-", "accent"),
        ):
            if value is not None:
                level = self._level(canvas, value)
                for column in range(0, canvas.columns, 1 if self.look.ascii else step):
                    canvas.dot(column, level, sign, style, Rank.LEVEL)

    def _draw_points(self, canvas: Canvas) -> None:
        points = telling(self._points, self._until / max(1, canvas.columns - 1))
        places = [self._place(canvas, point) for point in points]
        for (start, _), (end, point) in pairwise(zip(places, points, strict=True)):
            if point.joined:
                canvas.line(start, end, ".", "plain")
        for (column, level), point in zip(places, points, strict=True):
            low = self._frame.needed is not None and point.value < self._frame.needed
            if point.sign:
                canvas.dot(column, level, point.sign[:1], "warn strong", Rank.SIGN)
            elif low:
                canvas.point(column, level, "bad", Rank.WRONG_POINT, grows=1)
            else:
                canvas.point(column, level, "strong", Rank.POINT)

    def _place(self, canvas: Canvas, point: Point) -> tuple[int, int]:
        """Column and level, on the right side of the needed line."""
        column = round(max(0.0, point.at) / self._until * (canvas.columns - 1))
        level = self._level(canvas, point.value)
        if self._frame.needed is not None:
            line = self._level(canvas, self._frame.needed)
            below = point.value < self._frame.needed
            level = max(level, line + 1) if below else min(level, line - 1)
        return column, level

    def _labels(self, canvas: Canvas, down: int) -> dict[int, tuple[str, str]]:
        scale = self._scale or scale_for([0.0], None)
        wanted = [("", scale.high, "dim"), ("", scale.low, "dim")]
        wanted += [("cap", self._frame.cap, "warn")] if self._frame.cap is not None else []
        wanted += [("need", self._frame.needed, "accent")] if self._frame.needed is not None else []
        dots = canvas.levels // down
        places = max(1, scale.decimals)
        return {  # the later of two on one row stands
            self._level(canvas, value) // dots: (_label(word, value, places), style)
            for word, value, style in wanted
        }


def telling(points: Sequence[Point], step: float) -> Sequence[Point]:
    """Of many points that fall on one column, `step` seconds wide: the first and the last, the
    lowest and the highest, and those with a sign; a gap between two that stay is kept."""
    if len(points) <= _MOST_DRAWN:
        return points
    kept: list[Point] = []
    for _, group in groupby(points, key=lambda point: round(point.at / step)):
        here = list(group)
        lowest, highest = min(here, key=_value), max(here, key=_value)
        whole = True
        for place, point in enumerate(here):
            whole = whole and point.joined
            ends = place in (0, len(here) - 1)
            if ends or point is lowest or point is highest or point.sign:
                kept.append(point._replace(joined=whole))
                whole = True
    return kept


def _value(point: Point) -> float:
    return point.value


def _label(word: str, value: float, decimals: int) -> str:
    number = f"{value:.{decimals}f}"
    room = _LABEL - 2 if len(word) + 1 + len(number) <= _LABEL - 2 else _LABEL - 1
    return f"{word}{number:>{room - len(word)}}"[: _LABEL - 1].ljust(_LABEL - 1)


def scale_for(values: Sequence[float], before: Scale | None) -> Scale:
    """Round limits with room around `values`; those of `before` as long as they still serve."""
    low, high = min(values), max(values)
    if before is not None and _serves(before, low, high):
        return before
    span = max(high - low, abs(high) * 0.02, 1e-6)
    step = _round_step(span / 4)
    bottom = math.floor((low - span * 0.1) / step) * step
    top = math.ceil((high + span * 0.1) / step) * step
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return Scale(0.0 if bottom < 0 <= low else bottom, top, decimals)


def _serves(scale: Scale, low: float, high: float) -> bool:
    used = (high - low) * _EMPTIEST >= scale.high - scale.low
    return used and scale.low <= low and high <= scale.high


def _round_step(size: float) -> float:
    """The first of 1, 2, 5, 10, 20 ... (or 0.1, 0.2 ...) that is not below `size`."""
    power: float = 10.0 ** math.floor(math.log10(size))
    return next((m * power for m in (1, 2, 5) if m * power >= size * (1 - 1e-9)), 10 * power)


def time_labels(until: float, across: int) -> str:
    """The time axis over `across` columns: minutes, or hours where it is long."""
    word, size = ("h", 3600.0) if until > 4 * 3600 else ("min", 60.0)
    end = until / size
    step = _round_step(max(end * 9 / across, 1e-3))
    line = [" "] * across
    for tick in range(int(end / step + 1e-9) + 1):
        text = f"{tick * step:g}"
        x = min(round(tick * step / end * (across - 1)), across - len(text))
        line[x : x + len(text)] = text
    text = "".join(line).rstrip()
    return f"{text} {word}" if len(text) + 1 + len(word) <= across else _with_unit(text, word)


def _with_unit(text: str, word: str) -> str:
    """The unit in the gap before the last label, where there is no room behind it."""
    head, _, last = text.rpartition(" ")
    return f"{head[: -len(word)]}{word} {last}" if head.endswith(" " * (len(word) + 1)) else text
