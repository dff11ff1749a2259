"""A store that somebody was in with other tools: told in one line each, and nothing waits."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from engine.trouble import Trouble
from store import disk as disk_module
from store import foreign
from store.arrivals import arrive
from store.faults import Absent, Damaged, Declined, Malformed, NotRead
from store.logs import read_log
from store.outgoing import hand_out
from store.paths import contents, expanded
from store.toml import plan_data
from tests.hostile import bodies, packed, within
from tests.ledger import SESSION, Swift, add, closed, disk, shelf, written
from tests.shelved import ONE, Holdwater, document, kept, passed
from tests.story import Story
from tui.__main__ import main


@pytest.fixture
def holdwater(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Holdwater:
    return Holdwater(tmp_path, capsys)


def fifo(path: Path) -> None:
    os.mkfifo(path)


def loop(path: Path) -> None:
    path.symlink_to(path)


def endless(path: Path) -> None:
    path.symlink_to("/dev/zero")


def huge(path: Path) -> None:
    path.touch()
    os.truncate(path, 1 << 31)


STRANGE: dict[str, Callable[[Path], None]] = {
    "a pipe": fifo,
    "a folder": Path.mkdir,
    "a link to nowhere": loop,
    "a link to what never ends": endless,
    "empty": Path.touch,
    "far too large": huge,
}
VERBS = ("show", "audit", "certificate", "export")


@pytest.mark.parametrize("verb", VERBS)
@pytest.mark.parametrize("name", STRANGE)
def test_what_stands_in_place_of_a_session_is_told_in_one_line_that_names_it(
    name: str, verb: str, tmp_path: Path, holdwater: Holdwater
) -> None:
    kept(tmp_path, ONE, passed())
    document(tmp_path).unlink()
    STRANGE[name](document(tmp_path))
    with within(10):
        said = holdwater(verb, ONE)
    assert said.status == 2
    [line] = said.err.splitlines()
    assert ONE in line
    assert "failed" not in line


# --- the index is made anew, whatever stands in its place ---------------------------------------


@pytest.mark.parametrize("name", STRANGE)
def test_without_an_index_that_can_be_read_the_sessions_are_listed_all_the_same(
    name: str, tmp_path: Path, holdwater: Holdwater
) -> None:
    kept(tmp_path, ONE, passed())
    kept(tmp_path, "2026-06-04-1", Story(), closed=False)
    index = tmp_path / "store" / "index.json"
    (tmp_path / "store" / "index.last.json").unlink(missing_ok=True)
    index.unlink()
    STRANGE[name](index)
    said = holdwater("sessions", "--json")
    assert said.status == 0
    assert {row["session"] for row in said.data} == {ONE, "2026-06-04-1"}
    shelf(tmp_path).put_row(ONE, {"state": "PASS"})
    assert [row["session"] for row in shelf(tmp_path).rows()] == [ONE]


def test_a_catalogue_that_cannot_be_read_is_never_taken_for_an_empty_one(tmp_path: Path) -> None:
    shelf(tmp_path).catalogue.put("person", "A", {})
    path = tmp_path / "store" / "catalogue.json"
    path.rename(tmp_path / "away")
    os.mkfifo(path)
    with pytest.raises(NotRead, match=r"catalogue\.json could not be read"):
        shelf(tmp_path).catalogue.put("person", "B", {})


# --- journals -----------------------------------------------------------------------------------


def test_a_journal_that_is_empty_is_damaged_and_does_not_vanish(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    kept(tmp_path, ONE, Story(), closed=False)
    journal = tmp_path / "store" / "live" / f"{ONE}.journal"
    os.truncate(journal, 0)
    with pytest.raises(Damaged, match="at the heading: the file is empty"):
        shelf(tmp_path).open(ONE)
    assert journal.stat().st_size == 0
    assert shelf(tmp_path).live() == [ONE]
    assert ONE in holdwater("sessions").out


def test_a_pipe_put_in_place_of_a_journal_that_is_open_is_not_waited_for(tmp_path: Path) -> None:
    journal = written(tmp_path, "one")
    store = shelf(tmp_path)
    opened = store.open(SESSION)
    journal.rename(tmp_path / "away")
    os.mkfifo(journal)
    for _ in range(2):
        with within(2), pytest.raises(Trouble, match="something else stands where a file"):
            add(opened, "two")
    journal.unlink()
    (tmp_path / "away").rename(journal)
    assert [record.seq for record in add(opened, "two")] == [2]
    store.close()


class Growing(Swift):
    """Another program writes to the file for as long as it is read."""

    def read(self, file: int, size: int) -> bytes:
        return b"x" * min(size, 1 << 16)


def test_a_file_that_grows_while_it_is_read_is_not_read_for_ever(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(disk_module, "LARGEST", 1 << 20)
    written(tmp_path, "one")
    with within(10), pytest.raises(NotRead, match="larger than 1 MiB"):
        disk(tmp_path, Growing()).read("live/joint-1.journal")


@pytest.mark.parametrize("line", [b"\n", b"{}\n", b",\n"])
@pytest.mark.parametrize("opening", [b"}\n", b',"records":[\n'])
def test_millions_of_lines_are_refused_before_they_are_taken_apart(
    opening: bytes, line: bytes, tmp_path: Path
) -> None:
    data = b'{"holdwater":1,"session":"joint-1"' + opening + line * 3_000_000
    with within(2), pytest.raises(Malformed, match="250000 are the most"):
        foreign.found(data)
    path = closed(tmp_path, "one") if b"records" in opening else written(tmp_path, "one")
    path.write_bytes(data)
    with within(2), pytest.raises(Damaged, match="250000 are the most"):
        shelf(tmp_path).read(SESSION)


# --- permissions --------------------------------------------------------------------------------


@contextmanager
def mask(bits: int) -> Iterator[None]:
    before = os.umask(bits)
    try:
        yield
    finally:
        os.umask(before)


@pytest.mark.parametrize("bits", [0, 0o077, 0o277, 0o577, 0o777])
def test_only_the_owner_reads_and_writes_and_the_owner_always_can(
    bits: int, tmp_path: Path
) -> None:
    with mask(bits):
        written(tmp_path, "one")
        store = shelf(tmp_path)
        store.open(SESSION)  # its lock is there as long as it is open
        store.catalogue.put("person", "A", {})
    root = tmp_path / "store"
    modes = {path.name: path.stat().st_mode & 0o777 for path in (root, *root.rglob("*"))}
    store.close()
    assert {"live", "joint-1.journal", "joint-1.lock", "catalogue.json"} <= modes.keys()
    folders = {"store", "live"}
    assert all(mode == (0o700 if name in folders else 0o600) for name, mode in modes.items()), modes


# --- names --------------------------------------------------------------------------------------


def test_what_was_left_behind_is_swept_by_names_of_ours_alone(tmp_path: Path) -> None:
    written(tmp_path, "one")
    live = tmp_path / "store" / "live"
    others = ["joint-1.X Y.tmp", "joint-1." + "a" * 200 + ".tmp", ".tmp", "joint-2\n.tmp"]
    for name in ("joint-2.journal.tmp", *others):
        (live / name).touch()
    assert shelf(tmp_path).sweep() == 1
    assert {path.name for path in live.glob("*.tmp")} == set(others)


NOBODY = "~nobody-of-that-name/x"


def test_the_home_of_nobody_is_a_path_like_any_other(tmp_path: Path) -> None:
    assert expanded(NOBODY) == Path(NOBODY)
    with pytest.raises(Malformed, match="no such file"):
        foreign.named(shelf(tmp_path), NOBODY)
    with pytest.raises(Trouble, match="no such file"):
        hand_out(NOBODY, b"x")


@pytest.mark.parametrize(
    "words", [("import", NOBODY), ("plan", NOBODY), ("explain", NOBODY, "--plan", NOBODY)]
)
def test_it_is_so_on_the_command_line(
    words: tuple[str, ...], tmp_path: Path, holdwater: Holdwater
) -> None:
    said = holdwater(*words)
    assert (said.status, said.err) == (2, "holdwater: x: there is no such file\n")


def test_a_store_in_the_home_of_nobody_is_asked_for_in_vain(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["--store", NOBODY, "show", "x"]) == 2
    assert capsys.readouterr().err == 'holdwater: there is no session "x"\n'


@pytest.mark.parametrize("name", ["x" * 5_000, "x\n/y", "x." + "y" * 5_000])
def test_a_name_that_no_file_can_have_is_no_session(name: str, tmp_path: Path) -> None:
    with pytest.raises((Absent, Malformed)) as refused:
        foreign.named(shelf(tmp_path), name)
    assert len(str(refused.value)) < 300
    assert str(refused.value).isprintable()


# --- what is read from elsewhere ----------------------------------------------------------------


@pytest.mark.parametrize("read", [read_log, plan_data, lambda path: contents(path, 9)])
@pytest.mark.parametrize("make", [fifo, Path.mkdir, endless])
def test_what_is_no_file_is_not_waited_for(
    make: Callable[[Path], None], read: Callable[[Path], object], tmp_path: Path
) -> None:
    path = tmp_path / "given"
    make(path)
    with within(2), pytest.raises(Malformed, match=r"given: this is (not|a folder)"):
        read(path)


def test_a_session_is_kept_though_the_list_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "given").write_bytes(packed(SESSION, bodies()))
    store = tmp_path / "store"
    store.mkdir()
    (store / "index.lock").mkdir()
    [told] = arrive(disk(tmp_path), tmp_path / "given")
    assert "taken in" in told
    assert "the list of sessions: index.lock could not be opened for writing" in told
    assert shelf(tmp_path).sealed() == [SESSION]


HALF = "\ud800"


@pytest.mark.parametrize("text", [HALF, "", "x" * 401])
def test_a_remark_that_cannot_be_written_down_is_declined(text: str, tmp_path: Path) -> None:
    with pytest.raises(Declined):
        shelf(tmp_path).remark(SESSION, {"t": 1.0, "seq": 1, "by": "A", "text": text})


def test_remarks_that_another_put_there_are_read_as_strictly(tmp_path: Path) -> None:
    margins = tmp_path / "store" / "margins"
    margins.mkdir(parents=True)
    half = {"t": 1, "seq": 2, "by": "A", "text": HALF}
    for found in (json.dumps({"remarks": [half], "rounds": []}), "[" * 99_999, "", "null"):
        (margins / f"{SESSION}.json").write_text(found)
        with pytest.raises(Malformed, match="cannot be read"):
            shelf(tmp_path).remarks(SESSION)
