"""One line that shows a whole course of time: its parts, what happened, and where one stands.

    track.update([Part(0.0, "Prepare"), Part(0.4, "Seal")], [(0.6, 0.8)], [(0.7, "!")], 0.65)

Places are shares of the whole, from 0 to 1.  A part is `-`, a stretch in it `=`, and the cursor `#`
stands over everything.  What lies beyond `known` is left blank.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from tui.widgets.lines import Lines, Row

__all__ = ["Part", "Track"]


class Part(NamedTuple):
    """Begins here and lasts to the next."""

    start: float
    name: str


class Track(Lines):
    """Where one stands in the whole."""

    DEFAULT_CSS = """
    Track { height: 1; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._parts: tuple[Part, ...] = ()
        self._stretches: tuple[tuple[float, float], ...] = ()
        self._signs: tuple[tuple[float, str], ...] = ()
        self._at, self._known = 0.0, 1.0

    def update(
        self,
        parts: Iterable[Part],
        stretches: Iterable[tuple[float, float]],
        signs: Iterable[tuple[float, str]],
        at: float,
        known: float = 1.0,
    ) -> None:
        self._parts, self._stretches, self._signs = tuple(parts), tuple(stretches), tuple(signs)
        self._at, self._known = at, known
        self.redraw()

    def rows(self, width: int, height: int) -> list[Row]:
        def place(share: float) -> int:
            return max(0, min(width - 1, round(share * (width - 1))))

        cells = [("-", "dim")] * width
        for first, last in self._stretches:
            for x in range(place(first), place(last) + 1):
                cells[x] = ("=", "accent")
        starts = [place(part.start) for part in self._parts]
        for part, start, end in zip(self._parts, starts, [*starts[1:], width], strict=True):
            for x, sign in enumerate(f"|{part.name}"[: max(1, end - start)], start):
                cells[x] = (sign, "plain")
        for share, sign in self._signs:
            cells[place(share)] = (sign, "warn strong")
        for x in range(place(self._known) + 1, width):
            cells[x] = (" ", "plain")
        cells[place(self._at)] = ("#", "strong chosen")
        return [tuple(cells)]
