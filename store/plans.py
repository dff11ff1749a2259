"""A plan file and the catalogue it may name entries of, made into a plan."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from store.catalogue import Catalogue
from store.faults import plain
from store.toml import plan_data

if TYPE_CHECKING:
    from engine.planfile import PlanFile


def plan_of(path: Path, catalogue: Catalogue) -> tuple[PlanFile, dict[str, Any]]:
    """The plan, and the file as it was written.  Raises Trouble: a line a fault, each with the
    file's name."""
    from engine.entries import resolve
    from engine.planfile import BadPlan, read_plan
    from engine.trouble import Trouble

    data = plan_data(path)
    try:
        return read_plan(resolve(data, catalogue.values)), data
    except BadPlan as bad:
        name = plain(path.name)
        raise Trouble("\n".join(f"{name}: {line}" for line in str(bad).splitlines())) from None
