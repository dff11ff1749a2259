"""Closed sessions: sealing, amending, and telling what was done to a file."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from store import foreign, sealed
from store.audit import Audit, audit
from store.chain import link, start
from store.faults import Absent, Damaged, Declined, Malformed, Newer
from store.journal import Journal
from tests.ledger import BY, SESSION, add, amended, closed, disk, shelf, stamp, texts, written


def test_a_sealed_session_holds_the_journals_lines_byte_for_byte(tmp_path: Path) -> None:
    journal = written(tmp_path, "one", "two")
    lines = journal.read_bytes().split(b"\n")[1:-1]
    head = shelf(tmp_path).seal(SESSION)
    document = (tmp_path / "store/sessions/joint-1.json").read_bytes()
    assert document == (
        b'{"holdwater":1,"session":"joint-1","records":[\n'
        + b",\n".join(lines)
        + b'\n],"head":"'
        + head.encode()
        + b'"}\n'
    )
    assert not journal.exists()
    assert len(json.loads(document)["records"]) == 2


def test_both_forms_read_alike(tmp_path: Path) -> None:
    written(tmp_path, "one", "two")
    store = shelf(tmp_path)
    before = store.read(SESSION)
    store.seal(SESSION)
    after = store.read(SESSION)
    assert (after.records, after.head) == (before.records, before.head)
    assert (before.sealed, after.sealed) == (False, True)


def test_a_session_without_records_is_not_sealed(tmp_path: Path) -> None:
    written(tmp_path)
    with pytest.raises(Declined, match="no records"):
        shelf(tmp_path).seal(SESSION)


def test_a_closed_session_is_not_opened_but_amended(tmp_path: Path) -> None:
    closed(tmp_path, "one")
    store = shelf(tmp_path)
    with pytest.raises(Declined, match="can be amended"):
        store.open(SESSION)
    with pytest.raises(Declined, match="already a session"):
        store.begin(SESSION)
    assert (store.live(), store.sealed()) == ([], [SESSION])


def test_an_amendment_keeps_the_older_document_and_its_digest(tmp_path: Path) -> None:
    first = closed(tmp_path, "one", "two").read_bytes()
    store = shelf(tmp_path)
    old_head = store.read(SESSION).head
    journal = store.amend(SESSION)
    journal.append(amended(), stamp(9), BY)
    assert store.live() == store.sealed() == [SESSION]
    assert not store.read(SESSION).sealed
    store.seal(SESSION)
    assert (tmp_path / "store/sessions/joint-1.r2.json").read_bytes() == first
    assert foreign.kept(store, SESSION).revisions == (2,)
    assert store.sealed() == [SESSION]
    assert store.audit(SESSION).bears_out(2, old_head)
    assert store.audit(SESSION).bears_out(2, old_head[:8].upper())
    assert not store.audit(SESSION).bears_out(3, old_head)
    assert not store.audit(SESSION).bears_out(2, "")


def test_an_amendment_left_off_is_taken_up_again(tmp_path: Path) -> None:
    closed(tmp_path, "one")
    store = shelf(tmp_path)
    store.amend(SESSION).append(amended(), stamp(), BY)
    store.close()
    again = shelf(tmp_path)
    journal = again.open(SESSION)
    assert len(journal.records()) == 2
    add(journal, "three")
    again.seal(SESSION)
    assert len(again.read(SESSION).records) == 3


def test_an_amendment_of_nothing_leaves_all_as_it_was(tmp_path: Path) -> None:
    path = closed(tmp_path, "one")
    before = path.read_bytes()
    store = shelf(tmp_path)
    store.amend(SESSION)
    assert (store.live(), store.read(SESSION).sealed) == ([], True)
    store.seal(SESSION)
    assert path.read_bytes() == before
    assert [file.name for file in path.parent.iterdir()] == [path.name]


def test_after_a_crash_in_sealing_the_document_wins_where_the_heads_match(tmp_path: Path) -> None:
    journal = written(tmp_path, "one")
    left = journal.read_bytes()
    shelf(tmp_path).seal(SESSION)
    journal.write_bytes(left)
    store = shelf(tmp_path)
    assert store.read(SESSION).sealed
    assert store.live() == []
    assert store.sweep() == 1
    assert not journal.exists()


def test_a_journal_that_parts_ways_with_the_document_is_damage(tmp_path: Path) -> None:
    closed(tmp_path, "one", "two")
    written(tmp_path, "one", "too")
    store = shelf(tmp_path)
    for use in (store.read, store.open, store.amend, store.seal):
        with pytest.raises(Damaged, match="part ways") as refused:
            use(SESSION)
        assert refused.value.number == 2
        assert texts(refused.value.sound) == ["one"]
    assert store.sweep() == 0


def test_a_document_is_never_replaced_by_another_history(tmp_path: Path) -> None:
    path = closed(tmp_path, "one", "two")
    before = path.read_bytes()
    written(tmp_path, "one", "too", "three")
    with pytest.raises(Damaged, match="part ways"):
        sealed.seal(disk(tmp_path), Journal.open(disk(tmp_path), SESSION))
    assert path.read_bytes() == before


def test_what_is_damaged_is_named_and_the_rest_is_given(tmp_path: Path) -> None:
    path = closed(tmp_path, "one", "two", "three")
    whole = path.read_bytes()
    store = shelf(tmp_path)
    for old, new, number, left in [
        (b"two", b"owt", 2, ["one"]),
        (b'"holdwater":1', b'"holdwater":3', 0, ["one", "two", "three"]),
        (b'"}},\n', b'"}}\n', 1, []),
        (b'"head"', b'"tail"', 4, ["one", "two", "three"]),
    ]:
        path.write_bytes(whole.replace(old, new, 1))
        with pytest.raises(Damaged) as refused:
            store.read(SESSION)
        assert refused.value.number == number
        assert texts(refused.value.sound) == left


def test_a_newer_document_is_refused(tmp_path: Path) -> None:
    path = closed(tmp_path, "one")
    path.write_bytes(b'{"holdwater":2,"session":"joint-1","records":[\n{}\n]}\n')
    with pytest.raises(Newer):
        shelf(tmp_path).read(SESSION)


def test_a_trail_goes_on_through_sealing_and_amending(tmp_path: Path) -> None:
    store = shelf(tmp_path)
    first = store.begin(SESSION)
    add(first, "one")
    trail = shelf(tmp_path).trail(SESSION)
    assert texts(trail.new()) == ["one"]
    add(first, "two")
    store.seal(SESSION)
    assert texts(trail.new()) == ["two"]
    assert trail.new() == []
    journal = store.amend(SESSION)
    assert trail.new() == []
    add(journal, "three")
    assert texts(trail.new()) == ["three"]
    store.seal(SESSION)
    assert trail.new() == []
    assert texts(shelf(tmp_path).trail(SESSION).new()) == ["one", "two", "three"]


# --- finding ------------------------------------------------------------------------------------


def test_a_beginning_is_enough_where_it_fits_one(tmp_path: Path) -> None:
    for n in range(7):
        written(tmp_path, session=f"yard-{n}")
    closed(tmp_path, "one", session="yard")
    closed(tmp_path, "one", session="bench-1")
    store = shelf(tmp_path)
    assert store.resolve("b") == "bench-1"
    assert store.resolve("yard") == "yard"
    assert store.resolve("yard-3") == "yard-3"
    with pytest.raises(Declined) as several:
        store.resolve("yard-")
    assert str(several.value) == (
        '"yard-" fits 7 sessions: yard-0, yard-1, yard-2, yard-3, yard-4 and 2 more'
    )
    for none in ("x", "", "\x1b[2J", "../bench-1"):
        with pytest.raises(Absent) as refused:
            store.resolve(none)
        assert "\x1b" not in str(refused.value)


# --- audit --------------------------------------------------------------------------------------


def _kinds(found: Audit) -> list[tuple[str, int]]:
    return [(finding.kind, finding.number) for finding in found.findings]


def _lines(path: Path) -> tuple[bytes, list[bytes], bytes]:
    opening, *lines, ending, _ = path.read_bytes().split(b"\n")
    return opening, [line.removesuffix(b",") for line in lines], ending


def _packed(opening: bytes, lines: list[bytes], ending: bytes) -> bytes:
    return opening + b"\n" + b",\n".join(lines) + b"\n" + ending + b"\n"


def test_an_untouched_file_is_sound_in_either_form(tmp_path: Path) -> None:
    journal = audit(written(tmp_path, "one", "two").read_bytes())
    document = audit(closed(tmp_path / "b", "one", "two").read_bytes())
    assert journal.sound and document.sound
    assert journal.digests == document.digests
    assert journal.records == 2
    assert (journal.session, journal.head) == (SESSION, journal.digests[-1])


def test_a_torn_journal_is_not_unsound(tmp_path: Path) -> None:
    found = audit(written(tmp_path, "one").read_bytes() + b'{"dig')
    assert found.sound and found.torn


def test_an_edited_record_is_named(tmp_path: Path) -> None:
    data = closed(tmp_path, "one", "two", "three").read_bytes()
    assert _kinds(audit(data.replace(b"two", b"owt"))) == [("edited", 2)]
    assert _kinds(audit(data.replace(b"three", b"threw"))) == [("edited", 3)]
    assert audit(data.replace(b"two", b"owt")).digests == audit(data).digests[:1]


def test_a_record_edited_and_given_a_new_digest_is_found_behind_it(tmp_path: Path) -> None:
    opening, lines, ending = _lines(closed(tmp_path, "one", "two", "three"))
    lines[0] = link(start(SESSION), b"{" + lines[0][77:].replace(b"one", b"eno"))
    found = audit(_packed(opening, lines, ending))
    assert _kinds(found) == [("edited", 2)]
    assert "or record 1, and given a new digest" in found.findings[0].words


def test_a_removed_record_is_named(tmp_path: Path) -> None:
    opening, lines, ending = _lines(closed(tmp_path, "one", "two", "three", "four"))
    found = audit(_packed(opening, [lines[0], lines[3]], ending))
    assert _kinds(found) == [("missing", 2)]
    assert found.findings[0].words == "records 2 to 3 are missing"


def test_a_shortened_file_is_named(tmp_path: Path) -> None:
    path = closed(tmp_path, "one", "two", "three")
    opening, lines, ending = _lines(path)
    assert _kinds(audit(_packed(opening, lines[:2], ending))) == [("shortened", 2)]
    cut = path.read_bytes()[: path.read_bytes().index(b'],"head"')]
    assert _kinds(audit(cut)) == [("shortened", 3)]


def test_reordered_records_are_named(tmp_path: Path) -> None:
    opening, lines, ending = _lines(closed(tmp_path, "one", "two", "three", "four"))
    found = audit(_packed(opening, [lines[0], lines[2], lines[1], lines[3]], ending))
    assert {kind for kind, _ in _kinds(found)} <= {"reordered", "spliced"}
    assert _kinds(found)[0] == ("reordered", 2)
    assert found.findings[0].words == "record 3 stands where record 2 should"


def test_a_record_from_another_session_is_named(tmp_path: Path) -> None:
    opening, lines, ending = _lines(closed(tmp_path, "one", "two", "three", "four"))
    _, others, _ = _lines(closed(tmp_path, "ein", "zwei", "drei", "vier", session="joint-2"))
    lines[1] = others[1]
    assert ("spliced", 2) in _kinds(audit(_packed(opening, lines, ending)))


def test_a_changed_heading_is_named(tmp_path: Path) -> None:
    data = closed(tmp_path, "one", "two").read_bytes()
    assert _kinds(audit(data.replace(b'"session"', b'"sessiom"')))[0] == ("heading", 0)
    assert ("edited", 1) in _kinds(audit(data.replace(b"joint-1", b"joint-2")))


@pytest.mark.parametrize("data", [b"{}", b"\x00" * 99, b"[" * 9999, b"time,pressure\n1,2\n"])
def test_what_is_no_session_file_is_said_to_be_none(data: bytes) -> None:
    with pytest.raises(Malformed, match="not a session file"):
        audit(data)


def test_an_empty_file_is_said_to_be_empty() -> None:
    with pytest.raises(Malformed, match="the file is empty"):
        audit(b"")


def test_what_is_wrong_with_hundreds_of_records_is_told_of_the_first() -> None:
    line = b'{"digest":"' + b"a" * 64 + b'","seq":1}\n'
    found = audit(b'{"holdwater":1,"session":"joint-1"}\n' + line * 5_000)
    assert len(found.findings) == 201
    assert "no more is told" in found.findings[-1].words
