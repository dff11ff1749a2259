"""Data handed out: readings as CSV, the session as JSON under its schema, files written whole."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import stat
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest

from engine.units import amount
from store.faults import NotWritten
from store.foreign import named
from store.outgoing import hand_out
from store.papers import Papers
from store.schema import PUBLISHED, schema_text, session_schema
from store.sheet import columns, defused, readings_csv
from store.shelf import Shelf
from tests import certified
from tests.json_schema import faults
from tests.ledger import shelf as kept
from tests.plans import PIPE, plan
from tests.story import Story
from tui.arguments import parser
from tui.outside import Outside
from tui.verbs import certificate as certificate_verb
from tui.verbs import export as export_verb

# --- readings -----------------------------------------------------------------------------------


def rows(story: Story) -> list[dict[str, str]]:
    text = readings_csv("2026-06-03-1", story.session).decode()
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_every_reading_that_counts_is_a_row_with_its_own_figures() -> None:
    story = certified.undecided()
    made = rows(story)
    assert tuple(made[0]) == columns("us")
    assert len(made) == len(story.session.evidence.readings)
    for row, reading in zip(made, story.session.evidence.readings, strict=True):
        assert int(row["record"]) == reading.seq
        assert float(row["as_read"]) == amount(reading.written, row["unit"])
        assert float(row["corrected_psi"]) == pytest.approx(reading.psi, abs=1e-6)
    assert float(made[0]["needed_psi"]) == pytest.approx(13.018, abs=5e-4)


def test_ten_thousand_readings_are_all_there() -> None:
    assert len(rows(certified.long_hold())) > 10_000


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1+1", "\r=1", "\n=1", "  =1+1", "＝1", "|cmd", "%0A=1"],
)
def test_no_cell_is_a_formula(text: str) -> None:
    assert defused(text).startswith("'")


@pytest.mark.parametrize("text", ["G-07", "R. Example", "2026-06-03-1", "psi", ""])
def test_a_plain_cell_is_left_alone(text: str) -> None:
    assert defused(text) == text


def test_a_hostile_mark_is_defused_in_the_file() -> None:
    gauge = {**PIPE["gauge"], "mark": '=HYPERLINK("x")'}
    story = Story(plan(gauge=gauge)).to("hold")
    story.read(13.5)
    assert {row["gauge"] for row in rows(story)} == {'\'=HYPERLINK("x")'}


# --- schema -------------------------------------------------------------------------------------


def test_the_published_schema_is_that_of_the_models() -> None:
    """Write it anew with: PUBLISHED.write_text(schema_text(), encoding="utf-8")."""
    assert PUBLISHED.read_text(encoding="utf-8") == schema_text()


@pytest.mark.parametrize("make", [certified.usual, certified.undecided, certified.metric])
def test_a_session_file_keeps_to_the_schema(make: Any, tmp_path: Path) -> None:
    shelf, name = closed(make(), tmp_path)
    document = json.loads(Papers(shelf).json(name))
    assert list(faults(document, session_schema())) == []


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("head",), "short"),
        (("records", 0, "seq"), "1"),
        (("records", 0, "fact", "kind"), "unheard_of"),
        (("records", 0, "fact", "plan", "procedure", "pressure"), ["psi", 13]),
        (("records", 0, "digest"), None),
        (("extra",), 1),
    ],
)
def test_the_schema_refuses(path: tuple[Any, ...], value: Any, tmp_path: Path) -> None:
    shelf, name = closed(certified.usual(), tmp_path)
    document = json.loads(Papers(shelf).json(name))
    place = document
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    assert list(faults(document, session_schema()))


# --- files --------------------------------------------------------------------------------------


def test_a_file_is_replaced_whole(tmp_path: Path) -> None:
    target = tmp_path / "x.pdf"
    target.write_bytes(b"old")
    hand_out(str(target), b"new")
    assert target.read_bytes() == b"new"
    assert [path.name for path in tmp_path.iterdir()] == ["x.pdf"]


def test_a_link_is_followed_and_stays(tmp_path: Path) -> None:
    real, link = tmp_path / "real", tmp_path / "link"
    real.write_bytes(b"old")
    link.symlink_to(real)
    hand_out(str(link), b"new")
    assert link.is_symlink()
    assert real.read_bytes() == b"new"


@pytest.mark.parametrize("name", ["missing/x.pdf", "folder", "x" * 300, "a\0b"])
def test_what_cannot_be_written_is_told_in_one_line(name: str, tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    with pytest.raises(NotWritten) as told:
        hand_out(str(tmp_path / name), b"new")
    assert "\n" not in str(told.value)
    assert [path.name for path in tmp_path.iterdir()] == ["folder"]


def test_what_is_handed_out_is_for_others_to_read(tmp_path: Path) -> None:
    before = os.umask(0o022)
    try:
        hand_out(str(tmp_path / "x"), b"new")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "x").stat().st_mode) == 0o644


# --- verbs --------------------------------------------------------------------------------------


def closed(story: Story, folder: Path, name: str = "2026-06-03-1", close: bool = True
           ) -> tuple[Shelf, str]:  # fmt: skip
    """The story as a closed session of a store."""
    shelf = kept(folder)
    journal = shelf.begin(name)
    for made in story.records:
        journal.append(made.fact, made.stamp, made.by)
    row = {"session": name, "marks": "D-1041 / D-1042", "product": "54 in pipe", "practice": False}
    shelf.put_row(name, row)
    if close:
        shelf.seal(name)
    else:
        shelf.close()
    return shelf, name


def outside(shelf: Shelf) -> Outside:
    def nothing(*_: Any) -> Any:
        raise AssertionError("not asked for")

    given: dict[str, Any] = {field.name: nothing for field in fields(Outside)}
    given |= {"shelf": shelf, "papers": Papers(shelf), "found": lambda name: named(shelf, name)}
    return Outside(**given)


def ask(verb: Any, shelf: Shelf, *words: str) -> int:
    name = verb.__name__.rpartition(".")[2]
    return int(verb.run(outside(shelf), parser().parse_args([name, *words])))


def test_the_certificate_is_written_and_its_outcome_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pytest.importorskip("typst")
    shelf, name = closed(certified.usual(), tmp_path)
    target = tmp_path / "paper.pdf"
    assert ask(certificate_verb, shelf, name, "-o", str(target)) == 0
    assert target.read_bytes().startswith(b"%PDF-")
    assert capsys.readouterr().out == f"{target}: Straight: PASS\n"


def test_without_a_file_the_text_is_printed_and_audit_bears_out_its_digest(
    tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    shelf, name = closed(certified.usual(), tmp_path)
    assert ask(certificate_verb, shelf, name) == 0
    text = capfdbinary.readouterr().out.decode()
    told = re.search(r"--paper\s+(\d+):([0-9a-f]{16})", text)
    assert told is not None
    assert named(shelf, name).bears_out(int(told[1]), told[2])


def test_a_chain_and_every_other_try_on_the_marks_are_on_the_paper(
    tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    closed(certified.failed(), tmp_path, "a-first-try")
    closed(certified.usual(), tmp_path, "b-straight")
    following = certified.passed()
    fact = following.records[0].fact.model_copy(update={"follows": "b-straight"})
    following.records[0] = following.records[0].model_copy(update={"fact": fact})
    shelf, name = closed(following, tmp_path, "c-again")
    shelf.put_row(name, {**shelf.rows()[-1], "session": name, "follows": "b-straight"})
    assert ask(certificate_verb, shelf, "b-straight") == 0
    text = capfdbinary.readouterr().out.decode()
    assert text.count("*** PASS ***") == 2
    assert re.search(r"a-first-try +2026-06-03 08:00 +straight +FAIL, +", text)


def test_an_open_session_gets_no_certificate(tmp_path: Path) -> None:
    shelf, name = closed(certified.usual(), tmp_path, close=False)
    with pytest.raises(Exception, match="is still open; close it first"):
        ask(certificate_verb, shelf, name)


def test_a_damaged_session_gets_no_certificate_and_no_data(tmp_path: Path) -> None:
    shelf, name = closed(certified.usual(), tmp_path)
    [file] = (tmp_path / "store" / "sessions").glob("*.json")
    file.write_bytes(file.read_bytes().replace(b"13.5", b"13.6", 1))
    for verb in (certificate_verb, export_verb):
        with pytest.raises(Exception, match=r"changed|damaged"):
            ask(verb, shelf, name)


def test_an_ending_that_is_not_known_is_refused(tmp_path: Path) -> None:
    shelf, name = closed(certified.usual(), tmp_path)
    with pytest.raises(Exception, match=r"expected a name that ends in \.pdf or \.txt"):
        ask(certificate_verb, shelf, name, "-o", "paper.doc")


def test_the_session_is_exported_byte_for_byte(tmp_path: Path) -> None:
    shelf, name = closed(certified.usual(), tmp_path)
    target = tmp_path / "out.json"
    assert ask(export_verb, shelf, name, "--json", "-o", str(target)) == 0
    assert target.read_bytes() == shelf.document(name)


def test_an_open_session_is_exported_in_the_form_of_a_closed_one(tmp_path: Path) -> None:
    shelf, name = closed(certified.usual(), tmp_path, close=False)
    document = json.loads(Papers(shelf).json(name))
    assert len(document["records"]) == len(shelf.read(name).records)
    assert document["head"] == shelf.read(name).head


def test_the_plot_is_exported(tmp_path: Path) -> None:
    shelf, name = closed(certified.usual(), tmp_path)
    target = tmp_path / "out.svg"
    assert ask(export_verb, shelf, name, "--svg", "-o", str(target)) == 0
    assert target.read_text().startswith("<svg ")
