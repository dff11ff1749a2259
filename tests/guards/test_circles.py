"""No module imports its way back to itself, for types alone neither."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).parents[2]


def _modules() -> dict[str, Path]:
    found = {}
    for package in ("engine", "store", "tui"):
        for path in (ROOT / package).rglob("*.py"):
            parts = path.relative_to(ROOT).with_suffix("").parts
            found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


def _imported(path: Path, known: Mapping[str, Path]) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            for alias in node.names:
                whole = f"{node.module}.{alias.name}"
                yield whole if whole in known else node.module
        elif isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)


def circle(imports: Mapping[str, set[str]]) -> list[str]:
    """Modules that import one another in a ring; none where there is no ring."""
    left = dict(imports)
    while free := [name for name, wants in left.items() if not wants & left.keys()]:
        for name in free:
            del left[name]
    return sorted(left)


def test_no_module_imports_its_way_back_to_itself() -> None:
    known = _modules()
    assert circle({name: {*_imported(path, known)} - {name} for name, path in known.items()}) == []


def test_a_ring_is_noticed() -> None:
    assert circle({"a": {"b"}, "b": {"c"}, "c": {"b"}, "d": set()}) == ["a", "b", "c"]
