"""A session audited: its record, its verdict, its doubts, and a paper held against it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from engine import facts as f
from engine.asking.commands import Write
from engine.stages import checks_for
from store.journal import Journal
from tests.hostile import bodies, packed
from tests.ledger import amended, shelf
from tests.plans import plan
from tests.shelved import ONE, Holdwater, document, kept, passed, spoil
from tests.story import Story
from tui.verbs import audit


@pytest.fixture
def holdwater(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Holdwater:
    return Holdwater(tmp_path, capsys)


def test_a_sound_record_whose_verdict_follows_is_said_to_be_so(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    kept(tmp_path, ONE, passed())
    said = holdwater("audit", ONE)
    assert said.status == 0
    assert "Sound: every record is as it was written down" in said.lines
    assert "PASS, follows from it" in said.out
    assert "no signature" in " ".join(said.out.split())
    assert max(map(len, said.lines)) <= 80


@pytest.mark.parametrize("closed", [True, False])
def test_a_changed_record_is_named(tmp_path: Path, holdwater: Holdwater, closed: bool) -> None:
    story = passed()
    kept(tmp_path, ONE, story, closed)
    path = document(tmp_path) if closed else tmp_path / "store" / "live" / f"{ONE}.journal"
    read = next(r.seq for r in story.records if r.fact.kind == "pressure_read")
    spoil(path, b'"pressure":[5.0,', b'"pressure":[6.0,')
    said = holdwater("audit", ONE)
    assert said.status == 1
    assert f"record {read} was changed after it was written" in " ".join(said.out.split())


def test_a_verdict_that_no_longer_follows_is_told(tmp_path: Path, holdwater: Holdwater) -> None:
    story = passed()
    kept(tmp_path, ONE, story)
    journal = shelf(tmp_path).amend(ONE)
    stamp = story.pass_time(3600).stamp
    journal.append(amended("a look was entered twice"), stamp, "R. Example")
    for record in story.records:
        if record.fact.kind == "looked":
            journal.append(f.Struck(of=record.seq, reason="nobody was there"), stamp, "R. Example")
    seal_again(tmp_path, journal)
    said = holdwater("audit", ONE)
    assert said.status == 1
    assert "was PASS; what the records say is UNDECIDED" in " ".join(said.out.split())
    assert "Sound: every record" in said.out
    assert "closed once before, and taken up again" in " ".join(said.out.split())
    assert holdwater("audit", ONE, "--json").data["verdict"]["follows"] is False
    assert holdwater("show", ONE, "--json").data["announced"]["stands"] is False


def seal_again(folder: Path, journal: Journal) -> None:
    journal.close()
    shelf(folder).seal(ONE)


def test_other_rules_and_restarts_are_doubts(tmp_path: Path, holdwater: Holdwater) -> None:
    chosen = plan()
    story = Story.__new__(Story)
    opening = f.SessionOpened(plan=chosen, checks=checks_for(chosen), rules=99)
    story.__init__(chosen)  # type: ignore[misc]
    story.records = [story.records[0].model_copy(update={"fact": opening})]
    story.boot = "boot-2"
    story.ask(Write(f.Noted(text="after the power came back")))
    kept(tmp_path, ONE, story, closed=False)
    doubts = holdwater("audit", ONE, "--json").data["doubts"]
    assert len(doubts) == 2
    assert "edition 99" in doubts[0]
    assert "before record 2" in doubts[1]


def test_a_paper_is_borne_out_by_its_record_and_digest_alone(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    kept(tmp_path, ONE, passed())
    digest = shelf(tmp_path).audit(ONE).digests[4]
    assert holdwater("audit", ONE, "--paper", f"5:{digest[:16].upper()}").status == 0
    said = holdwater("audit", ONE, "--paper", f"6:{digest[:16]}")
    assert said.status == 1
    assert "OTHER records" in said.out


@pytest.mark.parametrize(
    "paper", ["", "5", "5:", "x:abcdef01", "5:abc", "5:zzzzzzzz", "-5:abcdef01"]
)
def test_a_paper_that_says_nothing_is_refused(
    tmp_path: Path, holdwater: Holdwater, paper: str
) -> None:
    kept(tmp_path, ONE, passed())
    said = holdwater("audit", ONE, f"--paper={paper}")
    assert said.status == 2
    assert said.err.startswith("holdwater: --paper: expected")


def test_a_line_that_was_never_finished_is_told_and_is_no_damage(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    kept(tmp_path, ONE, Story(), closed=False)
    with (tmp_path / "store" / "live" / f"{ONE}.journal").open("ab") as file:
        file.write(b'{"digest":"12')
    said = holdwater("audit", ONE)
    assert said.status == 0
    assert "never acknowledged" in said.out
    assert "never acknowledged" in holdwater("show", ONE).out


def test_a_file_under_another_sessions_name_is_not_sound(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    kept(tmp_path, ONE, passed())
    document(tmp_path).rename(document(tmp_path, "2026-06-03-8"))
    said = holdwater("audit", "2026-06-03-8")
    assert said.status == 1
    assert "holds another session" in " ".join(said.out.split())


def test_a_file_is_audited_where_it_lies(tmp_path: Path, holdwater: Holdwater) -> None:
    path = tmp_path / "sent.json"
    path.write_bytes(packed("from-afar", bodies()))
    assert holdwater("audit", str(path)).status == 0
    spoil(path, b'"seq":4,', b'"seq":5,')
    assert holdwater("audit", str(path)).status == 1
    path.write_bytes(b"{}")
    said = holdwater("audit", str(path))
    assert (said.status, said.err) == (2, "holdwater: this is not a session file\n")


def test_an_audits_keys_are_the_documented_ones(tmp_path: Path, holdwater: Holdwater) -> None:
    kept(tmp_path, ONE, passed())
    said = holdwater("audit", ONE, "--json", "--paper", "1:00000000").data
    written = set(re.findall(r"\w+", audit.__doc__ or ""))
    assert {*said, *said["verdict"], *said["paper"]} <= written
    assert said["findings"] == []


# --- a sealed file and a journal side by side ---------------------------------------------------

READ = (b'"pressure":[5.0,', b'"pressure":[6.0,')


def taken_up_again(folder: Path) -> tuple[Story, Path, Path]:
    """A closed test that was amended and left open; its sealed file and its journal."""
    story = passed()
    kept(folder, ONE, story)
    store = shelf(folder)
    store.amend(ONE).append(amended("wrong mark"), story.pass_time(3600).stamp, "R. Example")
    store.close()
    return story, document(folder), folder / "store" / "live" / f"{ONE}.journal"


def test_a_damaged_file_beside_a_sound_journal_is_named_and_the_rest_is_shown(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    story, closed, _ = taken_up_again(tmp_path)
    spoil(closed, *READ)
    read = next(r.seq for r in story.records if r.fact.kind == "pressure_read")
    said = holdwater("audit", ONE, "--json")
    assert (said.status, said.data["sound"]) == (1, False)
    [finding] = said.data["findings"]
    assert (finding["kind"], finding["record"]) == ("edited", read)
    assert finding["text"].startswith("closed file: ")
    assert said.data["records"] == len(story.records) + 1
    shown = holdwater("show", ONE)
    assert (shown.status, len(shown.err.splitlines())) == (1, 1)
    assert f"DAMAGED; records that can be read: {len(story.records) + 1}" in shown.lines


def test_a_damaged_journal_beside_a_sound_file_is_named_and_the_rest_is_shown(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    story, _, live = taken_up_again(tmp_path)
    spoil(live, *READ)
    said = holdwater("audit", ONE, "--json")
    assert said.status == 1
    assert [f["text"].partition(":")[0] for f in said.data["findings"]] == ["journal"]
    assert said.data["records"] == len(story.records)


def test_both_damaged_are_both_named(tmp_path: Path, holdwater: Holdwater) -> None:
    story, closed, live = taken_up_again(tmp_path)
    spoil(closed, *READ)
    spoil(live, b'"kind":"hold_started"', b'"kind":"hold_stopped"')
    bad = next(r.seq for r in story.records if r.fact.kind == "hold_started")
    said = holdwater("audit", ONE)
    assert said.status == 1
    assert "UNSOUND closed file: record" in " ".join(said.out.split())
    assert "UNSOUND journal: record" in " ".join(said.out.split())
    assert said.lines[0] == f"{ONE}, {bad - 1} records"


def test_where_two_sound_files_part_ways_only_what_both_hold_is_shown(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    story = passed()
    kept(tmp_path, ONE, story)
    other = tmp_path / "other"
    journal = shelf(other).begin(ONE)
    for record in story.records[:9]:
        journal.append(record.fact, record.stamp, record.by)
    journal.append(f.Noted(text="another history"), story.records[9].stamp, "R. Example")
    live = tmp_path / "store" / "live" / f"{ONE}.journal"
    live.write_bytes((other / "store" / "live" / f"{ONE}.journal").read_bytes())
    said = holdwater("audit", ONE, "--json")
    assert (said.status, said.data["records"]) == (1, 9)
    assert [(f["kind"], f["record"]) for f in said.data["findings"]] == [("spliced", 10)]


@pytest.mark.parametrize("data", [b"", b"nothing of ours\n"])
@pytest.mark.parametrize("spoiled", ["closed", "live"])
def test_a_file_of_nothing_beside_a_sound_one_is_named(
    spoiled: str, data: bytes, tmp_path: Path, holdwater: Holdwater
) -> None:
    story, closed, live = taken_up_again(tmp_path)
    (closed if spoiled == "closed" else live).write_bytes(data)
    said = holdwater("audit", ONE, "--json")
    assert said.status == 1
    assert said.data["findings"]
    assert said.data["records"] == len(story.records) + (spoiled == "closed")


def test_another_sessions_journal_beside_a_damaged_file_bears_nothing_out(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    _, closed, live = taken_up_again(tmp_path)
    other = "2026-06-03-2"
    kept(tmp_path, other, passed(), closed=False)
    live.write_bytes((tmp_path / "store" / "live" / f"{other}.journal").read_bytes())
    closed.write_bytes(b"")
    digest = shelf(tmp_path).audit(other).digests[4]
    said = holdwater("audit", ONE, "--paper", f"5:{digest}", "--json")
    assert (said.status, said.data["records"]) == (1, 0)
    assert not said.data["paper"]["borne_out"]
