"""Every published equation says its units and its source, and is held against printed figures."""

from __future__ import annotations

import ast
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any, Final

import pytest

import engine.formulas
from engine import sources

TESTS: Final = Path(__file__).parents[1]


def _public() -> Iterator[tuple[str, Callable[..., Any]]]:
    for found in pkgutil.iter_modules(engine.formulas.__path__):
        module = import_module(f"engine.formulas.{found.name}")
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if not name.startswith("_") and function.__module__ == module.__name__:
                yield f"{found.name}.{name}", function


FORMULAS: Final = dict(_public())


def faults(function: Callable[..., Any]) -> list[str]:
    """What the docstring of a formula leaves unsaid."""
    text = inspect.getdoc(function) or ""
    found = [
        f"{name} has no unit"
        for name in inspect.signature(function).parameters
        if not re.search(rf"(?<!\w){name}(?:, \w+)*\s[^\[\]]*\[[^\[\]]+\]", text)
        and not re.search(rf"\w+, {name}\s[^\[\]]*\[[^\[\]]+\]", text)
    ]
    if not re.search(r"\breturns\b[^\[\]]*\[[^\[\]]+\]", text):
        found.append("what it returns has no unit")
    source = re.search(r"\bSource:\s+([A-Z][A-Z0-9_]+)", text)
    if source is None:
        found.append("no source")
    elif not isinstance(getattr(sources, source[1], None), sources.Source):
        found.append(f"source {source[1]} is not in the bibliography")
    if not re.search(r"\bCheck:\s+published/\w+\.(?:toml|py)\b", text):
        found.append("no check is named")
    return found


@cache
def _names_in(path: Path) -> frozenset[str]:
    """`module.name` of every formula a file of checks refers to."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".toml":
        return frozenset(re.findall(r'^function = "(\w+\.\w+)"', text, re.M))
    names: dict[str, str] = {}
    modules: dict[str, str] = {}
    found: set[str] = set()
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.ImportFrom) and node.module == "engine.formulas":
            modules |= {a.asname or a.name: a.name for a in node.names}
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith(
            "engine.formulas."
        ):
            home = str(node.module).rpartition(".")[2]
            names |= {a.asname or a.name: f"{home}.{a.name}" for a in node.names}
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            if node.value.id in modules:
                found.add(f"{modules[node.value.id]}.{node.attr}")
        elif isinstance(node, ast.Name) and node.id in names:
            found.add(names[node.id])
    return frozenset(found)


def test_there_are_formulas() -> None:
    assert len(FORMULAS) > 40


@pytest.mark.parametrize("name", FORMULAS)
def test_a_formula_says_its_units_and_its_source(name: str) -> None:
    assert faults(FORMULAS[name]) == []


@pytest.mark.parametrize("name", FORMULAS)
def test_the_check_a_formula_names_is_there(name: str) -> None:
    named = re.search(r"\bCheck:\s+(published/\w+\.\w+)", inspect.getdoc(FORMULAS[name]) or "")
    assert named is not None
    path = TESTS / named[1]
    assert path.exists(), f"{named[1]} does not exist"
    assert name in _names_in(path), f"{named[1]} does not check {name}"


@pytest.mark.parametrize(
    "name", [name for name, found in vars(sources).items() if isinstance(found, sources.Source)]
)
def test_a_source_is_cited_by_what_rests_on_it(name: str) -> None:
    files = Path(engine.formulas.__path__[0]).parent.rglob("*.py")
    texts = (p.read_text(encoding="utf-8") for p in files if p.name != "sources.py")
    assert any(re.search(rf"\b{name}\b", text) for text in texts)


def test_a_formula_without_units_or_source_is_noticed() -> None:
    def bare(pressure: float) -> float:
        """Nothing said.

        pressure  gauge     returns  something
        Source: NOWHERE. Check: published/none.toml.
        """
        return pressure

    assert faults(bare) == [
        "pressure has no unit",
        "what it returns has no unit",
        "source NOWHERE is not in the bibliography",
    ]
