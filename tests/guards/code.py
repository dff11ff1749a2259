"""What the guards look at: the files of the project, what each imports, and a copy to spoil."""

from __future__ import annotations

import ast
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from tests.terminal import ROOT

__all__ = ["PACKAGES", "copy_of_code", "files", "imports", "run_python", "sources"]

PACKAGES: Final = ("engine", "store", "tui")


def sources(package: str, root: Path = ROOT) -> list[Path]:
    """Every module of a package."""
    return sorted((root / package).rglob("*.py"))


def files() -> list[Path]:
    """Every file of the project: what git tracks or would, else whatever lies here unhidden."""
    return sorted(path for path in _tracked() or _unhidden() if path.is_file())


def _tracked() -> list[Path]:
    if shutil.which("git") is None:
        return []
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=False,
    )
    return [ROOT / name for name in listed.stdout.decode().split("\0") if name]


def _unhidden() -> list[Path]:
    tops = [top for top in ROOT.iterdir() if not top.name.startswith(".") or top.name == ".ci"]
    found = [path for top in tops for path in (top, *top.rglob("*"))]
    return [path for path in found if "__pycache__" not in path.parts]


def imports(source: Path, package: str) -> Iterator[tuple[int, str]]:
    """(line, dotted name) of all a module imports, wherever in it; ours in full."""
    for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
        match node:
            case ast.Import():
                yield from ((node.lineno, name.name) for name in node.names)
            case ast.ImportFrom(module=module, level=0) if module:
                yield from ((node.lineno, f"{module}.{name.name}") for name in node.names)
            case ast.ImportFrom():  # a relative import stays inside its package
                yield node.lineno, package


def copy_of_code(to: Path) -> Path:
    """The three packages and the configuration, somewhere they may be spoiled."""
    ignored = shutil.ignore_patterns("__pycache__")
    for package in PACKAGES:
        shutil.copytree(ROOT / package, to / package, ignore=ignored)
    shutil.copy(ROOT / "pyproject.toml", to)
    return to


def run_python(*arguments: str, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    """This Python, from that folder, with both streams as one text in `stdout`."""
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=cwd,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
