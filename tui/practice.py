"""A test on the practice joint as a course: its time runs as fast as asked, or is skipped."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from engine import facts as f
from engine.asking.commands import Write
from engine.clock import Stamp
from engine.planfile import read_plan
from engine.practice import EDITION, FAULTS, Seen, drawn
from engine.rehearsal import seen
from engine.stages import checks_for
from engine.trouble import Trouble
from tui.demo_plan import DEMO
from tui.outside import Journal, Outside
from tui.practice_clock import PracticeClock
from tui.recorder import Recorder
from tui.speeds import faster

NAME: Final = "practice"
"""How the identity of every practice session begins: the store keeps them apart by it."""


class Practice(Recorder):
    """Leaving freezes its time; it goes on from the last record."""

    label = "PRACTICE"

    def __init__(
        self, journal: Journal, real: Callable[[], Stamp], by: str, speed: float = 1.0
    ) -> None:
        records = journal.records()
        self.clock = PracticeClock(real, records[-1].stamp if records else None, speed)
        super().__init__(journal, self.clock, by)

    def faster(self, by: int) -> float:
        """The next speed up or down."""
        speed = faster(self.clock.speed, by)
        self.clock.run_at(speed)
        return speed

    def seen(self) -> Seen | None:
        """What stands before the eye now."""
        return seen(self.session, self.now())

    def skip(self, seconds: float) -> None:
        """So much time passes at once."""
        self.clock.skip(seconds)


def asked(fault: str, speed: float) -> str:
    """The fault by its name in FAULTS; empty where it is to be drawn.

    Raises Trouble for a fault that nobody knows, and for a speed out of reason.
    """
    known = fault.strip().lower().replace(" ", "_").replace("-", "_")
    if known and known not in FAULTS:
        raise Trouble(f"practice: fault {fault[:40]!r}: expected one of {', '.join(FAULTS)}")
    if not 0 < speed <= 1000:
        raise Trouble(f"practice: speed {speed:g}: expected more than 0, at most 1000")
    return known


def practise(outside: Outside, by: str, fault: str, seed: int, speed: float) -> Practice:
    """A new test on the practice joint; without a name the fault is drawn by the seed.

    Raises Trouble for a fault that nobody knows, and for a speed out of reason.
    """
    known = asked(fault, speed) or drawn(seed)
    plan = read_plan({**DEMO, "joint": {**DEMO["joint"], "name": "54 in pipe, wall B (practice)"}})
    course = Practice(outside.shelf.begin(name(outside)), outside.clock, by or "Trainee", speed)
    made = f.Practice(seed=seed, fault=known, edition=EDITION)
    course.ask(Write(f.SessionOpened(plan=plan, checks=checks_for(plan), practice=made)))
    return course


def name(outside: Outside) -> str:
    """A name for a new practice session that no other has."""
    day = f"{outside.clock().wall:%Y-%m-%d}"
    taken = {*outside.shelf.live(), *outside.shelf.sealed()}
    return next(n for i in range(1, 10_000) if (n := f"{NAME}-{day}-{i}") not in taken)


def resumed(journal: Journal, outside: Outside, by: str) -> Recorder:
    """An open test goes on, a practice one on its own time."""
    records = journal.records()
    opened = records[0].fact if records else None
    if isinstance(opened, f.SessionOpened) and opened.practice is not None:
        return Practice(journal, outside.clock, by)
    return Recorder(journal, outside.clock, by)
