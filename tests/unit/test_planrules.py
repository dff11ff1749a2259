"""The checks that the plan decides, in the course of a test."""

from __future__ import annotations

from typing import Any

import pytest

from engine import present
from engine.asking.commands import Confirm, Measure, PassStage
from engine.judging.finding import Finding
from engine.judging.rules import find
from engine.judging.settling import Standing, standing
from engine.units import amount, q
from tests.plans import BOX, PIPE, plan
from tests.story import Story


def story(**changed: Any) -> Story:
    return Story(plan(**changed))


def found(rule: str, **changed: Any) -> Finding:
    return find(story(**changed).session, rule)


def here(told: Story, check: str) -> Standing:
    asked = told.session.check(check)
    assert asked is not None
    return standing(told.session, asked, told.now)


HOSE = {"pressure": "200 psi"}


def test_a_restraint_that_holds_is_settled_by_computing() -> None:
    told = story()
    assert here(told, "restraint").how == "computed"
    use = here(told, "restraint").finding
    assert use is not None and use.measure is not None and use.limit is not None
    assert 0 < amount(use.measure, "percent") < amount(use.limit, "percent") == 100


def test_a_restraint_that_does_not_hold_stops_the_stage_and_says_what_would() -> None:
    told = story(supply=HOSE, gauge__span=["0 psi", "300 psi"], gauge__graduation="1 psi")
    told.settle(but=("gauge_fit",))
    text = present.open_check(told.session, here(told, "restraint"))
    assert "beams would carry" in text and "they hold to" in text and "Cure: " in text
    assert here(told, "restraint").refuted
    assert "beams would carry" in told.refusal(Confirm("restraint"))


def test_a_restraint_of_unknown_rods_is_asked_about_and_the_answer_kept() -> None:
    told = story(restraint__rod="unknown")
    assert here(told, "restraint").asked
    told.ask(Confirm("restraint", "R. Example: rated by a test load"))
    assert here(told, "restraint").how == "confirmed"


def test_a_thrust_that_closes_the_joint_is_asked_about() -> None:
    told = story(joint__inner_held_by="spigot", joint__outer_held_by="bell")
    assert here(told, "restraint").asked


def test_a_cap_beyond_the_restraint_is_no_restraint() -> None:
    cap = found("restraint_enough", procedure__cap="150 psi")
    assert cap.ok is False and cap.why == "cap"


def test_what_was_measured_counts_in_place_of_what_was_planned() -> None:
    told = story(joint__outer_seal="unknown", restraint__beam="C3X4.1")
    before = find(told.session, "restraint_enough").measure
    told.settle(but=("inner_seal", "outer_seal", "gauge_fit"))
    told.ask(Measure("outer_seal", q(3, "in")))
    after = find(told.session, "restraint_enough").measure
    assert before is not None and after is not None
    assert amount(after, "percent") < amount(before, "percent") / 2


@pytest.mark.parametrize(
    ("supply", "ok"),
    [
        ({"relief": "15 psi", "pressure": "55 psi"}, True),
        ({"relief": "15.5 psi", "pressure": "55 psi"}, False),
        ({"pressure": "14 psi"}, True),
        ({"pressure": "55 psi"}, False),
        # On the ground it may be set higher: the gauge sees less.
        ({"relief": "17 psi", "relief_height": "-38.5 in"}, True),
    ],
)
def test_the_supply_is_held_back_to_the_cap(supply: dict[str, str], ok: bool) -> None:
    assert found("supply_limited", supply=supply).ok is ok


def test_a_supply_nobody_knows_is_asked_about() -> None:
    told = story()
    unknown = plan().supply.model_copy(update={"pressure": None, "relief": None})
    told = Story(plan().model_copy(update={"supply": unknown}))
    for rule in ("supply_limited", "gauge_survives", "restraint_enough"):
        assert find(told.session, rule).ok is None


def test_the_gauge_survives_what_can_occur() -> None:
    assert found("gauge_survives").ok is True
    assert found("gauge_survives", gauge__span=["0 psi", "19.5 psi"]).ok is False


def test_the_gauge_beside_the_one_that_governs_has_to_survive_too() -> None:
    governs = {**PIPE["gauge"], "governs": True}
    beside = {**PIPE["gauge"], "mark": "G-08", "span": ["0 psi", "19.5 psi"]}
    here = found("gauge_survives", gauge=None, gauges=[governs, beside])
    assert here.ok is False
    assert here.limit is not None and amount(here.limit, "psi") == pytest.approx(19.5)


def test_ports_fit_the_room_between_the_gaskets() -> None:
    assert found("ports_fit").ok is True
    assert found("ports_fit", joint__pocket_width="0.5 in").ok is False
    assert found("ports_fit", joint__pocket_width="unknown").ok is None


def test_at_least_a_pocket_volume_is_caught() -> None:
    limit = found("pocket_volume").limit
    assert limit is not None and amount(limit, "L") == pytest.approx(3.446, abs=0.001)


def test_the_ramp_limits_the_time_to_target() -> None:
    limit = found("ramp_time").limit
    assert limit is not None and amount(limit, "s") == pytest.approx(13 / 2.9)
    assert found("ramp_time", procedure__ramp="unknown").limit is None


@pytest.mark.parametrize("base", [None, BOX])
def test_a_sound_plan_is_asked_nothing_it_can_work_out(base: dict[str, Any] | None) -> None:
    told = Story(plan() if base is None else plan(base))
    for check in ("restraint", "gauge_survives", "ports_fit", "supply_limited"):
        assert here(told, check).how == "computed"
    told.settle().ask(PassStage("prepare"))
    assert told.session.stage == "seal"
