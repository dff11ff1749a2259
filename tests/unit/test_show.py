"""One session shown: it agrees with its file, and says as much as it proves."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from engine.asking.commands import Amend
from tests.hostile import bodies, packed
from tests.ledger import shelf
from tests.shelved import ONE, Holdwater, document, kept, passed, spoil
from tests.story import Story
from tui.verbs import show


@pytest.fixture
def holdwater(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Holdwater:
    return Holdwater(tmp_path, capsys)


def corrected() -> Story:
    """A test in which one reading was struck, one was late, and a check was waived."""
    story = Story().to("hold").raise_to()
    wrong = story.pass_time(20).read(31.5)
    story.strike(wrong, "misread the scale")
    story.pass_time(100).read(13.5, ago=70.0, read_from="watch")
    story.hold().go_on()
    return story.end()


def test_what_is_shown_agrees_with_the_sealed_file(tmp_path: Path, holdwater: Holdwater) -> None:
    kept(tmp_path, ONE, corrected())
    shown = holdwater("show", ONE, "--json").data
    sealed = json.loads(document(tmp_path).read_bytes())
    assert shown["head"] == sealed["head"]
    assert shown["records"] == len(sealed["records"])
    facts = {r["seq"]: r["fact"] for r in sealed["records"]}
    struck = {fact["of"] for fact in facts.values() if fact["kind"] == "struck"}
    read = {seq: fact for seq, fact in facts.items() if fact["kind"] == "pressure_read"}
    assert {r["seq"]: r["pressure"] for r in shown["readings"]} == {
        seq: fact["pressure"] for seq, fact in read.items()
    }
    assert {r["seq"] for r in shown["readings"] if r["struck"]} == struck != set()
    assert {r["seq"] for r in shown["readings"] if r["late"]} == {
        seq for seq, fact in read.items() if fact["read_from"]
    }
    assert [look["seq"] for look in shown["looks"]] == [
        seq for seq, fact in facts.items() if fact["kind"] == "looked"
    ]
    [given] = [fact for fact in facts.values() if fact["kind"] == "verdict_given"]
    assert shown["verdict"]["outcome"] == shown["announced"]["outcome"] == given["outcome"]
    assert [r["rule"] for r in shown["verdict"]["reasons"]] == [r["rule"] for r in given["reasons"]]
    assert [s["name"] for s in shown["signed"]] == ["R. Example"]


def test_readings_are_corrected_for_the_gauges_zero(tmp_path: Path, holdwater: Holdwater) -> None:
    kept(tmp_path, ONE, Story().to("fill", zero=0.25).to("verdict").end())
    shown = holdwater("show", ONE, "--json").data
    assert {r["corrected"][0] - r["pressure"][0] for r in shown["readings"]} == {-0.25}
    assert shown["needed"]["to_read"] == [13.5, "psi"]  # 13.02 and 0.25, on a mark of 0.5


def test_the_keys_that_are_shown_are_the_documented_ones(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    story = Story().to("hold")
    story.see("secondary", "drip")
    kept(tmp_path, ONE, story.to("verdict").end())
    shown = holdwater("show", ONE, "--json").data
    assert set(shown) == {
        *("session", "product", "marks", "alignment", "units", "stage", "closed", "verdict"),
        "announced",
        *("signed", "credit", "needed", "probability", "readings", "sightings", "looks"),
        *("waivers", "revisions", "records", "head", "practice"),
    }
    written = set(re.findall(r"\w+", show.__doc__ or ""))
    inner = ("verdict", "announced", "credit", "needed")
    lists = ("signed", "readings", "sightings", "looks")
    assert {*shown, *(k for key in inner for k in shown[key])} <= written
    assert {k for key in lists for k in shown[key][0]} <= written
    assert set(shown["verdict"]["reasons"][0]) <= written


def test_what_there_is_not_is_null(tmp_path: Path, holdwater: Holdwater) -> None:
    kept(tmp_path, ONE, Story(), closed=False)
    shown = holdwater("show", ONE, "--json").data
    absent = [key for key, value in shown.items() if value is None]
    assert absent == ["marks", "announced", "credit", "probability"]
    assert (shown["stage"], shown["closed"]) == ("prepare", False)
    assert shown["verdict"]["outcome"] == "undecided"


def test_a_session_is_shown_within_eighty_columns_with_its_strikes(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    story = corrected()
    kept(tmp_path, ONE, story)
    said = holdwater("show", "2026-06")
    assert (said.status, said.err) == (0, "")
    assert max(map(len, said.lines)) <= 80
    assert "Verdict: PASS" in said.lines
    [struck] = [line for line in said.lines if "[struck by" in line]
    assert "Read 31.5 psi" in struck
    assert said.lines[-1].strip() == shelf(tmp_path).read(ONE).head


def test_a_name_typed_before_a_correction_is_shown_as_such(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    story = passed()
    seq = story.ask(Amend("a note was left out"))
    kept(tmp_path, ONE, story, closed=False)
    [name] = holdwater("show", ONE, "--json").data["signed"]
    assert name["corrected"] == seq
    assert f"before the correction of record {seq}" in " ".join(holdwater("show", ONE).out.split())


def test_a_damaged_session_is_shown_as_far_as_it_proves_itself(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    story = passed()
    kept(tmp_path, ONE, story)
    spoil(document(tmp_path), b'"kind":"hold_started"', b'"kind":"hold_stopped"')
    bad = next(r.seq for r in story.records if r.fact.kind == "hold_started")
    said = holdwater("show", ONE)
    assert said.status == 1
    assert said.err == (
        f"holdwater: session {ONE} is damaged at record {bad}: it is not what was written\n"
    )
    assert "Verdict: UNDECIDED" in said.lines
    assert f"DAMAGED; records that can be read: {bad - 1}" in said.lines
    shown = holdwater("show", ONE, "--json")
    assert (shown.status, shown.data["records"]) == (1, bad - 1)
    assert [r["rule"] for r in shown.data["verdict"]["reasons"]] == ["record_damaged"]


def test_a_beginning_that_fits_several_names_them(tmp_path: Path, holdwater: Holdwater) -> None:
    for number in (1, 2):
        kept(tmp_path, f"2026-06-03-{number}", Story(), closed=False)
    said = holdwater("show", "2026")
    assert said.status == 2
    assert said.err == ('holdwater: "2026" fits 2 sessions: 2026-06-03-1, 2026-06-03-2\n')


def test_a_file_from_elsewhere_is_shown_without_being_kept(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    path = tmp_path / "sent.json"
    path.write_bytes(packed("from-afar", bodies()))
    said = holdwater("show", str(path))
    assert said.status == 0
    assert said.lines[0] == "from-afar"
    assert holdwater("sessions", "--json").data == []


def test_text_from_elsewhere_moves_no_cursor(tmp_path: Path, holdwater: Holdwater) -> None:
    records = bodies()
    note = {"kind": "noted", "text": "\x1b[2J\x07[bold]now\u202e\nthen"}
    records.append({**records[-1], "seq": len(records) + 1, "fact": note, "by": "\x9b31mX"})
    path = tmp_path / "sent.json"
    path.write_bytes(packed("from-afar", records))
    said = holdwater("show", str(path))
    assert said.status == 0
    assert all(line.isprintable() for line in said.lines)
    assert any("Note: ?[2J?[bold]now? then" in line for line in said.lines)
