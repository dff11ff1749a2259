"""What the command line says before there is a screen: help, version, and what cannot be."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from engine.practice import FAULTS
from engine.repeat import Repeat
from engine.trouble import Trouble
from tests.benched import outside
from tests.plans import plan, toml, written
from tests.shelved import Holdwater
from tests.terminal import ROOT
from tests.unit.test_command_line import holdwater
from tui.arguments import EXAMPLES, VERBS
from tui.bench import Bench
from tui.practice import asked


def test_the_version_is_printed() -> None:
    ended = holdwater("--version")
    assert (ended.status, ended.err) == (0, "")
    stated = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["version"]
    assert ended.out in (
        f"holdwater {stated}\n",
        "holdwater (run from its source, not installed)\n",
    )


def test_help_shows_examples_that_are_verbs_and_the_faults_to_practise_on() -> None:
    assert {line.split()[1] for lines in EXAMPLES.values() for line in lines} <= set(VERBS)
    shown = holdwater("--help").out.splitlines()
    assert all(f"  {example}" in shown for example in EXAMPLES[""])
    faults = holdwater("practice", "--help").out.partition("faults:")[2].split()
    assert set(FAULTS) <= set(faults)
    assert "examples" not in holdwater("sessions", "--help").out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--fault", "banana"), "fault 'banana': expected one of none, trapped_air"),
        (("--speed", "0"), "speed 0: expected more than 0"),
        (("--speed", "nan"), "speed nan: expected more than 0"),
    ],
)
def test_what_practice_is_asked_for_is_looked_at_before_the_terminal(
    words: tuple[str, ...], told: str, tmp_path: Path
) -> None:
    ended = holdwater("practice", *words, "--store", tmp_path)
    assert (ended.status, ended.err.count("\n")) == (2, 1)
    assert told in ended.err


def test_a_fault_may_be_written_in_words() -> None:
    assert asked("Trapped air", 1.0) == "trapped_air"
    assert asked("", 10.0) == ""
    with pytest.raises(Trouble):
        asked("none at all", 1.0)


def test_a_paper_that_can_have_no_such_name_is_refused_before_the_session_is_looked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ended = Holdwater(tmp_path, capsys)("certificate", "no-such-session", "-o", "a.doc")
    assert ended.status == 2
    assert "a.doc: expected a name that ends in .pdf or .txt" in ended.err


def test_a_folder_is_called_a_folder_by_its_whole_path(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for verb in ("plan", "import"):
        ended = Holdwater(tmp_path, capsys)(verb, str(tmp_path))
        assert ended.status == 2
        assert f"{tmp_path}: this is a folder; expected a file" in ended.err


def told(tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str) -> str:
    path = tmp_path / "joint.toml"
    path.write_text(text, encoding="utf-8")
    ended = Holdwater(tmp_path, capsys)("plan", str(path))
    assert ended.status == 2
    return ended.err


def test_a_key_that_is_none_is_told_which_there_are(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    base = written(gauge__colour="grey", procedure__holding="1 min", specimen={"age": "7"})
    lines = told(tmp_path, capsys, 'colours = "many"\n' + toml(base)).splitlines()
    there = {line.split()[2]: line.partition("no such key, but one of: ")[2].split(", ")
             for line in lines}  # fmt: skip
    assert {"mark", "span", "graduation"} <= set(there["gauge.colour:"])
    assert {"hold", "may_stand", "cap"} <= set(there["procedure.holding:"])
    assert there["specimen.age:"][:2] == ["spigot", "bell"]
    assert {"units", "gauge", "supply"} <= set(there["colours:"])


def test_a_comma_is_told_as_found_and_expected(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = told(tmp_path, capsys, toml(written(joint__wall="5,5 in")))
    assert "joint.wall: found '5,5 in', expected a decimal point, like 12.5" in said


def test_no_test_is_begun_on_a_plan_that_is_refused(tmp_path: Path) -> None:
    """Told before anything is drilled, with what the relief valve has to be set to."""
    bench = Bench(outside(tmp_path))
    assert bench.startable(plan()) == plan()
    poor = plan(supply__relief="22 psi", supply__relief_height="29.5 in")
    with pytest.raises(Trouble) as refused:
        bench.startable(poor)
    with pytest.raises(Trouble, match="before anything is drilled"):
        bench.open(Repeat("again", poor, checks=(), carried=(), follows=None), "R. Example")
    assert "before anything is drilled: relief valve at 22 psi: set it between 13.1 psi and" in str(
        refused.value
    )
