"""What is listed of the sessions in a store, and what is taken in from elsewhere."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from tests.hostile import bodies, packed
from tests.ledger import disk
from tests.plans import PIPE, plan, toml
from tests.shelved import ONE, Holdwater, document, kept, passed, spoil
from tests.story import Story
from tui.verbs import sessions


@pytest.fixture
def holdwater(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Holdwater:
    return Holdwater(tmp_path, capsys)


def test_open_tests_come_first_and_the_newest_of_the_past(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    for number in (1, 2):
        kept(tmp_path, f"2026-06-0{number}-1", passed())
    kept(tmp_path, "2026-06-03-9", Story().to("fill"), closed=False)
    said = holdwater("sessions")
    assert (said.status, said.err) == (0, "")
    assert [line.split()[0] for line in said.lines if line] == [
        *("Open", "2026-06-03-9", "Past"),
        *("2026-06-01-1", "2026-06-02-1"),
    ]


def test_a_list_fits_eighty_columns_and_an_identity_is_never_cut(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    long = "a-very-long-identity-of-sixty-four-characters-which-is-the-most-1"[:64]
    named = plan(joint__name="A product whose name goes on and on, as names of products like to do")
    kept(tmp_path, long, passed(named))
    kept(tmp_path, ONE, passed(named))
    said = holdwater("sessions")
    assert max(map(len, said.lines)) <= 80
    assert f"  {long}" in said.lines


def test_practice_is_listed_apart_and_marked(tmp_path: Path, holdwater: Holdwater) -> None:
    kept(tmp_path, "2026-06-03-2", passed())
    data = packed("2026-06-03-1", [_practised(bodies()[0]), *bodies()[1:]])
    (tmp_path / "p.json").write_bytes(data)
    assert holdwater("import", str(tmp_path / "p.json")).status == 0
    said = holdwater("sessions")
    heading = next(n for n, line in enumerate(said.lines) if line.startswith("Practice"))
    assert "2026-06-03-1" in said.lines[heading + 1]
    assert all("2026-06-03-1" not in line for line in said.lines[:heading])
    assert "PRACTICE JOINT" in holdwater("show", "2026-06-03-1").lines[0]
    assert "PRACTICE JOINT" in holdwater("audit", "2026-06-03-1").lines[0]


def _practised(body: dict[str, Any]) -> dict[str, Any]:
    practice = {"seed": 7, "fault": "none", "edition": 1}
    return {**body, "fact": {**body["fact"], "practice": practice}}


def test_the_keys_of_a_listed_session_are_the_documented_ones(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    kept(tmp_path, ONE, passed())
    [row] = holdwater("sessions", "--json").data
    assert tuple(row) == sessions.KEYS
    assert (row["session"], row["state"], row["open"], row["follows"]) == (ONE, "PASS", False, None)
    assert set(row) <= set(re.findall(r"\w+", sessions.__doc__ or ""))


def test_without_an_index_the_list_is_the_same(tmp_path: Path, holdwater: Holdwater) -> None:
    kept(tmp_path, ONE, passed())
    kept(tmp_path, "2026-06-03-2", Story().to("seal"), closed=False)
    before = holdwater("sessions").out
    for name in ("index.json", "index.last.json"):
        (tmp_path / "store" / name).unlink(missing_ok=True)
    assert holdwater("sessions").out == before


def test_an_open_test_is_listed_as_it_stands_and_not_as_it_stood(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    kept(tmp_path, ONE, Story().to("hold"), closed=False, row_of=1)
    [row] = holdwater("sessions", "--json").data
    assert row["state"] == "Hold"


def test_a_test_that_was_closed_since_its_row_was_written_is_past(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    kept(tmp_path, ONE, passed(), row_of=5)
    [row] = holdwater("sessions", "--json").data
    assert (row["state"], row["open"]) == ("PASS", False)


def test_what_is_gone_or_damaged_is_not_passed_over(tmp_path: Path, holdwater: Holdwater) -> None:
    for number in (1, 2, 3):
        kept(tmp_path, f"2026-06-03-{number}", passed(), row_of=number % 2 * 3)
    document(tmp_path, "2026-06-03-2").unlink()
    spoil(document(tmp_path, "2026-06-03-3"), b'"cap"', b'"gap"')
    document(tmp_path, "2026-06-03-9").write_bytes(b"not a session")
    states = {row["session"]: row["state"] for row in holdwater("sessions", "--json").data}
    assert states == {
        "2026-06-03-1": "PASS",
        "2026-06-03-2": "GONE",
        "2026-06-03-3": "DAMAGED",
        "2026-06-03-9": "unreadable",
    }


def test_an_empty_store_says_so_and_is_not_made_by_looking(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    said = holdwater("sessions")
    assert said.status == 0
    assert said.out.startswith("No sessions in ")
    assert holdwater("sessions", "--json").data == []
    assert not (tmp_path / "store").exists()


# --- import -------------------------------------------------------------------------------------


def test_what_was_exported_here_can_be_kept_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    kept(here, ONE, passed())
    said = Holdwater(there, capsys)("import", str(document(here)))
    assert (said.status, said.err) == (0, "")
    assert said.out == f"session {ONE}: taken in, {len(passed().records)} records\n"
    assert document(there).read_bytes() == document(here).read_bytes()
    both = [Holdwater(folder, capsys)("show", ONE).out for folder in (here, there)]
    assert both[0] == both[1]


def test_a_plan_is_kept_in_parts_and_can_be_named_afterwards(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    path = tmp_path / "plan.toml"
    path.write_text(toml(PIPE))
    assert holdwater("import", str(path)).status == 0
    named = toml({**PIPE, "joint": PIPE["joint"]["name"], "gauge": "G-07"})
    path.write_text(named)
    said = holdwater("plan", str(path))
    assert said.status != 2, said.err


def test_a_refused_file_says_why_in_one_line(tmp_path: Path, holdwater: Holdwater) -> None:
    kept(tmp_path, ONE, passed())
    path = tmp_path / "sent.json"
    path.write_bytes(packed(ONE, bodies()[:-1]))
    said = holdwater("import", str(path))
    assert said.status == 2
    assert said.err == f"holdwater: there is another session {ONE} here; it stays as it is\n"
    assert disk(tmp_path).read(f"sessions/{ONE}.json") != path.read_bytes()
