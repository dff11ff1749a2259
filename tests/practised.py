"""Whole practice runs without a screen: the technician works, a fault or not, to the end."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from typing import Any, cast

from engine import facts as f
from engine.asking.commands import Abandon, Command, Refused, Write
from engine.clock import Stamp
from engine.debrief import conclusion
from engine.units import q
from tui.memory import MemoryShelf
from tui.outside import Outside
from tui.practice import Practice, practise
from tui.technician import next_move

__all__ = ["Real", "finish", "outside", "practice", "run"]


class Real:
    """The clock on the wall, moved by hand."""

    def __init__(self) -> None:
        self.wall = datetime(2031, 5, 6, 8, 30, tzinfo=timezone(timedelta(hours=-5)))
        self.ticks = 50.0

    def __call__(self) -> Stamp:
        return Stamp(self.wall, "boot-9", self.ticks)

    def go(self, seconds: float) -> None:
        self.wall += timedelta(seconds=seconds)
        self.ticks += seconds


def outside(real: Real, shelf: Any = None) -> Outside:
    """All that practice asks for, and nothing else."""
    return Outside(
        clock=real, shelf=shelf or MemoryShelf(), by="", **dict.fromkeys(_UNUSED, cast(Any, None))
    )


_UNUSED = ("read_plan", "read_log", "identity", "found", "take_in", "catalogue", "index")


def practice(fault: str, seed: int = 5, real: Real | None = None) -> Practice:
    return practise(outside(real or Real()), "T. Example", fault, seed, 1.0)


def run(course: Practice, until: str = "", most: int = 120) -> Practice:
    """Everything as it should be done: until a stage, for so many moves, or to the end."""
    for _ in range(most):
        there = course.seen()
        if there is None or course.session.closed or course.session.stage == until:
            break
        move = next_move(course.session, course.now(), there)
        if move is None:
            break
        course.skip(move.after)
        command = _again(course) or move.command
        if move.command is not None and command is not None:
            try:
                course.ask(command)
            except Refused:
                break
    return course


def _again(course: Practice) -> Command | None:
    """What is to be done now that the time has passed."""
    there = course.seen()
    later = next_move(course.session, course.now(), there) if there is not None else None
    return later.command if later is not None else None


def finish(course: Practice, says: str = "") -> Practice:
    """What was found is said, and the test ended: with a verdict, or abandoned and released."""
    if says:
        course.ask(Write(conclusion(says)))
    if course.session.closed:
        return course
    course.ask(Write(f.ValveTurned(which="inlet", share=0.0)))
    course.ask(Write(f.ValveTurned(which="vent", share=1.0)))
    course.skip(600.0)
    course.ask(Write(f.PressureReleased(gauge=q(0.0, "psi"), vent_quiet=True)))
    course.ask(Abandon("it cannot go on so"))
    return course
