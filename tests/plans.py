"""Plans for tests: an invented plant's pipe and box."""

from __future__ import annotations

import copy
import json
from typing import Any

from engine.planfile import PlanFile, read_plan

PIPE: dict[str, Any] = {
    "units": "us",
    "joint": {
        "name": "54 in pipe, wall B",
        "shape": "circle",
        "inside": "54 in",
        "wall": "5.5 in",
        "inner_seal": "2.5 in",
        "outer_seal": "3 in",
        "pocket_width": "2.25 in",
    },
    "procedure": {
        "authority": "Works instruction 12, by order of the owner",
        "pressure": "13 psi",
        "datum": "crown",
        "hold": "10 min",
        "reading_every": "1 min",
        "longest_gap": "2 min",
        "cap": "15 psi",
        "ramp": "2.9 psi/s",
    },
    "gauge": {
        "mark": "G-07",
        "span": ["0 psi", "30 psi"],
        "accuracy": "A",
        "graduation": "0.5 psi",
        "height": "29.5 in",
        "calibration_due": "2027-03-31",
    },
    "supply": {"pressure": "55 psi", "relief": "15 psi", "flow": "1.5 gal/min",
               "temperature": "55 degF"},
    "restraint": {
        "rod": "1-8 UNC",
        "grade": "F1554-36",
        "length": "17 ft",
        "at": [["-38 in", "30 in"], ["38 in", "30 in"], ["-38 in", "-30 in"], ["38 in", "-30 in"]],
        "beam": "C6X8.2",
        "beams_per_end": 2,
        "span": "76 in",
    },
}  # fmt: skip

BOX: dict[str, Any] = {
    **PIPE,
    "joint": {
        "name": "6 x 5 ft box",
        "shape": "box",
        "span": "6 ft",
        "rise": "5 ft",
        "haunch": "6 in",
        "wall": "7 in",
        "inner_seal": "3 in",
        "outer_seal": "3.5 in",
        "pocket_width": "2 in",
    },
    "gauge": {**PIPE["gauge"], "height": "33.5 in"},
}


def written(base: dict[str, Any] = PIPE, **changed: Any) -> dict[str, Any]:
    """A plan as written, with fields replaced: `procedure__hold="1 min"`; None takes one out."""
    plan = copy.deepcopy(base)
    for path, value in changed.items():
        section, _, key = path.partition("__")
        target = plan.setdefault(section, {}) if key else plan
        if value is None:
            target.pop(key or section, None)
        else:
            target[key or section] = value
    return plan


def plan(base: dict[str, Any] = PIPE, **changed: Any) -> PlanFile:
    return read_plan(written(base, **changed))


def toml(plan: dict[str, Any]) -> str:
    """A plan as it stands in its file."""
    top = [f"{key} = {_value(value)}" for key, value in plan.items() if not isinstance(value, dict)]
    tables = [
        "\n".join([f"\n[{name}]", *(f"{key} = {_value(value)}" for key, value in table.items())])
        for name, table in plan.items()
        if isinstance(table, dict)
    ]
    return "\n".join([*top, *tables]) + "\n"


def _value(value: object) -> str:
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, bool):
        return str(value).lower()
    return str(value) if isinstance(value, int | float) else json.dumps(value, ensure_ascii=False)
