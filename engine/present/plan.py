"""The plan in words: what governs in one line, its remarks as lists, and the whole as JSON."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from typing import Any, Final

import pint

from engine.plan.model import Item, Plan, Remark
from engine.present.figures import figure, share
from engine.present.quantities import System, number
from engine.present.remarks import PARTS, caution, doubt, head, refusal
from engine.present.words import GENERAL_CAUTIONS
from engine.units import Quantity, stored

_GRAVE: Final[dict[str, str]] = {
    "gauge_range": "the gauge does not suit the pressure",
    "overdue": "the gauge is out of calibration",
    "narrow_window": "the dial leaves too narrow a window",
    "unreached": "the supply does not reach",
    "relief_at_set_point": "the relief valve lifts at the set point",
    "relief_on_supply": "the relief valve protects nothing when the inlet is shut",
    "moment_left": "a moment that no rods balance",
}
"""Cautions of which the first line has to warn: a test run in spite of them comes to nothing, or
to harm."""


def headline(worked: Plan, system: System) -> str:
    """What governs, in one line; and what else spoils the test as planned."""
    besides = [_GRAVE[c.code] for c in worked.cautions if c.code in _GRAVE]
    first = _governing(worked, system)
    return f"{first}. Besides: {'; '.join(besides)}." if besides else first


def _governing(worked: Plan, system: System) -> str:
    held, highest = worked.restraint, worked.pressure.highest
    if worked.refusals:
        others = len(worked.refusals) - 1
        first = head(worked.refusals[0], worked, system)
        return f"REFUSED: {first}" + (f" (+{others} more)" if others else "")
    if held.enough is None or highest is None or held.governs is None or held.use is None:
        return f"NOT KNOWN whether the restraint holds: {_not_known(worked)}"
    at = f"{figure(highest, system)} at the gauge"
    return f"HOLDS: {PARTS[held.governs]} govern, {share(held.use)} of what they may at {at}"


def _not_known(worked: Plan) -> str:
    return f"{unknown_parts(worked) or 'the highest pressure'} not known"


def unknown_parts(worked: Plan) -> str:
    """The parts of the restraint that are not known: `rods and beams`; empty where all are."""
    return " and ".join(PARTS[part] for part in worked.restraint.unknown)


_RULES: Final[dict[str, tuple[str, ...]]] = {
    "restraint_enough": ("restraint", "drawn_up", "cap_over_rig"),
    "supply_limited": ("supply_over_cap", "relief_over_cap", "relief_unfit"),
    "gauge_survives": ("gauge_short",),
}
"""Which refusals answer for which computed check."""


def check(worked: Plan, rule: str, system: System) -> str:
    """What the plan says of a computed check, in the words of its own screen and table; empty
    where it says nothing."""
    codes = _RULES.get(rule, ())
    for remark in worked.refusals:
        if remark.code in codes:
            return refusal(remark, worked, system)
    held = worked.restraint
    if rule == "restraint_enough" and held.enough is None:
        return _not_known(worked)
    if rule == "restraint_enough" and held.governs is not None and held.use is not None:
        return f"{PARTS[held.governs]} govern, {share(held.use)} of what they may"
    return ""


def to_change(worked: Plan, system: System) -> str:
    """Why no test is begun on this plan, in one line; empty where one may be."""
    why = "; ".join(head(each, worked, system) for each in worked.refusals)
    return f"REFUSED as planned; change the plan before anything is drilled: {why}" if why else ""


def refusals(worked: Plan, system: System) -> tuple[str, ...]:
    return tuple(refusal(r, worked, system) for r in worked.refusals)


def cautions(worked: Plan, system: System) -> tuple[str, ...]:
    """Of this plan first, then those of every test."""
    return (*(caution(r, system) for r in worked.cautions), *GENERAL_CAUTIONS)


def doubts(worked: Plan, system: System) -> tuple[tuple[str, str], ...]:
    """The figures that each concerns, and why they are in doubt."""
    return tuple((", ".join(r.figures), doubt(r, system)) for r in worked.doubts)


def kit(worked: Plan, system: System) -> tuple[str, ...]:
    return tuple(_item(item, system) for item in worked.kit)


def _item(item: Item, system: System) -> str:
    count = f"{item.count} x " if item.count > 1 else ""
    size = _size(item.size, system) if item.size is not None else ""
    return " ".join(part for part in (f"{count}{item.what}", item.name, size) if part)


def _size(size: Quantity, system: System) -> str:
    unit = f"{size.units:~C}"
    if unit == "L":
        return f"{number(size.magnitude, 2)} {unit}"
    return figure(size, system)


def as_json(worked: Plan, system: System) -> dict[str, Any]:
    """The plan as it is written to files: quantities as `[value, "unit"]`, remarks as words."""
    found = {field.name: _plain(getattr(worked, field.name)) for field in fields(worked)}
    found["restraint"]["cures"] = [_remark(c) for c in worked.restraint.cures]
    found["kit"] = [
        {"item": item.what, "count": item.count, "size": _plain(item.size), "name": item.name}
        for item in worked.kit
    ]
    found["cautions"] = list(cautions(worked, system))
    found["doubts"] = [
        {"figures": list(r.figures), "code": r.code, "doubt": doubt(r, system)}
        for r in worked.doubts
    ]
    found["refusals"] = [
        {"code": r.code, "refusal": refusal(r, worked, system)} for r in worked.refusals
    ]
    return {"headline": headline(worked, system), **found}


def _remark(remark: Remark) -> dict[str, Any]:
    return {"code": remark.code, "name": remark.name, "values": [stored(v) for v in remark.values]}


def _plain(value: Any) -> Any:
    if isinstance(value, pint.Quantity):
        return stored(value)
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    return value
