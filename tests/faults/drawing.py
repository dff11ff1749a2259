"""A small program that draws without end and leaves a beat in a file each time it does.

    python -m tests.faults.drawing BEATS [idle | stuck]

`idle` draws once; `stuck` keeps the main thread to itself after the first frame.
"""

from __future__ import annotations

import itertools
import os
import sys
import time
from pathlib import Path
from typing import ClassVar

from textual.app import App, ComposeResult
from textual.binding import BindingType
from textual.widgets import Static

from tui import hangup

BUSY = 0.01  # seconds between whole screens: far more than a stalled link can hold


class Drawing(App[None]):
    """Whole screens, one after the other."""

    BINDINGS: ClassVar[list[BindingType]] = [("q", "quit", "Quit")]
    ENABLE_COMMAND_PALETTE = False

    def __init__(self, beats: Path, manner: str) -> None:
        super().__init__()
        self._beats = beats
        self._manner = manner
        self._numbers = itertools.count()

    def compose(self) -> ComposeResult:
        yield Static("drawing")

    def on_ready(self) -> None:
        if self._manner == "idle":
            return
        if self._manner == "stuck":
            self.set_timer(0.05, stay)
            return
        self.set_interval(BUSY, self.draw)

    def draw(self) -> None:
        row = f"drawing {next(self._numbers)} ".ljust(79, ".")
        self.query_one(Static).update("\n".join([row] * 20))
        with self._beats.open("a") as beats:
            beats.write(".")


def stay() -> None:
    """The loop never gets the thread back."""
    while True:
        time.sleep(1)


def main() -> None:
    beats, *manner = sys.argv[1:]
    Path(beats).write_text(f"{os.getpid()}\n")
    app = Drawing(Path(beats), *(manner or ["busy"]))
    hangup.take(lambda: app.call_from_thread(app.exit))
    app.run(mouse=False)


if __name__ == "__main__":
    main()
