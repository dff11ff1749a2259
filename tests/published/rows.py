"""Published figures as rows: which function, given what, printed where and how."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any, Final

from engine.units import q

HERE: Final = Path(__file__).parent


@dataclass(frozen=True)
class Row:
    """One figure; `source` names a constant of the bibliography, `what` the place in it."""

    file: str
    function: str
    source: str
    what: str
    given: dict[str, Any]
    printed: str
    unit: str
    part: str

    def __str__(self) -> str:
        return f"{self.function} {self.what or self.source} {self.printed}"

    @property
    def call(self) -> Callable[..., Any]:
        module, name = self.function.split(".")
        found: Callable[..., Any] = getattr(import_module(f"engine.formulas.{module}"), name)
        return found


def rows() -> list[Row]:
    """Every row of every file beside this one."""
    found = []
    for path in sorted(HERE.glob("*.toml")):
        for entry in tomllib.loads(path.read_text(encoding="utf-8"))["check"]:
            given = {key: _value(value) for key, value in entry.pop("given").items()}
            defaults = {"what": "", "unit": "", "part": ""}
            found.append(Row(file=path.name, given=given, **{**defaults, **entry}))
    return found


def _value(written: Any) -> Any:
    """`[3, "in"]` is a quantity, a list of lists a sequence of them, a bare number a number."""
    if isinstance(written, list) and len(written) == 2 and isinstance(written[1], str):
        return q(float(written[0]), written[1])
    if isinstance(written, list):
        return tuple(_value(item) for item in written)
    return written
