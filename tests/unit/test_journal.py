"""The journal: what is acknowledged, who may write, what a reader sees."""

from __future__ import annotations

import os
import stat
from hashlib import sha256
from pathlib import Path

import pytest

from engine.facts import HoldStarted
from store import journal
from store.chain import link
from store.disk import Disk
from store.faults import Absent, Changed, Damaged, Declined, InUse, Newer, NotRead, NotWritten
from store.journal import Journal
from store.trail import Trail
from tests.ledger import BY, SESSION, add, disk, note, stamp, texts, written


def test_what_was_appended_is_read_back(tmp_path: Path) -> None:
    path = written(tmp_path, "one", "two")
    found = journal.read(disk(tmp_path), SESSION)
    assert texts(found.records) == ["one", "two"]
    assert [record.seq for record in found.records] == [1, 2]
    assert not found.torn
    assert path.read_bytes().startswith(b'{"holdwater":1,"session":"joint-1"}\n{"digest":"')


def test_what_append_returns_is_what_a_reader_reads(tmp_path: Path) -> None:
    opened = Journal.begin(disk(tmp_path), SESSION)
    returned = opened.append(note("at"), stamp(0.1234567), BY)
    assert journal.read(disk(tmp_path), SESSION).records == [returned] == opened.records()


def test_each_digest_is_of_the_one_before_and_the_record(tmp_path: Path) -> None:
    """The format, worked out by hand from the bytes."""
    heading, *lines, end = written(tmp_path, "one", "two", "three").read_bytes().split(b"\n")
    digest = sha256(heading).hexdigest().encode()
    for line in lines:
        digest = sha256(digest + b"{" + line[len(b'{"digest":"",') + 64 :]).hexdigest().encode()
        assert line.startswith(b'{"digest":"' + digest + b'",')
    assert end == b""
    assert journal.read(disk(tmp_path), SESSION).head == digest.decode()


def test_opening_is_resuming(tmp_path: Path) -> None:
    written(tmp_path, "one")
    opened = Journal.open(disk(tmp_path), SESSION)
    assert texts(opened.records()) == ["one"]
    assert add(opened, "two")[0].seq == 2


def test_there_is_one_writer(tmp_path: Path) -> None:
    first = Journal.begin(disk(tmp_path), SESSION)
    add(first, "one")
    with pytest.raises(InUse, match="can be watched"):
        Journal.open(disk(tmp_path), SESSION)
    first.close()
    add(Journal.open(disk(tmp_path), SESSION), "two")
    with pytest.raises(NotWritten, match="closed here"):
        add(first, "three")


def test_a_lock_file_left_behind_stops_nobody(tmp_path: Path) -> None:
    path = written(tmp_path, "one")
    path.with_suffix(".lock").write_text("4711")
    assert texts(Journal.open(disk(tmp_path), SESSION).records()) == ["one"]


def test_a_session_begins_once(tmp_path: Path) -> None:
    written(tmp_path, "one")
    with pytest.raises(Declined):
        Journal.begin(disk(tmp_path), SESSION)
    assert texts(journal.read(disk(tmp_path), SESSION).records) == ["one"]


def test_what_is_not_there_is_absent(tmp_path: Path) -> None:
    with pytest.raises(Absent):
        journal.read(disk(tmp_path), SESSION)
    with pytest.raises(Absent):
        Journal.open(disk(tmp_path), SESSION)
    assert not (tmp_path / "store").exists()


@pytest.mark.parametrize("name", ["", "..", "../x", "a/b", "A", "-a", "a.b", "a" * 65, "a\n", "ä"])
def test_an_identity_is_never_a_path(tmp_path: Path, name: str) -> None:
    with pytest.raises(Absent) as refused:
        Journal.begin(disk(tmp_path), name)
    assert "\n" not in str(refused.value)
    assert not (tmp_path / "store").exists()


def test_everything_is_for_its_owner_only(tmp_path: Path) -> None:
    path = written(tmp_path, "one")
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    for folder in (path.parent, path.parent.parent):
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_a_reader_never_repairs(tmp_path: Path) -> None:
    path = written(tmp_path, "one")
    path.write_bytes(before := path.read_bytes() + b'{"digest":"00')
    assert journal.read(disk(tmp_path), SESSION).torn
    assert texts(Trail(disk(tmp_path), SESSION).new()) == ["one"]
    assert path.read_bytes() == before


