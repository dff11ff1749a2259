"""A store with one test in the middle of its hold, now, on this machine's own clocks.

    python -m tests.bench.in_hold FOLDER
    python -m tests.bench.wire --marker holdwater --step "enter:Next reading" -- \\
        holdwater --store FOLDER --by Bench
"""

from __future__ import annotations

import sys
from datetime import timedelta
from pathlib import Path

from engine.present.row import row
from store.shelf import Shelf
from tests.plans import plan
from tests.story import Story
from tui.__main__ import _machine_clock

SESSION = "bench-hold"


def told() -> Story:
    """A hold that began now, by a clock that starts so that it ends now."""
    story = Story(plan(procedure__longest_gap="30 min", procedure__reading_every="20 min"))
    story.to("hold").raise_to()
    story.read(13.5)
    story.pass_time(60).read(13.5)
    return story


def make(folder: Path) -> None:
    story = told()
    now = _machine_clock()()
    shelf = Shelf(folder)
    journal = shelf.begin(SESSION)
    for record in story.records:
        before = story.ticks - record.ticks
        stamp = now._replace(wall=now.wall - timedelta(seconds=before), ticks=now.ticks - before)
        journal.append(record.fact, stamp, record.by)
    shelf.put_row(SESSION, row(SESSION, story.session))
    shelf.close()


if __name__ == "__main__":
    make(Path(sys.argv[1]))
