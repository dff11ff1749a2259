"""The app for bad links and odd terminals: narrow updates out, no byte too many in.

    class TheApp(NarrowApp[None]): ...

Textual knows the changed columns of a row, but paints from the left edge of the widget up to them;
a digit in column 70 costs the 69 before it.  And it reads the keyboard as strict UTF-8: one byte
that is not, as an accent typed on a Latin-1 terminal, ends all input.  Both are mended here; and
control-L draws the screen anew, for what another program has written over it.
"""

from __future__ import annotations

import codecs
import sys
from typing import ClassVar

from rich.console import Console, RenderableType
from rich.control import Control
from textual._compositor import ChopsUpdate
from textual.app import App, ReturnType
from textual.binding import Binding, BindingType
from textual.driver import Driver
from textual.screen import Screen

__all__ = ["NarrowApp", "NarrowUpdate", "narrowed"]


class NarrowUpdate(ChopsUpdate):
    """The same update, without the cells before each span."""

    def render_segments(self, console: Console) -> str:
        sent: list[str] = []
        for y, start, end in self.spans:
            reached = -1
            for edge, (x, strip) in zip(self.chop_ends[y], self.chops[y].items(), strict=False):
                left, right = max(x, start), min(edge, end)
                if strip is None or left >= right:
                    continue
                if left != reached:
                    sent.append(Control.move_to(left, y).segment.text)
                sent.append(strip.crop(left - x, right - x).render(console))
                reached = right
        return "".join(sent)


class NarrowApp(App[ReturnType]):
    """Writes narrow updates; whole repaints are Textual's own.  An odd byte is shown as a sign."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+l", "redraw", "Draw anew", show=False, priority=True)
    ]

    def action_redraw(self) -> None:
        """Every cell is sent, whatever the terminal is believed to show."""
        if self._driver is not None:
            self._driver.write(Control.clear().segment.text)
        self._display(self.screen, self.screen._compositor.render_full_update())

    def get_driver_class(self) -> type[Driver]:
        driver = super().get_driver_class()
        names = vars(sys.modules[driver.__module__])
        if "getincrementaldecoder" in names:
            names["getincrementaldecoder"] = _forgiving
        return driver

    def _display(self, screen: Screen[object], renderable: RenderableType | None) -> None:
        super()._display(screen, narrowed(renderable))


def narrowed(renderable: RenderableType | None) -> RenderableType | None:
    """A partial update made narrow; anything else as it is."""
    if type(renderable) is not ChopsUpdate:
        return renderable
    return NarrowUpdate(renderable.chops, renderable.spans, renderable.chop_ends)


def _forgiving(encoding: str) -> type[codecs.IncrementalDecoder]:
    """Textual's decoder of the keyboard, which replaces what it cannot read."""
    strict = codecs.getincrementaldecoder(encoding)

    class Forgiving(strict):  # type: ignore[misc, valid-type]
        def __init__(self, errors: str = "replace") -> None:
            super().__init__(errors)

    return Forgiving