def test_the_writer_sets_a_torn_tail_aside(tmp_path: Path) -> None:
    path = written(tmp_path, "one")
    for tail in (b'{"digest":"00', b"\xff\x00"):
        path.write_bytes(path.read_bytes() + tail)
        Journal.open(disk(tmp_path), SESSION).close()
    assert path.with_suffix(".torn").read_bytes() == b'{"digest":"00\n\xff\x00\n'
    assert not journal.read(disk(tmp_path), SESSION).torn


def test_a_journal_under_another_name_is_not_that_session(tmp_path: Path) -> None:
    path = written(tmp_path, "one")
    path.rename(path.with_name("joint-2.journal"))
    with pytest.raises(Damaged, match="another session"):
        journal.read(disk(tmp_path), "joint-2")


def test_a_newer_format_is_refused_and_not_called_damaged(tmp_path: Path) -> None:
    path = written(tmp_path)
    path.write_bytes(b'{"holdwater":2,"session":"joint-1"}\n{"what":"ever"}\n')
    for use in (journal.read, Journal.open):
        with pytest.raises(Newer, match="newer version"):
            use(disk(tmp_path), SESSION)


def _with(tmp_path: Path, *bodies: bytes) -> Path:
    """A journal whose lines prove themselves, whatever they say."""
    path = written(tmp_path)
    head = journal.read(disk(tmp_path), SESSION).head
    for body in bodies:
        line = link(head, body)
        head = line[11:75].decode()
        path.write_bytes(path.read_bytes() + line + b"\n")
    return path


BODY = (
    b'{"seq":1,"at":"2031-05-06T08:30:00.000+00:00","boot":"b","ticks":1.0,"by":"me",'
    b'"fact":{"kind":"noted","text":"one"}}'
)


def test_an_unknown_kind_is_from_a_newer_version(tmp_path: Path) -> None:
    _with(tmp_path, BODY.replace(b'"noted"', b'"dreamt"'))
    with pytest.raises(Newer, match="record 1"):
        journal.read(disk(tmp_path), SESSION)


def test_an_unknown_field_is_from_a_newer_version(tmp_path: Path) -> None:
    _with(tmp_path, BODY.replace(b'"text"', b'"loud":true,"text"'))
    with pytest.raises(Newer, match="record 1"):
        journal.read(disk(tmp_path), SESSION)


@pytest.mark.parametrize(
    ("body", "why"),
    [
        (BODY.replace(b'"seq":1', b'"seq":2'), "calls itself record 2"),
        (BODY.replace(b'"by":"me"', b'"by":"me","by":"you"'), 'the key "by" stands there twice'),
        (BODY.replace(b'"digest"', b"").replace(b"1.0", b"NaN"), "NaN stands where a number"),
        (BODY.replace(b"1.0", b"-Infinity"), "-Infinity stands where a number"),
        (BODY.replace(b"1.0", b"1e999"), "too large"),
        (BODY.replace(b'"one"', b"[" * 60 + b"]" * 60), "nested more than 32 deep"),
        (BODY.replace(b'"one"', b'"\\ud800"'), "not readable as JSON"),
        (BODY.replace(b"one", b"\xff"), "not readable as JSON"),
        (BODY.replace(b"one", b"x" * (1 << 20)), "bytes where 1048576 are the most"),
        (BODY.replace(b'"ticks":1.0,', b""), "nothing that is understood"),
        (b"{}", "not readable as JSON"),
    ],
)
def test_a_line_that_proves_itself_must_also_be_a_record(
    tmp_path: Path, body: bytes, why: str
) -> None:
    _with(tmp_path, body)
    with pytest.raises(Damaged) as refused:
        journal.read(disk(tmp_path), SESSION)
    assert refused.value.number == 1
    assert why in refused.value.why
    assert str(tmp_path) not in str(refused.value)


def test_damage_names_the_first_bad_record_and_gives_the_sound_ones(tmp_path: Path) -> None:
    path = written(tmp_path, "one", "two", "three")
    path.write_bytes(path.read_bytes().replace(b"two", b"owt"))
    with pytest.raises(Damaged, match="at record 2") as refused:
        journal.read(disk(tmp_path), SESSION)
    assert texts(refused.value.sound) == ["one"]
    with pytest.raises(Damaged):
        Journal.open(disk(tmp_path), SESSION)
    path.write_bytes(path.read_bytes().replace(b"owt", b"two"))
    Journal.open(disk(tmp_path), SESSION)


