"""The yardsticks: the least a Textual program can be, alone or with one line that counts down.

python -m tests.bench.bare still | line | label
"""

from __future__ import annotations

import sys
import time

from textual.app import App, ComposeResult
from textual.widgets import Label, Static


class Still(App[None]):
    """Shows a word and then nothing more."""

    def compose(self) -> ComposeResult:
        yield Static("bare")


class Line(App[None]):
    """One line that says once a second what is left of ten minutes."""

    kind: type[Static] = Static

    def compose(self) -> ComposeResult:
        yield self.kind("bare")

    def on_mount(self) -> None:
        self._ends = time.monotonic() + 600
        self.set_interval(1, self.show_left)

    def show_left(self) -> None:
        minutes, seconds = divmod(int(self._ends - time.monotonic()), 60)
        self.query_one(Static).update(f"bare {minutes:02}:{seconds:02}")


class Narrow(Line):
    """The same on a widget no wider than its text, which is repainted instead of a whole line."""

    kind = Label


APPS: dict[str, type[App[None]]] = {"still": Still, "line": Line, "label": Narrow}

if __name__ == "__main__":
    APPS[sys.argv[1]]().run(mouse=False)
