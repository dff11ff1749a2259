"""Sessions, plans and catalogues from elsewhere: kept as they are, or nothing of them."""

from __future__ import annotations

import errno
import json
import os
from contextlib import suppress
from pathlib import Path

import pytest

from engine.facts import Sighted
from engine.foreign import Unbelievable, believe
from engine.session import Session
from engine.trouble import Trouble
from store import chain, foreign
from store.arrivals import arrive
from store.catalogue import KINDS
from store.faults import Declined, Malformed, NotWritten
from tests.hostile import Body, bodies, made, packed, refusals, spoiled, within
from tests.ledger import Swift, disk, shelf
from tests.plans import PIPE, toml

BODIES = bodies()
DOCUMENT = packed("joint-1", BODIES)
SMALL = packed("joint-1", BODIES[:6])
PLAN = toml(PIPE).encode()

# --- sessions from elsewhere --------------------------------------------------------------------


def file_of(folder: Path, data: bytes, name: str = "elsewhere.json") -> Path:
    path = folder / name
    path.write_bytes(data)
    return path


def test_a_session_from_elsewhere_is_kept_byte_for_byte(tmp_path: Path) -> None:
    assert arrive(disk(tmp_path), file_of(tmp_path, DOCUMENT)) == [
        f"session joint-1: taken in, {len(BODIES)} records"
    ]
    assert shelf(tmp_path).document("joint-1") == DOCUMENT
    assert shelf(tmp_path).audit("joint-1").sound
    [row] = shelf(tmp_path).rows()
    assert (row["session"], row["state"], row["open"]) == ("joint-1", "PASS", False)
    assert list((tmp_path / "store" / "live").glob("*")) == []


def test_the_same_session_again_changes_nothing(tmp_path: Path) -> None:
    path = file_of(tmp_path, DOCUMENT)
    arrive(disk(tmp_path), path)
    assert "the same to the byte" in arrive(disk(tmp_path), path)[0]


def test_a_session_never_takes_the_place_of_another(tmp_path: Path) -> None:
    arrive(disk(tmp_path), file_of(tmp_path, DOCUMENT))
    with pytest.raises(Declined, match="stays as it is"):
        arrive(disk(tmp_path), file_of(tmp_path, packed("joint-1", BODIES[:-1])))
    assert shelf(tmp_path).document("joint-1") == DOCUMENT


def test_nor_that_of_an_open_one(tmp_path: Path) -> None:
    mine = shelf(tmp_path).begin("joint-1")
    mine.close()
    with pytest.raises(Declined, match="another session joint-1"):
        arrive(disk(tmp_path), file_of(tmp_path, DOCUMENT))
    assert shelf(tmp_path).sealed() == []


@pytest.mark.parametrize("name", ["../../x", "..", "/etc/x", "a/b", "A", "", "x" * 65, "\\u002e"])
def test_an_identity_is_no_path(name: str, tmp_path: Path) -> None:
    hostile = DOCUMENT.replace(b'"session":"joint-1"', b'"session":"%s"' % name.encode(), 1)
    before = set(tmp_path.rglob("*"))
    with pytest.raises(Trouble):
        arrive(disk(tmp_path), file_of(tmp_path, hostile))
    assert {p.name for p in set(tmp_path.rglob("*")) - before} <= {"elsewhere.json"}


def test_a_session_that_is_not_sound_or_not_closed_is_not_kept(tmp_path: Path) -> None:
    edited = DOCUMENT.replace(b"13.5", b"14.5", 1)
    open_one = b"\n".join(
        [chain.heading("joint-1"), *DOCUMENT.replace(b",\n", b"\n").split(b"\n")[1:-2]]
    )
    for data, why in ((edited, "damaged"), (open_one + b"\n", "still open"), (b"{}", "neither")):
        with pytest.raises(Trouble, match=why):
            arrive(disk(tmp_path), file_of(tmp_path, data))
    assert shelf(tmp_path).sealed() == []


def test_a_practice_session_stays_one(tmp_path: Path) -> None:
    practice = {"seed": 7, "fault": "none", "edition": 1}
    first = {**BODIES[0], "fact": {**BODIES[0]["fact"], "practice": practice}}
    data = packed("joint-1", [first, *BODIES[1:]])
    assert "(practice joint)" in arrive(disk(tmp_path), file_of(tmp_path, data))[0]
    assert shelf(tmp_path).rows()[0]["practice"] is True


def changed(at: int, fact: Body) -> list[Body]:
    """The records, with another fact in record `at`."""
    return [*BODIES[: at - 1], {**BODIES[at - 1], "fact": fact}, *BODIES[at:]]


