"""Names in a plan file in place of its sections, and its sections as entries of a catalogue."""

from __future__ import annotations

import datetime as dt
import json
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from engine.entries import RIG, entries, resolve
from engine.planfile import BadPlan, read_plan
from tests.ledger import shelf
from tests.plans import PIPE

CATALOGUE: dict[tuple[str, str], dict[str, Any]] = {
    ("joint", "54 in pipe, wall B"): PIPE["joint"],
    ("procedure", "Works 12"): PIPE["procedure"],
    ("gauge", "G-07"): PIPE["gauge"],
    ("gauge", "G-08"): {**PIPE["gauge"], "mark": "G-08"},
    ("rig", "north frame"): {"supply": PIPE["supply"], "restraint": PIPE["restraint"],
                             "waits": {"soak": "20 min"}},
    ("rig", "a pump"): {"supply": {"pressure": "30 psi"}},
}  # fmt: skip
NAMED = {
    "units": "us",
    "joint": "54 in pipe, wall B",
    "procedure": "Works 12",
    "gauge": "G-07",
    "rig": "north frame",
}


def lookup(kind: str, name: str) -> Mapping[str, Any] | None:
    return CATALOGUE.get((kind, name))


def faults(data: dict[str, Any]) -> list[str]:
    with pytest.raises(BadPlan) as refused:
        resolve(data, lookup)
    return [str(fault) for fault in refused.value.faults]


def test_a_plan_of_names_is_the_plan_that_they_name() -> None:
    named = read_plan(resolve(NAMED, lookup))
    written = read_plan({**PIPE, "waits": {"soak": "20 min"}})
    assert named.procedure.name == "Works 12"
    procedure = named.procedure.model_copy(update={"name": None})
    assert named.model_copy(update={"procedure": procedure}) == written


def test_a_plan_without_names_stays_as_it_is() -> None:
    assert resolve(PIPE, lookup) == PIPE


def test_what_the_plan_writes_itself_wins_over_its_rig() -> None:
    own = {**NAMED, "waits": {"soak": "1 h"}, "supply": "a pump"}
    whole = resolve(own, lookup)
    assert whole["waits"] == {"soak": "1 h"}
    assert whole["supply"] == {"pressure": "30 psi"}
    assert whole["restraint"] == PIPE["restraint"]


def test_several_gauges_by_their_marks() -> None:
    whole = resolve({**PIPE, "gauge": ["G-07", "G-08"]}, lookup)
    assert [g.mark for g in read_plan(whole).gauges] == ["G-07", "G-08"]


def test_all_names_that_are_unknown_are_told_at_once() -> None:
    assert faults({**NAMED, "procedure": "Works 13", "gauge": "G-99", "restraint": "south"}) == [
        "procedure: found 'Works 13', expected a [procedure] section, or the name of a procedure "
        "in the catalogue",
        "gauge: found 'G-99', expected a [gauge] section, or the name of a gauge in the catalogue",
        "restraint: found 'south', expected a [restraint] section, or the name of a rig in the "
        "catalogue",
    ]


def test_a_rig_without_that_section_says_so() -> None:
    assert faults({**PIPE, "restraint": "a pump"}) == [
        "restraint: found 'a pump', expected a rig that has its restraint written"
    ]


def test_an_unknown_rig_is_told_too() -> None:
    [fault] = faults({**NAMED, "rig": "east frame"})
    assert fault.startswith("rig: found 'east frame', expected")


# --- entries ------------------------------------------------------------------------------------


def test_a_plan_files_sections_are_entries_by_name() -> None:
    found = list(entries(PIPE))
    assert [(e.kind, e.name) for e in found] == [
        ("joint", "54 in pipe, wall B"),
        ("procedure", "Works instruction 12, by order of the owner, straight"),
        ("gauge", "G-07"),
        ("rig", "rig for 54 in pipe, wall B"),
    ]
    assert set(found[3].values) == {"supply", "restraint"} <= set(RIG)
    assert list(entries(PIPE, rig="north frame"))[3].name == "north frame"


def test_sections_that_are_names_make_no_entry() -> None:
    assert list(entries(NAMED)) == []


def test_what_goes_in_comes_out_again(tmp_path: Path) -> None:
    catalogue = shelf(tmp_path).catalogue
    for entry in entries(PIPE, rig="north frame"):
        catalogue.put(*entry)
    named = {
        "units": "us",
        "joint": "54 in pipe, wall B",
        "procedure": catalogue.names("procedure")[0],
        "gauge": "G-07",
        "rig": "north frame",
    }
    again = resolve(named, shelf(tmp_path).catalogue.values)
    again["procedure"].pop("name")
    assert read_plan(again) == read_plan(PIPE)


def test_dates_of_a_plan_file_are_kept_as_text() -> None:
    written = tomllib.loads('[gauge]\nmark = "G-1"\ncalibration_due = 2027-03-31\ngoverns = true')
    [entry] = entries(written)
    assert entry.values == {"mark": "G-1", "calibration_due": "2027-03-31"}
    assert json.loads(json.dumps(entry.values)) == entry.values
    [timed] = entries({"gauge": {"mark": "G-1", "calibrated": dt.date(2026, 1, 2)}})
    assert timed.values["calibrated"] == "2026-01-02"


@pytest.mark.parametrize("data", [{}, {"joint": 3}, {"joint": {}}, {"gauge": None},
                                  {"gauges": [1, "G-1", {}]}, {"procedure": "x"}])  # fmt: skip
def test_a_plan_file_that_says_little_makes_no_entry(data: dict[str, Any]) -> None:
    assert list(entries(data)) == []


def test_a_name_is_never_longer_than_a_catalogue_takes(tmp_path: Path) -> None:
    long = {**PIPE, "procedure": {**PIPE["procedure"], "authority": "word " * 60}}
    catalogue = shelf(tmp_path).catalogue
    for entry in entries(long):
        catalogue.put(*entry)
    assert len(catalogue.names("procedure")[0]) == 120
