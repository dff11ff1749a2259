"""Quantities, times, checks, records and verdicts in words: the only formatting there is."""

from engine.present.checks import (
    ALL_ROUND,
    ONLY_WATER,
    VOUCHER,
    asked,
    check,
    finding,
    open_check,
    why,
)
from engine.present.moments import day_and_time, time_of_day, wall
from engine.present.quantities import (
    System,
    clock_position,
    duration,
    number,
    pressure,
    quantity,
)
from engine.present.reasons import reason
from engine.present.records import fact_name, record
from engine.present.revisions import revisions
from engine.present.words import (
    CAUTION,
    GENERAL_CAUTIONS,
    NOT_UNDER_PRESSURE,
    OUTCOME,
    PLACE,
    STAGE,
    ended_as,
)

__all__ = [
    "ALL_ROUND",
    "CAUTION",
    "GENERAL_CAUTIONS",
    "NOT_UNDER_PRESSURE",
    "ONLY_WATER",
    "OUTCOME",
    "PLACE",
    "STAGE",
    "VOUCHER",
    "System",
    "asked",
    "check",
    "clock_position",
    "day_and_time",
    "duration",
    "ended_as",
    "fact_name",
    "finding",
    "number",
    "open_check",
    "pressure",
    "quantity",
    "reason",
    "record",
    "revisions",
    "time_of_day",
    "wall",
    "why",
]