def numbered(kind: str) -> int:
    return next(n for n, body in enumerate(BODIES, 1) if body["fact"]["kind"] == kind)


def hostile(at: int, **values: object) -> list[Body]:
    """The records, with something else in the fact of record `at`."""
    return changed(at, {**BODIES[at - 1]["fact"], **values})


HEIGHT = next(b["seq"] for b in BODIES if b["fact"].get("check") == "gauge_height")
SIGNED = numbered("signed")
STRANGE: dict[str, tuple[list[Body], str]] = {
    "no opening": ([{**b, "seq": n} for n, b in enumerate(BODIES[1:], 1)], "does not begin"),
    "two openings": (changed(3, BODIES[0]["fact"]), "record 3 opens the test a second time"),
    "a strike of what is to come": (
        changed(3, {"kind": "struck", "of": 9, "reason": "x"}), "strikes record 9"),
    "a name under no verdict": (hostile(SIGNED, verdict=2), "which is no verdict"),
    "a height that is a pressure": (hostile(HEIGHT, measure=[13, "psi"]), "gauge.height"),
    "a height beyond all reason": (hostile(HEIGHT, measure=[1e14, "m"]), "gauge.height"),
    "a year of the Romans": (
        [{**BODIES[0], "at": "0101-06-03T08:00:00+00:00"}, *BODIES[1:]], "year 101"),
    "a counter without end": ([{**BODIES[0], "ticks": 1e300}, *BODIES[1:]], "no usable time"),
}  # fmt: skip


@pytest.mark.parametrize("name", STRANGE)
def test_records_that_no_command_could_have_made_are_not_kept(name: str, tmp_path: Path) -> None:
    records, why = STRANGE[name]
    with pytest.raises(Trouble, match=why):
        arrive(disk(tmp_path), file_of(tmp_path, packed("joint-1", records)))
    assert shelf(tmp_path).sealed() == []


def test_a_strike_of_an_opening_is_not_believed() -> None:
    strike = {**BODIES[1], "fact": {"kind": "struck", "of": 1, "reason": "x"}}
    found = foreign.found(packed("joint-1", [BODIES[0], strike]))
    with pytest.raises(Unbelievable, match="record 2 strikes record 1"):
        believe(found.records)


def test_more_records_than_a_test_can_have_are_not_looked_at(tmp_path: Path) -> None:
    with pytest.raises(Malformed, match="more than 20000 records"):
        arrive(disk(tmp_path), file_of(tmp_path, SMALL + b"\n" * 20_010))


def test_as_many_sightings_and_looks_as_are_taken_in_are_soon_judged() -> None:
    """Each sighting is held against each look."""
    seen = {**BODIES[-1]["fact"]}
    assert seen["kind"] == "stage_passed"
    sighting = json.loads(
        Sighted(place="primary", grade="damp", ago=0.0, clock=6).model_dump_json()
    )
    look = {"kind": "looked", "dry": False, "ago": 0.0}
    upto = numbered("hold_started")
    more = [
        {**BODIES[upto - 1], "seq": upto + n, "fact": sighting if n % 2 else look}
        for n in range(1, 3_000)
    ]
    found = foreign.found(packed("joint-1", [*BODIES[:upto], *more]))
    with within(30):
        assert isinstance(believe(found.records), Session)


# --- catalogues and plans -----------------------------------------------------------------------


def catalogue(*entries: Body) -> bytes:
    numbers = {str(n): entry for n, entry in enumerate(entries, 1)}
    return json.dumps({"holdwater": 1, "tables": {"entries": numbers}}).encode()


def entry(kind: str, name: str, values: object, version: int = 1) -> Body:
    return {"kind": kind, "name": name, "version": version, "values": values}


GAUGE = entry("gauge", "G-07", PIPE["gauge"])


def test_a_catalogue_from_elsewhere_adds_and_never_changes(tmp_path: Path) -> None:
    shelf(tmp_path).catalogue.put("gauge", "G-07", {**PIPE["gauge"], "height": "30 in"})
    data = catalogue(GAUGE, entry("joint", PIPE["joint"]["name"], PIPE["joint"]))
    assert arrive(disk(tmp_path), file_of(tmp_path, data)) == [
        "gauge G-07: ours is another, and stays",
        "joint 54 in pipe, wall B: new",
    ]
    kept = shelf(tmp_path).catalogue
    [gauge] = kept.versions("gauge", "G-07")
    assert gauge.values["height"] == "30 in"
    assert kept.names("joint") == ["54 in pipe, wall B"]


