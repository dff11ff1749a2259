"""The linter, the type checker and the import contracts find nothing, and would if there were."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.guards.code import copy_of_code, run_python
from tests.terminal import ROOT

LINT = ("-m", "ruff", "check", "--no-cache", "--output-format", "concise")
TYPES = ("-m", "mypy", "--no-error-summary")
CONTRACTS = (
    "-c",
    "from importlinter.cli import lint_imports_command as main; main(['--no-cache'])",
)


def test_the_linter_finds_nothing() -> None:
    outcome = run_python(*LINT)
    assert outcome.returncode == 0, outcome.stdout


def test_the_linter_would_find_a_clock_read_in_the_engine(tmp_path: Path) -> None:
    root = copy_of_code(tmp_path)
    plant(root, "engine/planted.py", "import datetime\n\nNOW = datetime.datetime.now(datetime.UTC)")
    outcome = run_python(*LINT, "engine/planted.py", cwd=root)
    assert "TID251" in outcome.stdout


def test_the_type_checker_finds_nothing() -> None:
    outcome = run_python(*TYPES)
    assert outcome.returncode == 0, outcome.stdout


def test_the_type_checker_is_strict(tmp_path: Path) -> None:
    planted = tmp_path / "planted.py"
    planted.write_text("def double(value):\n    return 2 * value\n")
    outcome = run_python(
        *TYPES,
        "--config-file",
        str(ROOT / "pyproject.toml"),
        "--cache-dir",
        "/dev/null",
        str(planted),
    )
    assert "no-untyped-def" in outcome.stdout


def test_the_contracts_are_kept() -> None:
    outcome = run_python(*CONTRACTS)
    assert outcome.returncode == 0, outcome.stdout


class Violation(NamedTuple):
    contract: str
    module: str
    code: str


VIOLATIONS = [
    Violation("inwards only", "engine/planted.py", "import store"),
    Violation("inwards only", "engine/planted.py", "import tui"),
    Violation("inwards only", "store/planted.py", "import tui"),
    Violation("inwards only", "tui/planted.py", "def later() -> None:\n    import store.journal"),
    Violation("the engine is pure", "engine/formulas/planted.py", "from textual.app import App"),
    Violation("the engine is pure", "engine/tables/planted.py", "import pathlib"),
    Violation("the store knows no screens", "store/planted.py", "import rich.table"),
    Violation("sessions live without screens", "tui/recorder.py", "import textual"),
    Violation("sessions live without screens", "tui/outside.py", "import tui.planted"),
    Violation(
        "what judges does not listen to what explains",
        "engine/judging/verdict.py",
        "import engine.falling.fall",
    ),
    Violation(
        "what judges does not listen to what explains",
        "engine/judging/credit.py",
        "import engine.planted",
    ),
]


@pytest.mark.parametrize("violation", VIOLATIONS, ids=lambda each: f"{each.module}: {each.code}")
def test_a_contract_would_find(violation: Violation, tmp_path: Path) -> None:
    root = copy_of_code(tmp_path)
    if violation.code.endswith("planted"):  # by a detour: the planted module does the wrong thing
        wrong = {"tui": "import textual", "engine": "import engine.falling.fall"}
        package = violation.module.partition("/")[0]
        plant(root, f"{package}/planted.py", wrong[package])
    plant(root, violation.module, violation.code)
    assert f"{violation.contract} BROKEN" in run_python(*CONTRACTS, cwd=root).stdout


def test_every_contract_has_a_violation_to_find() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text())
    contracts = {each["name"] for each in settings["tool"]["importlinter"]["contracts"]}
    assert {each.contract for each in VIOLATIONS} == contracts


def plant(root: Path, module: str, code: str) -> None:
    """The module says that too, and comes into being if need be."""
    path = root / module
    before = path.read_text() if path.exists() else ""
    path.write_text(f"{before}\n{code}\n")
