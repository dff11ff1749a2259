"""Fields of catalogue entries: shown, typed, refused, and never half understood."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.entries import entries, resolve
from engine.entry_fields import Field, Mistyped, faults, fields, taken_for, with_field
from engine.planfile import read_plan
from engine.procedures import RECALLED
from engine.units import q
from tests.plans import BOX, PIPE, written

KINDS = ("joint", "procedure", "rig", "gauge")


def entry(kind: str, base: dict[str, Any] = PIPE) -> tuple[str, dict[str, Any]]:
    return next((e.name, e.values) for e in entries(written(base)) if e.kind == kind)


def shown(kind: str, key: str, values: dict[str, Any]) -> Field:
    return next(f for f in fields(kind, "x", values) if f.key == key)


@pytest.mark.parametrize("base", [PIPE, BOX], ids=["pipe", "box"])
@pytest.mark.parametrize("kind", KINDS)
def test_what_stands_there_typed_again_changes_nothing(kind: str, base: dict[str, Any]) -> None:
    name, values = entry(kind, base)
    for field in fields(kind, name, values):
        again = with_field(kind, values, field.key, field.text)
        assert fields(kind, name, again) == fields(kind, name, values), field.key


def test_entries_edited_field_by_field_make_the_plan_they_say() -> None:
    named = {"joint": "J", "procedure": "P", "rig": "R", "gauge": "G"}
    kept = {kind: dict(entry(kind)[1]) for kind in KINDS}
    for kind, key, text in (
        ("joint", "inside", "60"),
        ("procedure", "hold", "15 min"),
        ("gauge", "span", "0 to 60 psi"),
        ("rig", "supply.relief", "16"),
        ("rig", "restraint.at", "-40, 30; 40 in, 30 in; -40 in, -30 in; 40 in, -30 in"),
        ("rig", "restraint.beams_per_end", "3"),
    ):
        kept[kind] = with_field(kind, kept[kind], key, text)
    plan = read_plan(resolve(named, lambda kind, _: kept.get(kind)))
    assert plan.joint.inside == q(60, "in")
    assert plan.procedure.hold_time == q(15, "min")
    assert plan.gauge.span[1] == q(60, "psi")
    assert plan.supply.relief == q(16, "psi")
    assert plan.restraint.at[0][0] == q(-40, "in")
    assert plan.restraint.beams_per_end == 3


@pytest.mark.parametrize(
    ("kind", "key", "text"),
    [
        ("joint", "inside", "5,5 in"),
        ("joint", "inside", "13 psi"),
        ("joint", "inside", "wide"),
        ("joint", "shape", "egg"),
        ("procedure", "open_side", "13"),
        ("procedure", "top_ups", "maybe"),
        ("gauge", "calibration_due", "31.3.2027"),
        ("gauge", "span", "30 psi"),
        ("rig", "restraint.beams_per_end", "0"),
        ("rig", "restraint.at", "38 in"),
        ("procedure", "authority", "x" * 401),
        ("procedure", "clause", "4\x1b[2J"),
    ],
)
def test_what_a_field_cannot_be_is_refused_in_words(kind: str, key: str, text: str) -> None:
    _, values = entry(kind)
    with pytest.raises(Mistyped) as refused:
        with_field(kind, values, key, text)
    assert "expected" in str(refused.value) or "Write" in str(refused.value)
    assert "\n" not in str(refused.value)


def test_what_only_other_fields_contradict_is_written_and_told() -> None:
    name, values = entry("procedure")
    after = with_field("procedure", values, "opening", "0.5 in")
    assert [fault.key for fault in faults("procedure", name, after)] == ["opening"]
    assert "deflected" in shown("procedure", "opening", after).fault
    both = with_field("procedure", after, "alignment", "deflected")
    assert faults("procedure", name, both) == []


def test_nothing_typed_takes_a_field_out() -> None:
    _, values = entry("procedure")
    assert "cap" not in with_field("procedure", values, "cap", "  ")
    assert shown("procedure", "longest_gap", {}).usual == "5 min"


def test_a_field_has_one_spelling_after_it_was_edited() -> None:
    values = {"standing_time": "24 h", "hold_time": "10 min"}
    assert with_field("procedure", values, "may_stand", "2 h")["may_stand"] == "2 h"
    after = with_field("procedure", values, "hold", "12 min")
    assert (after["hold"], "hold_time" in after) == ("12 min", False)
    assert shown("procedure", "may_stand", values).text == "24 h"


def test_a_bare_number_takes_the_unit_that_stood_there() -> None:
    assert taken_for("joint", {"inside": "1200 mm"}, "inside", "1350") == "1350 mm"
    assert taken_for("joint", {}, "inside", "54") == "54 in"


def test_unknown_stays_unknown() -> None:
    name, values = entry("joint")
    after = with_field("joint", values, "inner_seal", "unknown")
    assert after["inner_seal"] == "unknown"
    assert faults("joint", name, after) == []


def test_where_a_recalled_figure_comes_from_stands_beside_it() -> None:
    point = RECALLED[0]
    assert "seen" in shown("procedure", "pressure", dict(point.values)).source


@given(text=st.text(max_size=40), which=st.integers(0, 200), kind=st.sampled_from(KINDS))
def test_whatever_is_typed_is_taken_or_refused(text: str, which: int, kind: str) -> None:
    name, values = entry(kind)
    every = fields(kind, name, values)
    field = every[which % len(every)]
    try:
        after = with_field(kind, values, field.key, text)
    except Mistyped as refused:
        assert "\n" not in str(refused)
        return
    fields(kind, name, after)
    assert taken_for(kind, values, field.key, text)
