"""The command line as it is started: verbs, stores, statuses, and one line for what is wrong."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.guards.test_imports import roots
from tests.hostile import bodies, packed
from tests.plans import PIPE, toml
from tests.shelved import ONE, Holdwater, kept, passed
from tests.terminal import ROOT
from tui.arguments import VERBS


class Ended(NamedTuple):
    status: int
    out: str
    err: str


def holdwater(*words: str | Path, cwd: Path = ROOT, **env: str) -> Ended:
    """The program, run to its end in a process of its own, without a terminal."""
    surroundings = {
        **{k: v for k, v in os.environ.items() if not k.startswith(("HOLDWATER", "LC_", "LANG"))},
        "PYTHONPATH": str(ROOT),
        "LC_ALL": "C.UTF-8",
        **env,
    }
    ended = subprocess.run(
        [sys.executable, "-m", "tui", *map(str, words)],
        cwd=cwd,
        env=surroundings,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        stdin=subprocess.DEVNULL,
    )
    assert "Traceback" not in ended.stderr
    return Ended(ended.returncode, ended.stdout, ended.stderr)


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with one closed session."""
    folder = tmp_path_factory.mktemp("kept")
    kept(folder, ONE, passed())
    return folder / "store"


# --- verbs --------------------------------------------------------------------------------------


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_says_in_one_line_what_it_does_and_where_it_keeps(verb: str) -> None:
    ended = holdwater(verb, "--help")
    assert (ended.status, ended.err) == (0, "")
    assert VERBS[verb][1].split()[0] in ended.out
    assert "--store FOLDER" in ended.out


def test_help_names_every_verb() -> None:
    ended = holdwater("--help")
    assert ended.status == 0
    assert set(VERBS) <= set(ended.out.split())


@pytest.mark.parametrize(
    "words",
    [
        ("nonsense",),
        ("show",),
        ("show", "a", "b"),
        ("sessions", "--jason"),
        ("certificate", ONE, "--size", "\x1b[2J"),
        ("explain", "log.csv"),
        ("sessions", "--store"),
    ],
    ids=str,
)
def test_what_is_asked_for_wrongly_is_told_in_one_line(words: tuple[str, ...]) -> None:
    ended = holdwater(*words)
    assert (ended.status, ended.out) == (2, "")
    assert ended.err.count("\n") == 1
    assert ended.err.rstrip("\n").isprintable()
    assert ended.err.startswith("holdwater")


