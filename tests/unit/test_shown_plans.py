"""The plans that a newcomer sees first: README's and the demonstration's."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from typing import Any, Final

import pytest

from engine.plan import Plan, work_out
from engine.planfile import read_plan
from engine.present.plan import headline
from tests.terminal import ROOT
from tui.demo_plan import DEMO

_README: Final = (ROOT / "README.md").read_text(encoding="utf-8")
_WRITTEN: Final = tomllib.loads(re.findall(r"```toml\n(.*?)```", _README, re.S)[0])
_OF_EVERY_RIG: Final = {"not_worked_out", "from_outside", "secondary_back", "hoop"}
"""Cautions that no value in a plan takes away."""
_NOT_TO_BE_HELPED: Final = {
    *("from_memory", "beam_steel", "washer_on_steel", "air_assumed", "gasket_left_out"),
    *("drop_size", "growth", "packing_left_out", "bond"),
}
"""Doubts that rest on a table or a model, whatever a plan says."""


def worked(written: dict[str, Any]) -> Plan:
    return work_out(read_plan(written), on=dt.date(2026, 6, 1))


@pytest.mark.parametrize("written", [_WRITTEN, DEMO], ids=["README", "demo"])
def test_a_plan_shown_first_is_one_to_be_copied(written: dict[str, Any]) -> None:
    made = worked(written)
    assert headline(made, "us").startswith("HOLDS")
    filling = {"needle_valve_ramp"} if written["supply"].get("kind", "hose") == "hose" else set()
    assert {c.code for c in made.cautions} - filling <= _OF_EVERY_RIG
    assert {d.code for d in made.doubts} <= _NOT_TO_BE_HELPED
