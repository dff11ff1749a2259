"""What lies in the project: only what belongs there, and nothing that names a machine."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from tests.guards.code import PACKAGES, files, sources
from tests.terminal import ROOT

TOP = {
    *("README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "CHANGELOG.md", ".gitignore"),
    *("engine", "store", "tui", "tests", ".ci"),
}
# Written so that no line here is what it looks for.
FORBIDDEN = {
    "a folder of one machine": r"(?<![\w.~<$}])/(?:wor[k]|op[t]|hom[e]|roo[t]|User[s]|tm[p])/",
    "a package registry": r"py[p]i\.|python[h]osted|index[-_]ur[l]|npm[j]s|artifact[o]ry",
    "a tracker's number": r"(?i)\bissue[s]? #?\d|\bpull request #?\d",
    "an address on the network": r"(?i)\b(?:http|ftp)s?:[/]/(?!127\.0\.0\.1|localhost)",
}


def test_nothing_lies_at_the_top_but_what_belongs_there() -> None:
    assert {path.relative_to(ROOT).parts[0] for path in files()} <= TOP


def test_only_the_three_packages_are_installed() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text())
    assert settings["tool"]["hatch"]["build"]["targets"] == {"wheel": {"packages": [*PACKAGES]}}


def test_the_readme_and_the_machine_run_the_same_test_command() -> None:
    if not (ROOT / "README.md").exists():
        pytest.skip("there is no README.md yet")
    [steps] = re.findall(r"one_test_command\(\) {\s+(.*)\s+}", (ROOT / ".ci" / "run").read_text())
    assert steps.replace('"$1"', ".venv") in (ROOT / "README.md").read_text()


def test_the_factor_between_psi_and_kpa_is_written_once() -> None:
    written = [
        f"{source.relative_to(ROOT)}"
        for package in PACKAGES
        for source in sources(package)
        if re.search(r"\b6\.89\d", source.read_text())
    ]
    assert written == ["engine/conversions.py"]


def test_no_file_names_a_machine_a_registry_or_a_tracker() -> None:
    texts = {path: text for path in files() if (text := readable(path)) is not None}
    assert ROOT / "pyproject.toml" in texts
    assert Path(__file__).resolve() in texts
    found = [
        f"{path.relative_to(ROOT)}:{line}" for path, text in texts.items() for line in named(text)
    ]
    assert found == []


@pytest.mark.parametrize(
    "text",
    [
        "see /wor" + "k/main/engine",
        'Path("/ho' + 'me/somebody/x")',
        "pip install --index" + "-url x",
        "files.python" + "hosted.org",
        "as said in issu" + "e 12",
        "https:/" + "/somewhere.example/page",
    ],
)
def test_a_forbidden_name_would_be_found(text: str) -> None:
    assert len(named(f"first line\n{text}\n")) >= 1


@pytest.mark.parametrize(
    "text", ["the work/rest ratio", "http:/" + "/127.0.0.1:8022/", "$HOME/x", "a tissue 3 mm thick"]
)
def test_an_innocent_name_is_left_alone(text: str) -> None:
    assert named(text) == []


def named(text: str) -> list[str]:
    """Each forbidden thing, as `line: what`."""
    return [
        f"{number}: {what}"
        for number, line in enumerate(text.splitlines(), 1)
        for what, pattern in FORBIDDEN.items()
        if re.search(pattern, line)
    ]


def readable(path: Path) -> str | None:
    """The text of a file, None if it holds no text."""
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return None
