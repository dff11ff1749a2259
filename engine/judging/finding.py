"""What a rule behind a computed check finds."""

from __future__ import annotations

from dataclasses import dataclass

from engine.units import Quantity


@dataclass(frozen=True)
class Finding:
    """What a rule found; `ok` None where the records and the plan do not say."""

    ok: bool | None
    measure: Quantity | None = None
    limit: Quantity | None = None
    records: tuple[int, ...] = ()
    why: str = ""
    """Which part of the rule decided, for present.py to put into words."""
