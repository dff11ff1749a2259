"""`explain READINGS.csv --plan FILE`: what a log of readings earns, and what its fall can mean."""

from __future__ import annotations

import json
import textwrap
from argparse import Namespace
from collections.abc import Iterator

from engine.falling.logged import Explained, explained
from engine.present import explained as words
from engine.present.quantities import System, number
from tui.outside import Outside

COLUMNS = 80
_WORTH_SHOWING = 0.005


def run(outside: Outside, args: Namespace) -> int:
    """Print it; raises what reading the plan or the log raises."""
    plan = outside.read_plan(args.plan)
    said = explained(plan, outside.read_log(args.readings))
    if args.json:
        print(json.dumps(words.as_json(said, plan.units), indent=2))
        return 0
    for line in _sheet(said, plan.units):
        print(line.replace("°", "deg ") if args.ascii else line)
    return 0


def _sheet(said: Explained, system: System) -> Iterator[str]:
    """At 80 columns, what matters first."""
    for line in words.lines(said, system):
        yield from _hung(line, "")
    yield ""
    yield from _hung(f"Consistent with: {words.meaning(said.loss)}.", "")
    for cause, weight in words.causes(said.loss):
        if weight >= _WORTH_SHOWING:
            beside = "" if cause in said.loss.possible else " (misses some readings)"
            yield f"  {number(100 * weight, 0):>4} %  {words.CAUSE[cause]}{beside}"
    if said.loss.weights:
        yield from _hung("How well each fits beside the others; not how likely it is.", "  ")
    yield from _hung(f"Next: {words.NEXT[said.loss.next_measurement]}.", "")
    yield ""
    yield from _hung(words.NO_VERDICT, "")
    yield ""
    yield "Doubts"
    for remark in said.doubts:
        yield from _hung(f"- {words.doubt(remark, system)}", "  ")


def _hung(text: str, indent: str) -> list[str]:
    hang = indent + ("  " if text.startswith("- ") else "")
    return textwrap.wrap(text, COLUMNS, initial_indent=indent, subsequent_indent=hang)
