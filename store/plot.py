"""The pressure-time plot as SVG: corrected readings, the pressure needed, the cap, the credit."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final, NamedTuple
from xml.sax.saxutils import escape

from engine.certificate import Plot
from engine.certificate.tree import Point

NAMESPACE: Final = "http:" + "//www.w3.org/2000/svg"
FONT: Final = "DejaVu Sans Mono, monospace"
_MOST_MARKED: Final = 90
"""Readings that are given a mark each; beyond that only the line is drawn."""


class _Frame(NamedTuple):
    """Where the axes lie, in the drawing's own units, and what they span."""

    left: float
    top: float
    width: float
    height: float
    first: float
    last: float
    low: float
    high: float

    def x(self, minutes: float) -> float:
        return round(self.left + (minutes - self.first) / (self.last - self.first) * self.width, 2)

    def y(self, pressure: float) -> float:
        share = (pressure - self.low) / (self.high - self.low)
        return round(self.top + (1 - share) * self.height, 2)


def plot_svg(plot: Plot) -> str:
    """The same bytes for the same plot; read as well in black and white."""
    frame = _frame(plot)
    parts = [
        f'<svg xmlns="{NAMESPACE}" viewBox="0 0 640 250" width="640" height="250" '
        f'font-family="{FONT}" font-size="9">',
        f'<clipPath id="inside"><rect x="{frame.left}" y="{frame.top}" width="{frame.width}" '
        f'height="{frame.height}"/></clipPath>',
        *_credited(plot, frame),
        *_axes(plot, frame),
        *_limits(plot, frame),
        '<g clip-path="url(#inside)">',
        *_course(plot, frame),
        "</g>",
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _frame(plot: Plot) -> _Frame:
    held = [p for p in plot.points if p.held] or list(plot.points)
    first, last = held[0].minutes, held[-1].minutes
    room = max((last - first) * 0.12, 0.5)
    values = [plot.needed, plot.cap, *(p.pressure for p in held)]
    low, high = min(values), max(values)
    margin = max((high - low) * 0.12, 1e-3)
    return _Frame(46, 10, 488, 200, first - room, last + room, low - margin, high + margin)


def _step(span: float, most: int) -> float:
    """1, 2 or 5 times a power of ten, so that there are at most so many steps in a span."""
    size = 1.0
    while size * most < span:
        size *= 10
    while size / 10 * most >= span:
        size /= 10
    return next(size * part for part in (0.1, 0.2, 0.5, 1.0) if size * part * most >= span)


def _marks(low: float, high: float, most: int) -> list[float]:
    step = _step(high - low, most)
    return [n * step for n in range(int(-(-low // step)), int(high // step) + 1)]


def _number(value: float) -> str:
    return f"{round(value, 6):g}".replace("-0", "0") if abs(value) < 1e-9 else f"{value:.6g}"


def _text(x: float, y: float, words: str, anchor: str = "start", more: str = "") -> str:
    return f'<text x="{x:g}" y="{y:g}" text-anchor="{anchor}"{more}>{escape(words)}</text>'


def _line(x1: float, y1: float, x2: float, y2: float, style: str) -> str:
    return f'<line x1="{x1:g}" y1="{y1:g}" x2="{x2:g}" y2="{y2:g}" {style}/>'


def _axes(plot: Plot, frame: _Frame) -> Iterator[str]:
    right, bottom = frame.left + frame.width, frame.top + frame.height
    for pressure in _marks(frame.low, frame.high, 8):
        y = frame.y(pressure)
        yield _line(frame.left, y, right, y, 'stroke="#ddd" stroke-width="0.5"')
        yield _text(frame.left - 5, y + 3, _number(pressure), "end")
    for minutes in _marks(frame.first, frame.last, 12):
        x = frame.x(minutes)
        yield _line(x, bottom, x, bottom + 3, 'stroke="#000" stroke-width="0.6"')
        yield _text(x, bottom + 13, _number(minutes), "middle")
    yield (
        f'<rect x="{frame.left}" y="{frame.top}" width="{frame.width}" height="{frame.height}" '
        'fill="none" stroke="#000" stroke-width="0.6"/>'
    )
    yield _text(frame.left + frame.width / 2, 245, "minutes after the hold was started", "middle")
    middle = frame.top + frame.height / 2
    turned = f' transform="rotate(-90 9 {middle:g})"'
    yield _text(9, middle, f"{plot.unit}, corrected", "middle", turned)


def _limits(plot: Plot, frame: _Frame) -> Iterator[str]:
    right = frame.left + frame.width
    needed, cap = frame.y(plot.needed), frame.y(plot.cap)
    yield _line(frame.left, needed, right, needed, 'stroke="#000" stroke-width="1.4"')
    yield _line(frame.left, cap, right, cap,
                'stroke="#000" stroke-width="1.1" stroke-dasharray="7 4"')  # fmt: skip
    apart = max(0.0, 11 - (needed - cap)) / 2  # where the lines are close, their names are not
    yield _text(right + 5, needed + 3 + apart, plot.needed_words)
    yield _text(right + 5, cap + 3 - apart, plot.cap_words)


def _credited(plot: Plot, frame: _Frame) -> Iterator[str]:
    for span in plot.credited:
        begin, end = (frame.x(minutes) for minutes in span)
        yield (
            f'<rect x="{begin:g}" y="{frame.top:g}" width="{round(end - begin, 2):g}" '
            f'height="{frame.height:g}" fill="#eee"/>'
        )
    if plot.credited:
        begin, end = max(plot.credited, key=lambda span: span[1] - span[0])
        middle = (frame.x(begin) + frame.x(end)) / 2
        bottom = frame.top + frame.height - 4
        yield _text(middle, bottom, "credited time", "middle", ' fill="#444"')


def _course(plot: Plot, frame: _Frame) -> Iterator[str]:
    for a, b in pairwise(plot.points):
        style = 'stroke="#000" stroke-width="0.9"'
        if not (a.held and b.held):
            style = 'stroke="#888" stroke-width="0.7" stroke-dasharray="2 2"'
        ends = (frame.x(a.minutes), frame.y(a.pressure), frame.x(b.minutes), frame.y(b.pressure))
        yield _line(*ends, style)
    few = len(plot.points) <= _MOST_MARKED
    for point in plot.points:
        if few or (point.held and not point.good) or point.topping:
            yield _mark(point, frame)


def _mark(point: Point, frame: _Frame) -> str:
    """Full where it is good, open where it is not, square at either end of a top-up."""
    x, y = frame.x(point.minutes), frame.y(point.pressure)
    fill = "#000" if point.good else "#fff"
    stroke = "#000" if point.held else "#888"
    if point.topping:
        return (
            f'<rect x="{x - 2.6:g}" y="{y - 2.6:g}" width="5.2" height="5.2" fill="{fill}" '
            f'stroke="{stroke}" stroke-width="0.8"/>'
        )
    return f'<circle cx="{x:g}" cy="{y:g}" r="2.4" fill="{fill}" stroke="{stroke}"/>'
