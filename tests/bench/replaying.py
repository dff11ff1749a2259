"""A day of readings opened for replay, and moved through: `python -m tests.bench.replaying`.

Budget: 20,000 records open in under a second; to draw any moment of it takes under a tenth.  The
ratios are to folding the records once, and to drawing the same moment of a short test.
"""

from __future__ import annotations

import asyncio
import time
from collections.abc import Sequence

from engine import facts as f
from engine.clock import Stamp
from engine.facts import Record, record
from engine.session import fold
from engine.units import q
from tests.story import START, Story
from tui.player import Player
from tui.screens.replay import ReplayScreen
from tui.theme import Look
from tui.widgets.narrow import NarrowApp

RECORDS = 20_000
PLACES = 25
OPEN_S, SEEK_S = 1.0, 0.1


def day(count: int) -> list[Record]:
    """A test in hold with a reading every four seconds, and a look now and then."""
    story = Story().to("hold").raise_to()
    records = list(story.records)
    while len(records) < count:
        story.pass_time(4)
        fact: f.Fact = f.PressureRead(pressure=q(13.5, "psi"), ago=0.0)
        if len(records) % 500 == 0:
            fact = f.Looked(dry=True, ago=0.0)
        records.append(record(len(records) + 1, fact, story.stamp, story.by))
    return records


class Shown(NarrowApp[None]):
    def __init__(self, player: Player) -> None:
        super().__init__()
        self.look, self.player = Look(), player

    def on_mount(self) -> None:
        self.push_screen(ReplayScreen(self.player))


def still() -> Stamp:
    return Stamp(START, "boot-1", 0.0)


async def drawn(player: Player, places: Sequence[int]) -> list[float]:
    """Seconds of work from the move to the screen that shows it, for each place."""
    app, took = Shown(player), []
    async with app.run_test(size=(80, 24)) as pilot:
        for place in places:
            start = time.process_time()
            player.to_record(place)
            app.screen._moved_on()  # type: ignore[attr-defined]
            took.append(time.process_time() - start)
            await pilot.pause()
    return took


def main() -> None:
    records = day(RECORDS)
    start = time.process_time()
    fold(records)
    folding = time.process_time() - start
    start = time.process_time()
    player = Player("day", records, still)
    opening = time.process_time() - start
    jumps = [1 + (n * 7919) % RECORDS for n in range(PLACES)]
    seeks = asyncio.run(drawn(player, [RECORDS, *jumps, 1]))
    short = asyncio.run(drawn(Player("short", records[:80], still), [80, 1] * 5))
    worst, usual = max(seeks), sorted(seeks)[len(seeks) // 2]
    print(f"open   {opening:6.3f} s   {opening / folding:5.2f} x folding   budget {OPEN_S:g} s")
    print(f"seek   {usual:6.3f} s   {usual / (sum(short) / len(short)):5.2f} x a short test   "
          f"worst {worst:.3f} s   budget {SEEK_S:g} s")  # fmt: skip


if __name__ == "__main__":
    main()
