"""In which order the bench lists tests: what cannot wait comes first."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

from tui.bench import Bench


def test_tests_under_pressure_come_first_and_practice_last() -> None:
    rows: list[dict[str, Any]] = [
        {"session": "past", "when": "2026-06-05"},
        {"session": "made up", "when": "2026-06-06", "open": True, "practice": True},
        {"session": "begun", "when": "2026-06-04", "open": True},
        {"session": "at pressure", "when": "2026-06-01", "open": True, "pressure": True},
        {"session": "empty", "when": ""},
    ]
    shelf = SimpleNamespace(rows=lambda: rows)
    bench = Bench(cast("Any", SimpleNamespace(shelf=shelf)))
    assert [row["session"] for row in bench.rows()] == ["at pressure", "begun", "past", "made up"]
