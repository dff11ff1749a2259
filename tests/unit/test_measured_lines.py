"""Seal lines that nobody knew when it was planned, measured when the sections lie apart."""

from __future__ import annotations

from typing import Any

import pytest

from engine.asking.commands import Measure
from engine.certificate import certificate
from engine.units import Quantity, amount, q
from tests.certified import attested
from tests.plans import plan
from tests.story import Story

ASSUMED: dict[str, Any] = {
    "joint__inner_seal": None, "joint__outer_seal": None, "joint__seal_lines": "assumed",
}  # fmt: skip
UNKNOWN: dict[str, Any] = {"joint__inner_seal": "unknown", "joint__outer_seal": "unknown"}


def lines_rest_on(story: Story) -> tuple[str, set[str]]:
    worked = story.session.checking.worked
    return worked.pocket.seal_lines, {d.code for d in worked.doubts if d.code.startswith("lines")}


@pytest.mark.parametrize("before", [ASSUMED, UNKNOWN], ids=["assumed", "unknown"])
def test_what_is_measured_takes_the_place_of_what_was_assumed(before: dict[str, Any]) -> None:
    story = Story(plan(**before))
    assert lines_rest_on(story)[1] in ({"lines_assumed"}, {"lines_bound"})
    story.ask(Measure("inner_seal", q(2.5, "in")))
    assert lines_rest_on(story) == ("bound", {"lines_bound"})
    story.ask(Measure("outer_seal", q(3, "in")))
    assert lines_rest_on(story) == ("measured", set())


def test_the_figures_that_rested_on_it_are_worked_out_anew() -> None:
    """Half an inch between the lines, their middle 56.75 in across: the area is that ring's."""
    story = Story(plan(**ASSUMED))
    for check, value in (("inner_seal", 1.125), ("outer_seal", 1.625)):
        story.ask(Measure(check, q(value, "in")))
    area = story.session.checking.worked.pocket.area
    assert amount(area, "in**2") == pytest.approx(3.14159265 * 56.75 * 0.5)
    rows = {r.label: r.value for r in certificate([attested(story)]).subject}
    assert rows["Seal lines"].endswith("out from the inside face, measured")


@pytest.mark.parametrize(
    ("inner", "outer", "told"),
    [
        (q(6, "in"), None, "within the wall"),
        (q(2.5, "in"), q(2, "in"), "farther out than inner_seal"),
    ],
)
def test_a_line_that_cannot_be_is_refused(
    inner: Quantity, outer: Quantity | None, told: str
) -> None:
    story = Story(plan(**ASSUMED))
    if outer is None:
        assert told in story.refusal(Measure("inner_seal", inner))
        return
    story.ask(Measure("inner_seal", inner))
    assert told in story.refusal(Measure("outer_seal", outer))
