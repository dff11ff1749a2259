"""A screen with a list that gets shorter while one types what is looked for."""

from __future__ import annotations

from textual import events

from tui.screens.conversing import Conversing
from tui.widgets.entry import Entry
from tui.widgets.keys import KeyHint, Keys
from tui.widgets.picker import Picker


class Searching(Conversing):
    """Enter keeps what was found, Esc shows all again; up and down move in the list meanwhile."""

    def __init__(self) -> None:
        super().__init__()
        self._wanted = ""
        """What is looked for; empty for all."""
        self._searching = False

    def narrow(self) -> None:
        """The list shows what is wanted."""
        raise NotImplementedError

    def search(self) -> None:
        """From now on keys are what is looked for."""
        self._searching = True
        self.query_one(Entry).ask("Search", None, self._wanted)
        self.query_one(Keys).update([KeyHint("Enter", "done"), KeyHint("Esc", "show all")])

    def route(self, event: events.Key) -> bool:
        if not self._searching:
            return super().route(event)
        entry, listed = self.query_one(Entry), self.query_one("#list", Picker)
        if event.key in ("enter", "escape"):
            self._searching = False
            self._wanted = self._wanted if event.key == "enter" else ""
            self.leave()
            self.narrow()
        elif event.key in ("up", "down", "pageup", "pagedown") and listed.take(event):
            pass
        elif entry.take(event):
            self._typed()
        return True

    def pasted(self) -> None:
        if self._searching:
            self._typed()

    def _typed(self) -> None:
        entry = self.query_one(Entry)
        if entry.text == self._wanted:
            return
        self._wanted = entry.text
        self.query_one("#list", Picker).move_to(0)
        self.narrow()
