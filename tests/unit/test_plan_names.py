"""A plan file's faults: names no table has, what cannot be, and all of them at once."""

from __future__ import annotations

from typing import Any

import pytest

from engine.planfile import BadPlan
from tests.plans import plan


def faults(**changed: Any) -> dict[str, str]:
    """Each fault by its key; empty where the plan is read."""
    try:
        plan(**changed)
    except BadPlan as bad:
        return {fault.key: str(fault) for fault in bad.faults}
    return {}


@pytest.mark.parametrize(
    ("field", "value", "expected"),
    [
        ("restraint__rod", "3/4-9", "3/4-10 UNC"),
        ("restraint__grade", "F1554-63", "F1554-36"),
        ("restraint__beam", "C6x8", "C6X8.2"),
        ("restraint__beam", "6x7", "6x6"),
        ("restraint__beam", "C 1 x 1 x 0.1", "C3X4.1"),
        ("restraint__timber", "Douglas Fir No.2", "Douglas Fir-Larch No.2"),
        ("restraint__washer", "3/4 wid", "3/4 wide"),
        ("restraint__washer", "-2 in", "more than nothing"),
        ("gauge__accuracy", "E", "4A"),
        ("gauge__accuracy", "12 %", "at most 10 %"),
        ("gauge__calibrated", "2027-06-01", "after it was calibrated"),
        ("supply__temperature", "120 degF", "0 to 40 degC"),
        ("supply__temperature", "-3 degC", "0 to 40 degC"),
        ("supply__relief_tolerance", "-1 psi", "nothing or more"),
        ("restraint__draw_up", "-1 lbf", "nothing or more"),
        ("ports__nipple", "3/16", "3/8"),
        ("ports__schedule", "60", "40"),
    ],
)
def test_a_faulty_field_is_named_in_one_line(field: str, value: str, expected: str) -> None:
    key = {"gauge.calibrated": "gauge.calibration_due"}.get(
        field.replace("__", "."), field.replace("__", ".")
    )
    found = faults(**{field: value})
    assert list(found) == [key]
    assert expected in found[key]
    assert "\n" not in found[key]


@pytest.mark.parametrize("name", ["unknown", "1 1/8-7", "1-1/8-7 unc", "m20"])
def test_names_are_read_as_people_write_them(name: str) -> None:
    assert faults(restraint__rod=name) == {}


def test_two_rods_in_one_place_are_a_fault() -> None:
    places = [["0 in", "30 in"], ["0 mm", "762 mm"]]
    assert list(faults(restraint__at=places)) == ["restraint.at"]


def test_every_fault_is_named_at_once() -> None:
    found = faults(
        joint__wall="3 s",
        procedure__pressure=None,
        gauge__accuracy="Q",
        supply__temperature="50 degC",
        restraint__rod="9/16",
        restraint__length="banana",
        ports__nipple="2",
    )
    assert set(found) == {
        "joint.wall",
        "procedure.pressure",
        "gauge.accuracy",
        "supply.temperature",
        "restraint.rod",
        "restraint.length",
        "ports.nipple",
    }


def test_what_comes_of_an_unreadable_field_is_not_a_second_fault() -> None:
    assert set(faults(joint__inner_seal="2.5 psi")) == {"joint.inner_seal"}
    assert set(faults(gauge__graduation="half")) == {"gauge.graduation"}


def test_a_cap_below_what_must_be_read_is_refused_with_both_figures() -> None:
    # A gauge far above the datum sees less of the cap than the floor asks it to show.
    found = faults(gauge__height="100 in")
    assert "12.47 psi" in found["procedure.cap"] and "13 psi" in found["procedure.cap"]
    guarded = faults(procedure__rule="guarded", gauge__accuracy="D", procedure__cap="13.5 psi")
    assert list(guarded) == ["procedure.cap"]
