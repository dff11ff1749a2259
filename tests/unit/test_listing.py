"""The index made anew from the sessions: nothing is lost, and one broken file stops nothing."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from engine.facts import Record
from engine.present.row import Row, row
from engine.session import fold
from store.listing import Listing, mend_index, unlisted
from store.shelf import Shelf
from tests.again import Following, finished
from tests.ledger import shelf
from tests.story import Story


def made(session: str, records: Sequence[Record], damaged: bool) -> Row:
    return row(session, fold(records), damaged)


def kept(store: Shelf, session: str, story: Story, seal: bool = True) -> None:
    """The story's records, and their row, as the shell would keep them."""
    journal = store.begin(session)
    for record in story.records:
        journal.append(record.fact, record.stamp, record.by)
    store.put_row(session, made(session, journal.records(), False))
    if seal:
        store.seal(session)
    journal.close()


def following(session: str) -> Story:
    opening = finished().session.opened
    assert opening is not None
    return Following(opening.model_copy(update={"follows": session}), finished()).settle()


@pytest.fixture
def store(tmp_path: Path) -> Shelf:
    """Two closed sessions and one that goes on."""
    found = shelf(tmp_path)
    kept(found, "a-1", finished())
    kept(found, "a-2", finished())
    kept(found, "a-3", following("a-2"), seal=False)
    return found


def forget(folder: Path) -> None:
    for path in (folder / "store").glob("index*.json"):
        path.unlink()


def test_a_session_that_holds_nothing_any_more_is_known_by_what_it_was(
    store: Shelf, tmp_path: Path
) -> None:
    [before] = [row for row in store.rows() if row["session"] == "a-3"]
    (tmp_path / "store" / "live" / "a-3.journal").write_bytes(b"")
    again = shelf(tmp_path)
    assert "the file is empty" in mend_index(again, made)["a-3"]
    [after] = [row for row in again.rows() if row["session"] == "a-3"]
    assert after == {**before, "state": "DAMAGED", "outcome": "undecided", "open": False}
    assert after["product"] == "54 in pipe, wall B"


def test_the_index_deleted_is_rebuilt_and_nothing_is_lost(store: Shelf, tmp_path: Path) -> None:
    before = store.rows()
    assert unlisted(store) == []
    forget(tmp_path)
    again = shelf(tmp_path)
    assert unlisted(again) == ["a-1", "a-2", "a-3"]
    assert mend_index(again, made) == {}
    assert again.rows() == before
    assert unlisted(again) == []


def test_one_broken_file_stops_nothing_and_is_still_listed(store: Shelf, tmp_path: Path) -> None:
    path = tmp_path / "store/sessions/a-1.json"
    lines = path.read_bytes().split(b"\n")
    lines[5] = lines[5].replace(b'"by":"R', b'"by":"X')
    path.write_bytes(b"\n".join(lines))
    forget(tmp_path)
    again = shelf(tmp_path)
    assert "damaged at record 5" in mend_index(again, made)["a-1"]
    states = {found["session"]: found["state"] for found in again.rows()}
    assert states == {"a-1": "DAMAGED", "a-2": "PASS", "a-3": "Prepare"}
    assert next(r for r in again.rows() if r["session"] == "a-1")["product"]


@pytest.mark.parametrize("data", [b"", b"\x00" * 300, b"{}", b'{"holdwater":9,"session":"a-1"}'])
def test_whatever_is_in_a_file_the_others_are_listed(
    store: Shelf, tmp_path: Path, data: bytes
) -> None:
    (tmp_path / "store/sessions/a-1.json").write_bytes(data)
    store.put_row("a-1", {**store.rows()[0], "open": True})
    assert list(mend_index(store, made)) == ["a-1"]
    assert {found["session"] for found in store.rows()} == {"a-1", "a-2", "a-3"}


def test_a_row_put_meanwhile_stays(store: Shelf, tmp_path: Path) -> None:
    """Another program closes a session, and opens one, while the index is made anew."""
    other = shelf(tmp_path)

    def meanwhile(session: str, records: Sequence[Record], damaged: bool) -> Row:
        if session == "a-3":
            other.put_row("a-3", {"state": "PASS"})
            other.put_row("b-1", {"state": "Prepare"})
        return made(session, records, damaged)

    forget(tmp_path)
    mend_index(store, meanwhile)
    states = {found["session"]: found["state"] for found in shelf(tmp_path).rows()}
    assert states == {"a-1": "PASS", "a-2": "PASS", "a-3": "PASS", "b-1": "Prepare"}


def test_what_a_program_left_that_died_in_sealing_is_cleared_away(
    store: Shelf, tmp_path: Path
) -> None:
    kept(store, "a-4", finished(), seal=False)
    journal = tmp_path / "store/live/a-4.journal"
    left = journal.read_bytes()
    store.seal("a-4")
    journal.write_bytes(left)
    (tmp_path / "store/sessions/a-4.json.tmp").write_bytes(b"half")
    assert Listing(tmp_path / "store").mend(made) == {}
    assert not journal.exists()
    assert not list((tmp_path / "store/sessions").glob("*.tmp"))
    assert shelf(tmp_path).read("a-4").sealed


def test_the_latest_version_of_every_entry_of_a_kind(tmp_path: Path) -> None:
    catalogue = shelf(tmp_path).catalogue
    for name, due in (("G-2", "2026"), ("G-1", "2027"), ("G-2", "2028")):
        catalogue.put("gauge", name, {"due": due})
    catalogue.put("person", "R. Example", {})
    found = [(entry.name, entry.version, entry.values["due"]) for entry in catalogue.every("gauge")]
    assert found == [("G-1", 1, "2027"), ("G-2", 2, "2028")]
    assert catalogue.values("gauge", "G-2") == {"due": "2028"}
    assert catalogue.values("gauge", "G-3") is None


def test_mending_reads_only_what_the_index_does_not_know(store: Shelf, tmp_path: Path) -> None:
    asked: list[str] = []

    def noticed(session: str, records: Sequence[Record], damaged: bool) -> Row:
        asked.append(session)
        return made(session, records, damaged)

    before = store.rows()
    listing = Listing(tmp_path / "store")
    assert listing.mend(noticed) == {}
    assert asked == ["a-3"]  # it goes on, so its row may be older than it
    assert shelf(tmp_path).rows() == before
    forget(tmp_path)
    assert listing.unlisted() == ["a-1", "a-2", "a-3"]
    assert listing.mend(made) == {}
    assert shelf(tmp_path).rows() == before


def test_a_session_closed_by_a_program_that_died_then_is_listed_as_closed(
    store: Shelf, tmp_path: Path
) -> None:
    """Sealed, and the power went before its row was written."""
    kept(store, "a-4", finished())
    store.put_row("a-4", {**store.rows()[0], "session": "a-4", "open": True, "state": "Hold"})
    Listing(tmp_path / "store").mend(made)
    states = {found["session"]: found["state"] for found in shelf(tmp_path).rows()}
    assert states["a-4"] == "PASS"
