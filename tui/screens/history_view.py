"""What the history screen shows: plain rows, made from rows of the index.  Loads no units."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from typing import Final, NamedTuple

from engine.history import Chart, Filter, chart, trend
from engine.history.shown import figure, shown_in, units_of
from engine.history.trend import LEAST, Figure, Point
from tui.histories import tone
from tui.outside import Row as Listed
from tui.widgets.lines import Row
from tui.widgets.plot import Band, Dot

VIEWS: Final = ("sessions", "standing", "story", "trend")
_WORDS: Final = {
    "product": "{}",
    "alignment": "{}",
    "outcome": "{}",
    "gauge": "gauge {}",
    "by": "by {}",
    "since": "since {}",
    "until": "until {}",
}


def filtered(chosen: Filter) -> str:
    """What is asked of the sessions shown, in words."""
    given = {f.name: getattr(chosen, f.name) for f in fields(chosen)}
    return ", ".join(
        word.format(given[name]) for name, word in _WORDS.items() if given[name] is not None
    )


def session(row: Listed) -> Row:
    """One line of the list."""
    state = str(row.get("state", ""))
    return (
        (f"{row.get('when', '')!s:<16.16} ", "plain"),
        (f"{state:<9.9} ", f"{tone(row)} strong"),
        (f"{_product(row):<22.22} ", "plain"),
        (f"{row.get('alignment', '')!s:<9.9} ", "dim"),
        (f"{row.get('marks', '')!s:<17.17}", "plain"),
    )


def _product(row: Listed) -> str:
    return f"{'practice: ' if row.get('practice') else ''}{row.get('product', '')}"


# --- the trend of a product ---------------------------------------------------------------------


class Course(NamedTuple):
    """A figure of a product from session to session, ready to be drawn."""

    points: tuple[Point, ...]
    dots: tuple[Dot, ...]
    band: Band | None
    usual: str
    """What is usual, in words."""
    word: str
    """Of the last one; empty where it is as usual."""


def course(rows: Sequence[Listed], product: str, name: Figure, alignment: str | None) -> Course:
    points, units = trend(rows, product, name, alignment), units_of(rows, product)
    limits = chart(points)
    size = shown_in(name, units).size
    outside = frozenset(limits.outside) if limits else frozenset()
    dots = tuple(
        Dot(point.when[:10], point.value / size, n in outside) for n, point in enumerate(points)
    )
    band = Band(limits.low / size, limits.mean / size, limits.high / size) if limits else None
    usual = _usual(len(points), limits, name, units)
    return Course(points, dots, band, usual, limits.word if limits else "")


def _usual(count: int, limits: Chart | None, name: Figure, units: str) -> str:
    if limits is None:
        many = f"{count} test{'' if count == 1 else 's'} with this figure"
        return f"{many}: what is usual is said from {LEAST} on"
    shown, high = shown_in(name, units), figure(name, limits.high, units)
    outside = f"; {len(limits.outside)} outside (X)" if limits.outside else ""
    lowest = f"{limits.low / shown.size:.{shown.places}f}"
    mean = figure(name, limits.mean, units)
    return f"usual: {lowest} to {high}, mean {mean}, of {count} tests{outside}"


def point_row(rows: Sequence[Listed], name: Figure, point: Point | None) -> Row:
    """The session under the cursor."""
    if point is None:
        return ()
    row: Listed = next((r for r in rows if r.get("session") == point.session), {})
    units = units_of(rows, str(row.get("product", "")))
    return (
        (f"{figure(name, point.value, units):>12} ", "accent strong"),
        (f"{row.get('state', '')}", tone(row)),
        (f"  {point.when}  {row.get('marks', '')}  {point.session}", "plain"),
    )
