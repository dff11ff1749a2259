"""Who imports what: the table of what each package may, and what an import really brings along."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from tests.guards.code import PACKAGES, imports, run_python, sources
from tests.terminal import ROOT

# fmt: off
PURE = {
    "__future__", "abc", "bisect", "collections", "contextlib", "dataclasses", "datetime",
    "decimal", "difflib", "enum", "fractions", "functools", "hashlib", "heapq", "itertools",
    "json", "math", "numbers", "operator", "re", "statistics", "string", "textwrap", "tomllib",
    "types", "typing", "unicodedata",
}
# fmt: on
STANDARD = sys.stdlib_module_names
MAY_IMPORT = {
    "engine": {"engine", "pint", "pydantic", "pydantic_core", *PURE},
    "store": {"store", "engine", "pydantic", "tinydb", "platformdirs", "typst", *STANDARD},
    "tui": {"tui", "engine", "pydantic", "rich", "textual", *STANDARD},
    "tui/__main__.py": {"tui", "engine", "store", "platformdirs", *STANDARD},
}
WIRING = "tui.__main__"


@pytest.mark.parametrize("package", PACKAGES)
def test_a_package_imports_what_it_may(package: str) -> None:
    assert sources(package)
    assert [fault for source in sources(package) for fault in faults(source)] == []


@pytest.mark.parametrize(
    ("module", "code"),
    [
        ("engine/planted.py", "import os.path"),
        ("engine/planted.py", "def later():\n    from store.journal import Journal"),
        ("store/planted.py", "import rich"),
        ("tui/planted.py", "from tinydb import TinyDB"),
        ("tui/planted.py", "from tui import __main__"),
        ("tui/verbs/planted.py", "import numpy"),
    ],
)
def test_the_table_would_find(module: str, code: str, tmp_path: Path) -> None:
    planted = tmp_path / module
    planted.parent.mkdir(parents=True)
    planted.write_text(code)
    assert len(faults(planted, tmp_path)) == 1


def faults(source: Path, root: Path = ROOT) -> list[str]:
    """Each import that is not in the table, as `file:line: name`."""
    name = source.relative_to(root).as_posix()
    package = name.partition("/")[0]
    allowed = MAY_IMPORT.get(name, MAY_IMPORT[package])
    return [
        f"{name}:{line}: {imported}"
        for line, imported in imports(source, package)
        if imported.partition(".")[0] not in allowed or imported.startswith(WIRING)
    ]


def test_the_engine_brings_no_screen_no_database_and_writes_nothing() -> None:
    names = [dotted(source) for source in sources("engine")]
    brought, written = what_comes_with(*names)
    assert set(names) <= brought
    assert roots(brought) & {"textual", "rich", "tinydb", "store", "tui", "asyncio"} == set()
    assert written == []


def test_the_store_brings_no_screen() -> None:
    names = [dotted(source) for source in sources("store")]
    brought, _ = what_comes_with(*names)
    assert set(names) <= brought
    assert roots(brought) & {"textual", "rich", "tui"} == set()


def test_the_first_frame_waits_for_no_engine() -> None:
    if not (ROOT / "tui" / "app.py").exists():
        pytest.skip("there is no tui/app.py yet")
    brought, _ = what_comes_with("tui.app")
    assert "textual.app" in brought
    assert roots(brought) & {"pint", "pydantic", "tinydb", "engine", "store"} == set()


def test_the_list_of_tests_waits_for_no_plan_and_no_audit() -> None:
    brought, _ = what_comes_with("store.shelf")
    assert "store.catalogue" in brought
    assert brought & {"tomllib", "store.toml", "store.audit", "pydantic", "pint"} == set()


def test_the_command_line_alone_brings_nothing_heavy() -> None:
    if not (ROOT / "tui" / "__main__.py").exists():
        pytest.skip("there is no tui/__main__.py yet")
    brought, _ = what_comes_with("tui.__main__")
    assert roots(brought) & {"textual", "rich", "pint", "pydantic", "tinydb", "asyncio"} == set()


def test_what_comes_with_an_import_is_seen(tmp_path: Path) -> None:
    code = f"import tinydb\nopen({str(tmp_path / 'x')!r}, 'w').close()"
    (tmp_path / "planted.py").write_text(code)
    brought, written = what_comes_with("planted", cwd=tmp_path)
    assert {"planted", "tinydb"} <= brought
    assert written == [str(tmp_path / "x")]


_LOOK = """
import sys
written = []
def heard(event, details):
    if event == "open" and isinstance(details[1], str) and set(details[1]) & set("wax+"):
        written.append(str(details[0]))
sys.addaudithook(heard)
sys.path.insert(0, "")
for name in sys.argv[1:]:
    __import__(name)
import json
print(json.dumps([sorted(sys.modules), written]))
"""


def what_comes_with(*names: str, cwd: Path = ROOT) -> tuple[set[str], list[str]]:
    """Modules loaded by importing these in a fresh process, and files it opened for writing."""
    outcome = run_python("-B", "-W", "error", "-c", _LOOK, *names, cwd=cwd)
    assert outcome.returncode == 0, outcome.stdout
    modules, written = json.loads(outcome.stdout)
    return set(modules), written


def roots(modules: set[str]) -> set[str]:
    return {name.partition(".")[0] for name in modules}


def dotted(source: Path) -> str:
    return ".".join(source.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
