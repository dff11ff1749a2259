"""A stand to try line widgets on: they stand one below the other, and nothing is behind them."""

from __future__ import annotations

from typing import Any

from rich.console import RenderableType
from textual import events
from textual._compositor import CompositorUpdate
from textual.app import ComposeResult
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widget import Widget

from tui.theme import Look
from tui.widgets.checklist import Checklist, CheckRow
from tui.widgets.entry import Entry
from tui.widgets.lines import Row
from tui.widgets.narrow import NarrowApp, narrowed
from tui.widgets.trend import Point

__all__ = ["ESC", "HOSTILE", "Stand", "check", "plain", "points", "pressed"]

ESC = "\x1b"
HOSTILE = f"[red]x[/] {ESC}]0;title\x07 \u202egnp \u200b 漢字 é 1½"


class Stand(NarrowApp[None]):
    """Gives every key to the widgets, from the top; keeps what is repainted, and where the cursor
    went."""

    ENABLE_COMMAND_PALETTE = False
    AUTO_FOCUS = ""

    def __init__(self, *widgets: Widget, look: Look | None = None) -> None:
        super().__init__(ansi_color=True)
        self.look = look or Look()
        self.moved: list[str] = []
        self.sent: list[str] = []
        self._widgets = widgets

    def compose(self) -> ComposeResult:
        yield from self._widgets

    def _display(self, screen: Screen[Any], renderable: RenderableType | None) -> None:
        super()._display(screen, renderable)
        update = narrowed(renderable)
        if isinstance(update, CompositorUpdate):
            self.sent.append(update.render_segments(self.console))

    def on_key(self, event: events.Key) -> None:
        for widget in self._widgets:
            if isinstance(widget, Entry | Checklist) and widget.take(event):
                return

    def on_checklist_moved(self, message: Checklist.Moved) -> None:
        self.moved.append(message.id)


def plain(*lines: str) -> list[Row]:
    return [((line, "plain"),) for line in lines]


def check(id: str, sign: Any = "open", aside: str = "") -> CheckRow:
    return CheckRow(id, sign, f"Settle {id}", aside)


def points(*values: float) -> list[Point]:
    return [Point(60.0 * n, value, joined=n > 0) for n, value in enumerate(values)]


async def pressed(pilot: Pilot[None], *keys: str) -> None:
    """The keys, and what they changed is drawn."""
    await pilot.press(*keys)
    await pilot.pause()
