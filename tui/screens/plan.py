"""The plan screen: everything that can be worked out before there is water."""

from __future__ import annotations

from datetime import date
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from engine.planfile import PlanFile
from tui.screens import plan_view
from tui.screens.following import follow
from tui.widgets.keys import KeyHint, Keys
from tui.widgets.sheet import Sheet


class PlanScreen(Screen[bool]):
    """Read, then start (True) or leave (False); from a running test it is only read."""

    AUTO_FOCUS = ""
    DEFAULT_CSS = """
    PlanScreen { layout: vertical; }
    """
    BINDINGS: ClassVar = []

    def __init__(self, plan: PlanFile, on: date, may_start: bool) -> None:
        super().__init__()
        self._plan, self._on, self._may_start = plan, on, may_start

    def compose(self) -> ComposeResult:
        yield Sheet(id="sheet")
        yield Keys(id="keys")

    def on_mount(self) -> None:
        start = [KeyHint("Enter", "start this test")] if self._may_start else []
        self.query_one(Keys).update([*start, KeyHint("Up Down", "read"), KeyHint("Esc", "back")])

    def on_resize(self, event: events.Resize) -> None:
        self.query_one(Sheet).show(plan_view.rows(self._plan, self._on, event.size.width))

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        if not self.is_active:
            follow(self, event)
        elif event.key == "enter" and self._may_start:
            self.dismiss(True)
        elif event.key in ("escape", "q", "ctrl+c", "enter"):
            self.dismiss(False)
        else:
            self.query_one(Sheet).take(event)