def test_what_cannot_be_read_back_is_not_written(tmp_path: Path) -> None:
    opened = Journal.begin(disk(tmp_path), SESSION)
    with pytest.raises(NotWritten, match="could not be read back"):
        opened.append(HoldStarted(), stamp()._replace(ticks=float("nan")), BY)
    with pytest.raises(NotWritten, match="could not be read back"):
        opened.append(HoldStarted(), stamp(), "")
    assert [record.seq for record in add(opened, "one")] == [1]


def test_nothing_is_added_to_a_file_that_somebody_else_changed(tmp_path: Path) -> None:
    path = written(tmp_path, "one")
    opened = Journal.open(disk(tmp_path), SESSION)
    path.write_bytes(changed := path.read_bytes() + b"x" * 40)
    with pytest.raises(Changed):
        add(opened, "two")
    with pytest.raises(Damaged, match="another program"):
        add(opened, "two")
    assert path.read_bytes() == changed


def test_links_and_pipes_are_not_followed(tmp_path: Path) -> None:
    path = written(tmp_path, "one")
    aim = path.rename(tmp_path / "elsewhere")
    path.symlink_to(aim)
    with pytest.raises(NotRead, match="a link stands"):
        journal.read(disk(tmp_path), SESSION)
    path.unlink()
    os.mkfifo(path)
    with pytest.raises(NotRead, match=r"\.journal could not be read: something else stands"):
        journal.read(disk(tmp_path), SESSION)
    path.parent.rename(tmp_path / "away")
    path.parent.symlink_to(tmp_path / "away")
    with pytest.raises(NotRead):
        journal.read(disk(tmp_path), SESSION)
    with pytest.raises(NotWritten):
        Journal.begin(disk(tmp_path), "joint-2")


@pytest.mark.parametrize("name", ["/etc/x", "../x", "live/../x", "a/b/c", ".x", "x/", "live/.x"])
def test_the_disk_knows_only_names_of_its_own(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="not a name in the store"):
        Disk(tmp_path).replace(name, b"")


# --- following ----------------------------------------------------------------------------------


def test_a_trail_gives_only_what_is_new_and_whole(tmp_path: Path) -> None:
    opened = Journal.begin(disk(tmp_path), SESSION)
    trail = Trail(disk(tmp_path), SESSION)
    assert trail.new() == []
    assert add(opened, "one", "two") == trail.new()
    assert trail.new() == []
    path = disk(tmp_path).root / "live" / f"{SESSION}.journal"
    add(opened, "three")
    whole = path.read_bytes()
    path.write_bytes(whole[:-5])
    assert trail.new() == []
    path.write_bytes(whole)
    assert texts(trail.new()) == ["three"]


def test_a_trail_outlives_its_writer(tmp_path: Path) -> None:
    path = written(tmp_path, "one")
    trail = Trail(disk(tmp_path), SESSION)
    assert texts(trail.new()) == ["one"]
    path.write_bytes(path.read_bytes() + b'{"digest":"12')
    assert trail.new() == []
    opened = Journal.open(disk(tmp_path), SESSION)
    add(opened, "two")
    assert texts(trail.new()) == ["two"]


def test_a_trail_begins_anew_when_what_it_gave_was_cut_off(tmp_path: Path) -> None:
    path = written(tmp_path, "one", "refused")
    trail = Trail(disk(tmp_path), SESSION)
    assert texts(trail.new()) == ["one", "refused"]
    heading, one, _ = path.read_bytes().split(b"\n", 2)
    path.write_bytes(heading + b"\n" + one + b"\n")
    add(Journal.open(disk(tmp_path), SESSION), "two", "three")
    again = trail.new()
    assert again[0].seq == 1
    assert texts(again) == ["one", "two", "three"]


def test_a_trail_gives_everything_sound_before_it_says_damaged(tmp_path: Path) -> None:
    path = written(tmp_path, "one", "two", "three")
    path.write_bytes(path.read_bytes().replace(b"three", b"threw"))
    trail = Trail(disk(tmp_path), SESSION)
    assert texts(trail.new()) == ["one", "two"]
    for _ in range(2):
        with pytest.raises(Damaged, match="record 3"):
            trail.new()


def test_a_trail_of_nothing_is_absent(tmp_path: Path) -> None:
    with pytest.raises(Absent):
        Trail(disk(tmp_path), SESSION).new()
