"""What a program costs on the wire, to start, and in processor time, beside bare programs.

    python -m tests.bench.wire
    python -m tests.bench.wire --marker Hold --step "s:Stage" -- holdwater demo

Everything runs on a terminal of 80 x 24, the programs by turns, so that a busy machine is busy
for all of them.  A step is keys, a colon, and the text to wait for before going on.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from statistics import median
from typing import Final

from tests.terminal import Terminal

BARE: Final = (sys.executable, "-m", "tests.bench.bare")
_QUIET: Final = 0.4  # seconds without a byte after which what follows counts as steady
_PATIENCE: Final = 30.0


@dataclass(frozen=True)
class Program:
    """A command, the text that shows its first frame, and the way to the state to be measured."""

    name: str
    command: Sequence[str]
    marker: str
    steps: Sequence[tuple[Sequence[str], str]] = ()


@dataclass
class Figures:
    """Of one program: first frames [s], bytes to draw them, then bytes a second and processor."""

    frames: list[float] = field(default_factory=list)
    opening: int = 0
    wire: float = 0.0
    processor: float = 0.0

    @property
    def frame(self) -> float:
        return median(self.frames)


STILL = Program("bare app", (*BARE, "still"), "bare")
LINE = Program("bare countdown", (*BARE, "line"), "bare")
LABEL = Program("narrow countdown", (*BARE, "label"), "bare")


def first_frame(program: Program) -> float:
    """Seconds from the start of the process to the bytes that complete the marker."""
    with Terminal(*program.command) as terminal:
        return terminal.wait_for(program.marker, timeout=_PATIENCE)


def steady(program: Program, seconds: float, figures: Figures) -> None:
    """Fill in the bytes of the opening, then bytes a second and share of one core."""
    with Terminal(*program.command) as terminal:
        terminal.wait_for(program.marker, timeout=_PATIENCE)
        terminal.count(_QUIET)
        figures.opening = terminal.received
        for keys, text in program.steps:
            terminal.press(*keys).wait_for(text, timeout=_PATIENCE)
        terminal.count(_QUIET)
        before = terminal.processor()
        figures.wire = terminal.count(seconds) / seconds
        figures.processor = (terminal.processor() - before) / seconds


def measure(programs: Sequence[Program], seconds: float, runs: int) -> dict[str, Figures]:
    """Figures by name; the first start of each only warms the files and is not counted."""
    figures = {program.name: Figures() for program in programs}
    for run in range(runs + 1):
        for program in programs:
            took = first_frame(program)
            if run:
                figures[program.name].frames.append(took)
    for program in programs:
        steady(program, seconds, figures[program.name])
    return figures


def table(figures: dict[str, Figures]) -> list[str]:
    """Absolute figures and, beside them, the ratios that the budgets speak of."""
    still, line, label = (figures[each.name] for each in (STILL, LINE, LABEL))
    head = (
        f"{'':20}{'first frame':>13}{'ratio':>7}{'opening':>10}{'wire':>11}{'ratio':>7}{'core':>8}"
    )
    rows = [
        f"{name:20}{each.frame * 1000:10.0f} ms{each.frame / still.frame:7.2f}"
        f"{each.opening:8} B{each.wire:7.0f} B/s{each.wire / line.wire:7.2f}{each.processor:8.2%}"
        for name, each in figures.items()
    ]
    foot = (
        f"ratios: first frame to the {STILL.name} (budget 1.25), wire to the {LINE.name} "
        f"(budget 1.5; the {LABEL.name} is {label.wire / line.wire:.2f}), core budget 1 %"
    )
    return [head, *rows, foot]


def step(text: str) -> tuple[Sequence[str], str]:
    """`1 3 . 2 enter:13.2` as keys and the text that answers them."""
    keys, colon, answer = text.partition(":")
    if not colon or not keys.split() or not answer:
        raise argparse.ArgumentTypeError(f"{text!r} is not KEYS:TEXT, as in 's:Stage'")
    return keys.split(), answer


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.wire", description=__doc__)
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("--seconds", type=float, default=10, help="how long a steady state is")
    parser.add_argument("--runs", type=int, default=5, help="starts counted for each program")
    parser.add_argument("--marker", help="text that shows the first frame of the command")
    parser.add_argument("--step", type=step, action="append", default=[], metavar="KEYS:TEXT")
    parser.add_argument("command", nargs="*", help="the program to measure, after --")
    given = parser.parse_args()
    if given.command and not given.marker:
        parser.error("a command needs --marker, the text that shows its first frame")
    return given


def main() -> None:
    given = arguments()
    programs = [STILL, LINE, LABEL]
    if given.command:
        programs.append(Program(given.command[0], given.command, given.marker, given.step))
    for row in table(measure(programs, given.seconds, given.runs)):
        print(row)


if __name__ == "__main__":
    main()
