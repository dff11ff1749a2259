"""`plan FILE`: what the plan works out, as tables at 80 columns or as JSON."""

from __future__ import annotations

import json
import os
from argparse import Namespace

from rich.console import Console
from rich.table import Table
from rich.text import Text

from engine.plan import Plan, work_out
from engine.planfile import PlanFile
from engine.present import plan as words
from engine.present import tables
from tui.outside import Outside
from tui.theme import look_for, sanitise

COLUMNS = 80
REFUSED = 1
_WHAT, _VALUE = 30, 14


def run(outside: Outside, args: Namespace) -> int:
    """Print the plan; 1 where the test must not be run as planned.

    Raises what `outside.read_plan` raises for a plan file that cannot be used.
    """
    plan = outside.read_plan(args.file)
    worked = work_out(plan, on=outside.clock().wall.date())
    if args.json:
        print(json.dumps(words.as_json(worked, plan.units), indent=2))
    else:
        Sheet(look_for(os.environ, args.ascii).ascii).show(plan, worked)
    return REFUSED if worked.refusals else 0


class Sheet:
    """A plan as it is printed: 80 columns, and no colour but on a terminal."""

    def __init__(self, ascii_only: bool) -> None:
        self._ascii = ascii_only
        self._console = Console(width=COLUMNS, highlight=False, markup=False, emoji=False)

    def show(self, plan: PlanFile, worked: Plan) -> None:
        system = plan.units
        self._console.print(self._text(plan.joint.name), style="bold")
        self._console.print(self._text(words.headline(worked, system)), style="bold")
        self._list("Why not as planned", "!", words.refusals(worked, system))
        for table in tables.tables(plan, worked):
            self._heading(table.title)
            self._console.print(self._drawn(table))
        self._list("Cautions", "-", words.cautions(worked, system))
        resting = tuple(f"{why} [{figures}]" for figures, why in words.doubts(worked, system))
        self._list("Doubts, and the figures that rest on them", "?", resting)
        self._list("Bring along", "-", words.kit(worked, system))

    def _text(self, text: str) -> Text:
        return Text(sanitise(text, self._ascii))

    def _heading(self, title: str) -> None:
        self._console.print()
        self._console.print(self._text(title), style="bold")

    def _drawn(self, table: tables.Table) -> Table:
        """Without lines: what a reader runs down is the column of figures."""
        drawn = _columns(_WHAT, _VALUE, COLUMNS - _WHAT - _VALUE - 2)
        drawn.columns[1].justify = "right"
        for row in table.rows:
            drawn.add_row(*(self._text(t) for t in (f"  {row.what}", row.value, row.beside)))
        return drawn

    def _list(self, title: str, sign: str, lines: tuple[str, ...]) -> None:
        if not lines:
            return
        self._heading(title)
        hung = _columns(3, COLUMNS - 4)
        for line in lines:
            hung.add_row(f"  {sign}", self._text(line))
        self._console.print(hung)


def _columns(*widths: int) -> Table:
    table = Table(box=None, show_header=False, padding=(0, 1), pad_edge=False)
    for width in widths:
        table.add_column(width=width)
    return table