@pytest.mark.parametrize("verb", ["show", "audit", "certificate", "export"])
@pytest.mark.parametrize("name", ["2020-01-01-1", "../../etc/passwd", "No", "no.file", "\x1b[2J"])
def test_a_session_that_is_not_there_is_told_in_one_line(
    verb: str, name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ended = Holdwater(tmp_path, capsys)(verb, name)
    assert (ended.status, ended.out) == (2, "")
    assert ended.err.count("\n") == 1
    assert ended.err.rstrip("\n").isprintable()


@pytest.mark.parametrize("words", [(), ("start", "plan.toml"), ("watch",), ("demo",)], ids=str)
def test_without_a_terminal_no_screen_is_opened(words: tuple[str, ...], tmp_path: Path) -> None:
    ended = holdwater(*words, "--store", tmp_path)
    assert ended.status == 2
    assert ended.err.count("\n") == 1


# --- a plan file with nonsense in it ------------------------------------------------------------

FIELDS = [(section, key) for section, table in PIPE.items() if isinstance(table, dict)
          for key in table]  # fmt: skip


def planned(folder: Path, *nonsense: tuple[str, str]) -> Path:
    tables = {k: dict(v) if isinstance(v, dict) else v for k, v in PIPE.items()}
    for section, key in nonsense:
        tables[section][key] = {"no": "sense"}  # a table where nothing takes one
    path = folder / "plan.toml"
    lines = toml({k: v for k, v in tables.items() if not isinstance(v, dict)})
    for name, table in tables.items():
        if isinstance(table, dict):
            written = {k: "{no='sense'}" if isinstance(v, dict) else None for k, v in table.items()}
            plain = toml({name: {k: v for k, v in table.items() if not isinstance(v, dict)}})
            lines += plain + "".join(f"{k} = {v}\n" for k, v in written.items() if v)
    path.write_text(lines)
    return path


def test_nonsense_in_each_field_of_a_plan_is_told_and_named(tmp_path: Path) -> None:
    """Read in this process: the line is the same as the program's, and there are many."""
    from engine.planfile import BadPlan, read_plan
    from store.toml import plan_data

    for section, key in FIELDS:
        with pytest.raises(BadPlan) as refused:
            read_plan(plan_data(planned(tmp_path, (section, key))))
        [line] = str(refused.value).splitlines()
        assert line.startswith(f"{section}.{key}"), line
        assert ": found " in line
        assert ", expected " in line


@pytest.mark.parametrize("verb", ["plan", "import"])
def test_nonsense_in_several_fields_is_told_at_once_a_line_each(verb: str, tmp_path: Path) -> None:
    wrong = [("joint", "wall"), ("procedure", "pressure"), ("gauge", "span"), ("restraint", "rod")]
    ended = holdwater(verb, planned(tmp_path, *wrong), "--store", tmp_path / "store")
    assert (ended.status, ended.out) == (2, "")
    told = ended.err.splitlines()
    assert len(told) == len(wrong)
    assert all(line.startswith("holdwater: ") for line in told)
    assert {line.split()[2].rstrip(":") for line in told} == {f"{s}.{k}" for s, k in wrong}


def test_a_plan_file_that_is_none_is_told_in_one_line(tmp_path: Path) -> None:
    for name, data in (("a", b"\xff"), ("b", b"[joint"), ("c", b"a." * 9_000 + b"a=1")):
        (tmp_path / name).write_bytes(data)
        ended = holdwater("plan", tmp_path / name)
        assert ended.status == 2
        assert ended.err.count("\n") == 1


# --- the store ----------------------------------------------------------------------------------


def test_the_store_can_be_named_before_and_after_the_verb_or_in_the_surroundings(
    store: Path, tmp_path: Path
) -> None:
    listed = [
        holdwater("--store", store, "sessions"),
        holdwater("sessions", "--store", store),
        holdwater("sessions", HOLDWATER_STORE=str(store)),
        holdwater("sessions", "--store", store, HOLDWATER_STORE=str(tmp_path)),
        holdwater("--store", tmp_path, "sessions", "--store", store),
    ]
    assert {(each.status, each.err) for each in listed} == {(0, "")}
    assert all(ONE in each.out for each in listed)


def test_a_store_that_is_a_file_is_told_in_one_line(tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_text("x")
    (tmp_path / "sent.json").write_bytes(packed(ONE, bodies()))
    for words in (("sessions",), ("show", ONE), ("import", str(tmp_path / "sent.json"))):
        ended = holdwater(*words, "--store", path)
        assert ended.status == 2, words
        assert ended.err.count("\n") == 1
    assert path.read_text() == "x"


def test_from_a_store_that_is_read_only_everything_is_still_read(store: Path) -> None:
    """As root nothing is read-only, so this shows that reading writes nothing at all."""
    before = {path: path.stat().st_mtime_ns for path in (store, *store.rglob("*"))}
    for path in before:
        path.chmod(path.stat().st_mode & ~0o222)
    try:
        for words in (("sessions",), ("show", ONE), ("audit", ONE), ("sessions", "--json")):
            ended = holdwater(*words, "--store", store)
            assert (ended.status, ended.err) == (0, "")
    finally:
        for path in before:
            path.chmod(path.stat().st_mode | 0o200)
    assert {path: path.stat().st_mtime_ns for path in (store, *store.rglob("*"))} == before


def test_a_folder_that_cannot_be_written_is_told_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "sent.json").write_bytes(packed(ONE, bodies()))
    ended = holdwater("import", tmp_path / "sent.json", "--store", "/proc/1/nowhere")
    assert ended.status == 2
    assert ended.err.count("\n") == 1


# --- statuses, pipes, weight --------------------------------------------------------------------


def test_the_status_tells_a_sound_record_from_an_unsound_one(store: Path, tmp_path: Path) -> None:
    data = (store / "sessions" / f"{ONE}.json").read_bytes()
    spoiled = tmp_path / "spoiled.json"
    spoiled.write_bytes(data.replace(b"13.5", b"13.9", 1))
    assert holdwater("audit", ONE, "--store", store).status == 0
    assert holdwater("audit", spoiled).status == 1
    assert holdwater("show", spoiled).status == 1


def test_a_reader_that_leaves_early_is_no_trouble(store: Path) -> None:
    command = f"{sys.executable} -m tui show {ONE} --store {store} | head -n 1"
    ended = subprocess.run(
        ["sh", "-c", command], cwd=ROOT, capture_output=True, text=True, timeout=60, check=False
    )
    assert (ended.stdout, ended.stderr) == (f"{ONE}\n", "")


def test_a_terminal_without_a_sign_gets_the_rest(store: Path) -> None:
    ended = holdwater("show", ONE, "--store", store, LC_ALL="C", PYTHONIOENCODING="ascii")
    assert ended.status == 0
    assert "Measured 55 ?F" in ended.out


_LOADED = """
import sys
from tui.__main__ import main
try:
    main(sys.argv[1:])
except SystemExit:
    pass
print("\\n" + " ".join(sys.modules), file=sys.stderr)
"""


def loaded(*words: str) -> set[str]:
    """The packages that a verb brings along."""
    ended = subprocess.run([sys.executable, "-c", _LOADED, *words], cwd=ROOT, capture_output=True,
                           text=True, timeout=60, check=True)  # fmt: skip
    return roots(set(ended.stderr.splitlines()[-1].split()))


@pytest.mark.parametrize("verb", ["show", "audit", "sessions", "certificate", "export"])
def test_a_verb_that_draws_nothing_loads_no_screen(verb: str, store: Path) -> None:
    words = (verb,) if verb == "sessions" else (verb, ONE)
    assert not loaded(*words, "--store", str(store)) & {"textual", "tinydb"}


def test_a_list_of_closed_sessions_loads_no_engine_at_all(store: Path) -> None:
    assert not loaded("sessions", "--store", str(store)) & {"pint", "pydantic", "rich"}
