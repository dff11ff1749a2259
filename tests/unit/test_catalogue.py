"""The catalogue and the index: versions, the last good copy, nothing lost between two programs."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from store.catalogue import Catalogue, Index
from store.faults import Declined, Newer, NotWritten
from tests.ledger import disk, shelf


def catalogue(folder: Path) -> Catalogue:
    return Catalogue(disk(folder))


def index(folder: Path) -> Index:
    return Index(disk(folder))


def test_editing_adds_a_version(tmp_path: Path) -> None:
    first = catalogue(tmp_path).put("joint", "42 in, wall C", {"wall": [4.5, "in"]})
    second = catalogue(tmp_path).put("joint", "42 in, wall C", {"wall": [5.25, "in"]})
    found = catalogue(tmp_path)
    assert (first.version, second.version) == (1, 2)
    assert found.latest("joint", "42 in, wall C") == second
    assert found.versions("joint", "42 in, wall C") == [first, second]


def test_what_has_not_changed_is_no_new_version(tmp_path: Path) -> None:
    for _ in range(2):
        kept = catalogue(tmp_path).put("gauge", "G-07", {"due": "2031-01-31"})
    assert kept.version == 1


def test_kinds_do_not_mix(tmp_path: Path) -> None:
    found = catalogue(tmp_path)
    for kind, name in [("gauge", "B"), ("gauge", "A"), ("person", "A")]:
        found.put(kind, name, {})
    assert found.names("gauge") == ["A", "B"]
    assert found.names("person") == ["A"]
    assert found.names("rig") == []
    assert found.latest("rig", "A") is None


def test_an_empty_store_has_an_empty_catalogue_and_is_not_made_by_looking(tmp_path: Path) -> None:
    assert catalogue(tmp_path).names("joint") == []
    assert index(tmp_path).rows() == []
    assert not (tmp_path / "store").exists()


@pytest.mark.parametrize("name", ["", "  ", "a\nb", "\x1b[2J", "x" * 121, "a\u202eb", "\ud800"])
def test_a_name_can_be_seen(tmp_path: Path, name: str) -> None:
    with pytest.raises(Declined) as refused:
        catalogue(tmp_path).put("joint", name, {})
    assert str(refused.value).isprintable()


def test_an_unknown_kind_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Declined, match="joint, procedure, rig, gauge, person are"):
        catalogue(tmp_path).put("valve", "A", {})


@pytest.mark.parametrize("value", [float("nan"), {1, 2}, "\ud800", b"x"])
def test_what_json_cannot_hold_is_refused_and_forgotten(tmp_path: Path, value: object) -> None:
    found = catalogue(tmp_path)
    found.put("rig", "R", {"rod": 1})
    with pytest.raises(NotWritten, match="JSON"):
        found.put("rig", "R", {"rod": value})
    assert [entry.values for entry in found.versions("rig", "R")] == [{"rod": 1}]


def test_another_programs_entries_are_seen(tmp_path: Path) -> None:
    mine, other = catalogue(tmp_path), catalogue(tmp_path)
    assert mine.names("joint") == []
    other.put("joint", "A", {})
    assert mine.names("joint") == ["A"]
    assert mine.put("joint", "B", {}).version == 1
    assert other.put("joint", "C", {}).version == 1
    assert mine.names("joint") == other.names("joint") == ["A", "B", "C"]


def test_an_unreadable_catalogue_gives_way_to_the_copy_before_it(tmp_path: Path) -> None:
    catalogue(tmp_path).put("joint", "A", {})
    catalogue(tmp_path).put("joint", "B", {})
    path = tmp_path / "store" / "catalogue.json"
    path.write_bytes(b'{"holdwater":1,"tab')
    found = catalogue(tmp_path)
    assert found.names("joint") == ["A"]
    assert found.notice == "the catalogue could not be read; the copy before it is used"
    found.put("joint", "C", {})
    assert found.names("joint") == catalogue(tmp_path).names("joint") == ["A", "C"]
    assert found.notice is None
    assert path.with_name("catalogue.damaged.json").read_bytes() == b'{"holdwater":1,"tab'


def test_without_a_copy_it_begins_empty_and_says_so(tmp_path: Path) -> None:
    catalogue(tmp_path).put("joint", "A", {})
    (tmp_path / "store" / "catalogue.json").write_bytes(b"[]")
    found = catalogue(tmp_path)
    assert found.names("joint") == []
    assert found.notice == "the catalogue could not be read; it begins empty"


@pytest.mark.parametrize(
    "spoiled",
    [
        b"\xff",
        b"[" * 100_000,
        b'{"holdwater":1,"tables":{"entries":{"1":{"kind":"joint"}}}}',
        b'{"holdwater":1,"tables":{"entries":{"x":{}}}}',
        b'{"holdwater":1,"tables":{"entries":[]}}',
        b'{"holdwater":1,"tables":NaN}',
        b'{"holdwater":1}',
        b'{"tables":{}}',
    ],
)
def test_whatever_is_in_the_file_nobody_is_shown_a_traceback(
    tmp_path: Path, spoiled: bytes
) -> None:
    catalogue(tmp_path).put("joint", "A", {})
    (tmp_path / "store" / "catalogue.json").write_bytes(spoiled)
    found = catalogue(tmp_path)
    assert found.names("joint") == []
    assert found.notice is not None


def test_a_newer_catalogue_is_refused_and_left_alone(tmp_path: Path) -> None:
    catalogue(tmp_path).put("joint", "A", {})
    path = tmp_path / "store" / "catalogue.json"
    path.write_bytes(newer := b'{"holdwater":2,"entries":[]}')
    with pytest.raises(Newer):
        catalogue(tmp_path).names("joint")
    with pytest.raises(Newer):
        catalogue(tmp_path).put("joint", "B", {})
    assert path.read_bytes() == newer


# --- index --------------------------------------------------------------------------------------


def test_a_session_has_one_row(tmp_path: Path) -> None:
    index(tmp_path).put("a-1", {"joint": "42 in", "outcome": "pass", "rate": -0.02})
    index(tmp_path).put("a-2", {"joint": "42 in"})
    index(tmp_path).put("a-1", {"joint": "42 in", "outcome": "fail"})
    assert index(tmp_path).rows() == [
        {"joint": "42 in", "outcome": "fail", "session": "a-1"},
        {"joint": "42 in", "session": "a-2"},
    ]


def test_losing_the_index_loses_nothing(tmp_path: Path) -> None:
    store = shelf(tmp_path)
    rows = {f"a-{n}": {"joint": f"{n} in"} for n in range(5)}
    for session, row in rows.items():
        store.put_row(session, row)
    before = store.rows()
    for path in (tmp_path / "store").glob("index*.json"):
        path.unlink()
    again = shelf(tmp_path)
    assert again.rows() == []
    again.rebuild(rows)
    assert again.rows() == store.rows() == before
    again.put_row("a-2", {"joint": "other"})
    assert len(again.rows()) == 5


def test_an_unreadable_index_is_rebuilt_over(tmp_path: Path) -> None:
    index(tmp_path).put("a-1", {})
    (tmp_path / "store" / "index.json").write_bytes(b"{")
    found = index(tmp_path)
    assert (found.rows(), found.notice is None) == ([], False)
    found.rebuild({"a-1": {"x": 1}})
    assert (found.rows(), found.notice) == ([{"x": 1, "session": "a-1"}], None)


def test_a_file_that_has_not_changed_is_parsed_once(tmp_path: Path) -> None:
    found = index(tmp_path)
    found.put("a-1", {})
    assert found.rows()[0] is found.rows()[0]


def test_the_files_are_plain_json(tmp_path: Path) -> None:
    catalogue(tmp_path).put("person", "Åsa", {"role": "technician"})
    text = (tmp_path / "store" / "catalogue.json").read_text(encoding="utf-8")
    assert "Åsa" in text
    entry = {"kind": "person", "name": "Åsa", "version": 1, "values": {"role": "technician"}}
    assert json.loads(text) == {"holdwater": 1, "tables": {"entries": {"1": entry}}}
