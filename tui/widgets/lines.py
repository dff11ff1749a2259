"""Lines of text that repaint only the cells that changed: the base of every widget here.

    lines = Lines()                                   # height by CSS: fixed or fractional
    lines.show([(("credit ", "dim"), ("4:20", "good strong"))])

A row is spans of (text, style names of `tui.theme`).  Rows are cut to the width, blank rows fill
the height, and every text is made harmless on its way to the screen.  A subclass that lays out by
width overrides `rows` and calls `redraw` when its data change.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from operator import itemgetter
from typing import NamedTuple

from rich.cells import cell_len
from rich.segment import Segment
from textual.geometry import Region, Size
from textual.strip import Strip
from textual.widget import Widget

from tui import theme
from tui.theme import Look

__all__ = ["Cell", "Lines", "Row", "Span", "changed", "cut", "fitted", "hung", "look_of", "wrapped"]

Span = tuple[str, str]
Row = tuple[Span, ...]

_WORTH_SKIPPING = 16  # unchanged cells that cost more to send than a move of the cursor
_MOST_MARKS = 4  # a sign and the accents on it; towers of them climb over other rows


class Cell(NamedTuple):
    """One column of a row; the second column of a wide sign holds no text."""

    text: str
    style: str


class Lines(Widget):
    """Rows of text, each as wide as the widget."""

    DEFAULT_CSS = """
    Lines { height: 1fr; width: 1fr; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._given: tuple[Row, ...] = ()
        self._shown: list[list[Cell]] = []
        self._laid_for = Size(0, 0)

    @property
    def look(self) -> Look:
        """What the terminal can show, as the app was told."""
        return look_of(self)

    def show(self, rows: Iterable[Row]) -> None:
        """These rows are shown; only the cells that differ are repainted."""
        self._given = tuple(rows)
        self.redraw()

    def rows(self, width: int, height: int) -> Sequence[Row]:
        """The rows for this size; a subclass lays out its own data here."""
        return self._given

    def redraw(self) -> None:
        """What `rows` says now is on the screen; only the cells that differ are repainted."""
        if not self.is_attached or not self.size or self._laid_for != self.size:
            self._laid_for = Size(0, 0)  # laid out when it is painted, at whatever size
            self.refresh()
            return
        before, self._shown = self._shown, self._lay_out()
        regions = [
            Region(start, y, end - start, 1)
            for y, (old, new) in enumerate(zip(before, self._shown, strict=True))
            for start, end in changed(old, new)
        ]
        if regions:
            self.refresh(*regions)

    def render_line(self, y: int) -> Strip:
        # The first paint can come before the Resize event, so the size is looked at here.
        if self._laid_for != self.size:
            self._laid_for = self.size
            self._shown = self._lay_out()
        if y >= len(self._shown):
            return Strip.blank(self.size.width)
        colour = self.look.colour
        base = theme.style("plain") if self.app.native_ansi_color else self.visual_style.rich_style
        runs = groupby(self._shown[y], key=itemgetter(1))
        segments = [
            Segment("".join(cell.text for cell in run), base + theme.style(names, colour))
            for names, run in runs
        ]
        return Strip(segments, self.size.width)

    def _lay_out(self) -> list[list[Cell]]:
        width, height = self.size
        rows = list(self.rows(width, height))[:height]
        rows += [()] * (height - len(rows))
        return [fitted(row, width, self.look.ascii) for row in rows]


def look_of(widget: Widget) -> Look:
    """The app's `look`, or the ordinary one where it has none."""
    look = getattr(widget.app, "look", None)
    return look if isinstance(look, Look) else Look()


def changed(old: Sequence[Cell], new: Sequence[Cell]) -> Iterator[tuple[int, int]]:
    """Spans [start, end) that differ; near ones are joined, wide signs are never halved."""
    start = end = -1
    for x, (was, now) in enumerate(zip(old, new, strict=True)):
        if was == now:
            continue
        if start >= 0 and x - end >= _WORTH_SKIPPING:
            yield _whole(new, start, end)
            start = -1
        start, end = (x if start < 0 else start), x + 1
    if start >= 0:
        yield _whole(new, start, end)


def _whole(cells: Sequence[Cell], start: int, end: int) -> tuple[int, int]:
    while start > 0 and not cells[start].text:
        start -= 1
    while end < len(cells) and not cells[end].text:
        end += 1
    return start, end


def fitted(row: Row, width: int, ascii: bool = False) -> list[Cell]:
    """Exactly `width` cells; a row that is too long ends in a sign that says so."""
    cells = [cell for text, names in row for cell in _cells(theme.sanitise(text, ascii), names)]
    if len(cells) <= width:
        return cells + [Cell(" ", "plain")] * (width - len(cells))
    cells = cells[:width]
    for x in range(width - 1, -1, -1):  # a wide sign cut in half goes as well
        whole = cells[x].text
        cells[x] = Cell("~" if ascii else "…", cells[x].style)
        if whole:
            cells[x + 1 :] = [Cell(" ", "plain")] * (width - x - 1)
            break
    return cells


def _cells(text: str, names: str) -> list[Cell]:
    if text.isascii():
        return [Cell(sign, names) for sign in text]
    cells: list[Cell] = []
    for sign in text:
        columns = cell_len(sign)
        if columns == 0 and cells and 0 < len(cells[-1].text) < _MOST_MARKS:
            cells[-1] = Cell(cells[-1].text + sign, names)  # it sits on the sign before it
        elif columns:
            cells += [Cell(sign, names), *[Cell("", names)] * (columns - 1)]
    return cells


def cut(text: str, width: int, ascii: bool = False) -> str:
    """`text` made harmless and no wider than `width`, ending in a sign if something was cut."""
    if width <= 0:
        return ""
    return "".join(cell.text for cell in fitted(((text, "plain"),), width, ascii)).rstrip()


def wrapped(text: str, width: int, most: int, ascii: bool = False) -> list[str]:
    """At most `most` lines, broken at blanks where possible; the last says if more was cut."""
    words = theme.sanitise(text, ascii).split()
    lines: list[str] = []
    while words and len(lines) < most - 1:
        taken = 1
        while taken < len(words) and cell_len(" ".join(words[: taken + 1])) <= width:
            taken += 1
        if cell_len(words[0]) > width:  # nowhere to break: only the last line may be cut
            break
        lines.append(" ".join(words[:taken]))
        words = words[taken:]
    return [*lines, cut(" ".join(words), width, ascii)] if words else lines


def hung(head: Span, text: str, width: int, most: int, style: str = "plain") -> list[Row]:
    """`text` behind `head` on at most `most` rows, the further ones as far in as the first."""
    lines = wrapped(text, width - cell_len(head[0]), most)
    blank = (" " * cell_len(head[0]), "plain")
    return [(head if n == 0 else blank, (line, style)) for n, line in enumerate(lines)]
