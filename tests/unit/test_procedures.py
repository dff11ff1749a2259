"""Recalled procedures: nothing in them is claimed, and none is used before it is confirmed."""

from __future__ import annotations

import re

import pytest

from engine.planfile import BadPlan, read_plan
from engine.procedures import MUST, RECALLED, StartingPoint, confirmed, open_fields, unconfirmed
from engine.units import q
from tests.plans import PIPE, plan

FIGURES = ("pressure", "hold", "opening", "may_stand", "leak_from")
by_name = pytest.mark.parametrize("point", RECALLED, ids=lambda point: point.name)


@by_name
def test_it_says_of_itself_that_it_is_recalled(point: StartingPoint) -> None:
    assert point.values["standing"] == "recalled"
    assert point.values["confirmed"] is False
    assert "not read" in point.values["authority"]
    assert point.values["name"] == point.name


@by_name
def test_every_figure_says_how_well_it_is_known(point: StartingPoint) -> None:
    sources = point.values["sources"]
    for key in FIGURES:
        if key in point.values:
            assert re.search("memory|second-hand|summary", sources[key])
    for key in MUST:
        if key not in point.values:
            assert "left open" in sources[key]


@by_name
def test_none_names_a_clause_or_an_edition(point: StartingPoint) -> None:
    assert {"clause", "edition"}.isdisjoint(point.values)
    assert set(point.asks) >= {"edition", "clause", "pressure", "hold"}


@by_name
def test_no_figure_is_given_where_none_was_found_or_two_differ(point: StartingPoint) -> None:
    unknown = {"Box, straight, after ASTM C1677", "Pipe, deflected, after ASTM C443"}
    assert ("pressure" in point.values) == (point.name not in unknown)


@by_name
def test_it_can_be_read_and_still_opens_nothing(point: StartingPoint) -> None:
    filled = {"pressure": "13 psi", "hold": "10 min", **point.values}
    found = read_plan({**PIPE, "procedure": filled}).procedure
    why = unconfirmed(found)
    assert why is not None
    assert repr(point.name) in why
    assert "\n" not in why


def test_what_was_left_open_is_asked_for_by_the_plan() -> None:
    box = next(point for point in RECALLED if "C1677" in point.name)
    with pytest.raises(BadPlan) as refused:
        read_plan({**PIPE, "procedure": box.values})
    assert {fault.key for fault in refused.value.faults} == {"procedure.pressure", "procedure.hold"}


def test_a_procedure_of_ones_own_needs_no_confirming() -> None:
    assert unconfirmed(plan().procedure) is None
    assert open_fields(PIPE["procedure"]) == ()


@by_name
def test_confirmed_against_its_document_it_can_be_used(point: StartingPoint) -> None:
    read = {"pressure": "12 psi", "hold": "15 min"}
    if point.values.get("alignment") == "deflected":
        read["opening"] = "0.75 in"
    values = confirmed(point.values, "25", **read)
    found = read_plan({**PIPE, "procedure": values}).procedure
    assert unconfirmed(found) is None
    assert (found.pressure, found.edition, found.standing) == (q(12, "psi"), "25", "published")
    assert found.sources["pressure"] == "read in the document"
    assert point.values["confirmed"] is False


def test_confirming_needs_every_figure_and_the_edition() -> None:
    straight, deflected = RECALLED[0].values, RECALLED[1].values
    with pytest.raises(ValueError, match="hold: found nothing"):
        confirmed(straight, "25", pressure="13 psi")
    with pytest.raises(ValueError, match="edition: found nothing"):
        confirmed(straight, "not stated", pressure="13 psi", hold="10 min")
    with pytest.raises(ValueError, match="opening: found nothing"):
        confirmed(deflected, "25", pressure="13 psi", hold="10 min")
