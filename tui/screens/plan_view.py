"""What the plan screen shows: plain rows, made from a plan and what it works out to."""

from __future__ import annotations

from datetime import date
from typing import Final

from engine.plan import work_out
from engine.planfile import PlanFile
from engine.present import plan as words
from engine.present import tables
from tui.widgets.lines import Row, hung, wrapped

_WHAT: Final = 30
_VALUE: Final = 14


def rows(plan: PlanFile, on: date, width: int) -> list[Row]:
    """What governs first; then why not, the tables, and the lists."""
    worked = work_out(plan, on=on)
    system = plan.units
    tone = "bad" if worked.refusals else "good"
    made: list[Row] = [((plan.joint.name, "strong"),)]
    made += [((line, f"{tone} strong"),)
             for line in wrapped(words.headline(worked, system), width, 2)]  # fmt: skip
    made += _list("Why not as planned", "! ", words.refusals(worked, system), width)
    for table in tables.tables(plan, worked):
        made += [(), ((table.title, "strong"),)]
        made += [_table_row(row.what, row.value, row.beside) for row in table.rows]
    resting = tuple(f"{why} [{figures}]" for figures, why in words.doubts(worked, system))
    made += _list("Cautions", "- ", words.cautions(worked, system), width)
    made += _list("Doubts, and the figures that rest on them", "? ", resting, width)
    made += _list("Bring along", "- ", words.kit(worked, system), width)
    return made


def _table_row(what: str, value: str, beside: str) -> Row:
    return (
        (f"  {what:<{_WHAT}.{_WHAT}} ", "dim"),
        (f"{value:>{_VALUE}} ", "plain"),
        (beside, "dim"),
    )


def _list(title: str, sign: str, lines: tuple[str, ...], width: int) -> list[Row]:
    if not lines:
        return []
    made: list[Row] = [(), ((title, "strong"),)]
    for line in lines:
        made += hung((f"  {sign}", "plain"), line, width, 6)
    return made
