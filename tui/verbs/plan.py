"""`plan FILE`: what the plan works out, as tables at 80 columns or as JSON."""

from __future__ import annotations

import json
from argparse import Namespace
from collections.abc import Sequence

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from engine.plan import work_out
from engine.planfile import PlanFile
from engine.present import plan as words
from tui.outside import Outside

COLUMNS = 80
REFUSED = 1


def run(outside: Outside, args: Namespace) -> int:
    """Print the plan; 1 where the test must not be run as planned.

    Raises what `outside.read_plan` raises for a plan file that cannot be used.
    """
    plan = outside.read_plan(args.file)
    worked = work_out(plan, on=outside.clock().wall.date())
    if args.json:
        print(json.dumps(words.as_json(worked, plan.units), indent=2))
    else:
        _print(plan, outside, args)
    return REFUSED if worked.refusals else 0