def test_of_a_catalogues_versions_the_latest_is_taken(tmp_path: Path) -> None:
    newer = entry("gauge", "G-07", {**PIPE["gauge"], "height": "31 in"}, version=2)
    arrive(disk(tmp_path), file_of(tmp_path, catalogue(newer, GAUGE)))
    latest = shelf(tmp_path).catalogue.latest("gauge", "G-07")
    assert latest is not None
    assert (latest.version, latest.values["height"]) == (1, "31 in")


@pytest.mark.parametrize(
    "spoiled_entry",
    [
        entry("valve", "V", {}),
        entry("gauge", "", {}),
        entry("gauge", "\x1b[2J", PIPE["gauge"]),
        entry("gauge", "G", []),
        entry("gauge", "G", {"mark": "G", "span": "x"}),
        entry("rig", "R", {"bell": {}}),
        entry("rig", "R", {"supply": {"pressure": [1, "9**9**9"]}}),
        entry("joint", "J", {**PIPE["joint"], "wall": "1 psi"}),
        entry("gauge", "G", PIPE["gauge"], version=-1),
        {"kind": "gauge"},
    ],
    ids=str,
)
def test_a_catalogue_with_one_bad_entry_is_refused_whole(
    tmp_path: Path, spoiled_entry: Body
) -> None:
    with pytest.raises(Trouble) as refused:
        arrive(disk(tmp_path), file_of(tmp_path, catalogue(GAUGE, spoiled_entry)))
    assert all(line.isprintable() for line in str(refused.value).splitlines())
    assert shelf(tmp_path).catalogue.names("gauge") == []


def test_a_spoiled_catalogue_is_refused_in_words(tmp_path: Path) -> None:
    whole = catalogue(GAUGE, entry("joint", "J", PIPE["joint"]))

    def read(data: bytes) -> None:
        arrive(disk(tmp_path), file_of(tmp_path, data))

    assert len(refusals(read, made(21, 400, lambda chance: spoiled(whole, chance)))) > 200


def test_a_plan_file_puts_its_sections_into_the_catalogue(tmp_path: Path) -> None:
    path = file_of(tmp_path, PLAN, "plan.toml")
    told = arrive(disk(tmp_path), path)
    assert "joint 54 in pipe, wall B: new" in told
    assert "gauge G-07: new" in told
    assert all(line.endswith("as it was") for line in arrive(disk(tmp_path), path))
    path.write_bytes(PLAN.replace(b'"29.5 in"', b'"30 in"'))
    assert "gauge G-07: version 2" in arrive(disk(tmp_path), path)


def test_a_plan_file_with_a_fault_puts_nothing_there(tmp_path: Path) -> None:
    with pytest.raises(Trouble, match=r"plan\.toml: joint\.wall"):
        arrive(disk(tmp_path), file_of(tmp_path, PLAN.replace(b"5.5 in", b"5.5 psi"), "plan.toml"))
    assert shelf(tmp_path).catalogue.names("gauge") == []


def test_a_plan_file_of_which_one_entry_cannot_be_kept_puts_nothing_there(tmp_path: Path) -> None:
    unheard_of = PLAN.replace(b'"G-07"', b'"G\\u202e07"')
    assert unheard_of != PLAN
    with pytest.raises(Declined, match="no name for a gauge"):
        arrive(disk(tmp_path), file_of(tmp_path, unheard_of, "plan.toml"))
    assert not any(shelf(tmp_path).catalogue.names(kind) for kind in KINDS)


class Filling(Swift):
    """A disk that is full after so many files."""

    def __init__(self, room: int) -> None:
        self.room = room

    def write(self, file: int, data: bytes) -> int:
        self.room -= 1
        if self.room < 0:
            raise OSError(errno.ENOSPC, "full")
        return super().write(file, data)


@pytest.mark.parametrize("data", [PLAN, catalogue(GAUGE, entry("joint", "J", PIPE["joint"]))])
def test_a_disk_that_fills_up_keeps_all_of_an_import_or_nothing(
    data: bytes, tmp_path: Path
) -> None:
    path = file_of(tmp_path, data, "plan.toml")
    with suppress(NotWritten):
        arrive(disk(tmp_path, Filling(room=1)), path)
    kept = [name for kind in KINDS for name in shelf(tmp_path).catalogue.names(kind)]
    assert len(kept) in (0, len(arrive(disk(tmp_path / "whole"), path)))


@pytest.mark.parametrize("name", ["nothing.json", "folder", "a\x00b", "pipe"])
def test_what_is_no_file_is_refused_in_words_and_not_waited_for(name: str, tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    os.mkfifo(tmp_path / "pipe")
    with within(2), pytest.raises(Malformed):
        arrive(disk(tmp_path), tmp_path / name)
