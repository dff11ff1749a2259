"""Figures that are hard to believe, and figures that cannot be."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from engine import facts as f
from engine.asking.commands import Command, Measure, Write
from engine.asking.plausible import doubt, doubt_measure, doubt_opening, doubt_volume
from engine.judging.verdict import verdict
from engine.present import reason
from engine.session import Session
from engine.units import Quantity, q
from tests.plans import plan
from tests.story import Story
from tests.told import held, readings
from tui.talk import Ask, Conversation, Submit, Talk, water

OK = 13.5
MEASURED = [
    ("restraint_on", q(2, "count"), q(500, "count")),
    ("warmth", q(52, "degF"), q(80, "degC")),
    ("gauge_height", q(29.5, "in"), q(11000, "mm")),
    ("relief_lifts", q(14, "psi"), q(10, "psi")),
    ("vent_top", q(0.125, "in"), q(24, "m")),
    ("through", q(5, "gal"), q(5000, "gal")),
    ("ramp", q(60, "s"), q(3, "hour")),
]


@pytest.mark.parametrize(("name", "usual", "strange"), MEASURED)
def test_a_measured_figure_is_doubted_by_its_kind(
    name: str, usual: Quantity, strange: Quantity
) -> None:
    session = Story(plan()).session
    check = session.check(name)
    assert check is not None
    assert doubt_measure(session, check, usual) == ""
    assert "believe" in (said := doubt_measure(session, check, strange)) or "far from" in said


def test_an_opening_and_a_volume_are_held_against_the_joint() -> None:
    session = Story(plan()).session
    assert doubt_opening(session, q(0.5, "in")) == ""
    assert "believe" in doubt_opening(session, q(2000, "mm"))
    assert doubt_volume(session, q(20, "mL")) == ""
    assert "the pocket holds" in doubt_volume(session, q(-5, "gal"))


def _pressure(read: Quantity) -> f.PressureRead:
    return f.PressureRead(pressure=read, ago=0.0)


@pytest.mark.parametrize(("at", "command"), [
    ("prepare", Measure("warmth", q(400, "degC"))),
    ("prepare", Write(f.TemperatureRead(what="water", temperature=q(101, "degC"), ago=0.0))),
    ("seal", Measure("restraint_on", q(-1, "count"))),
    ("seal", Write(f.OpeningMeasured(clock=6.0, opening=q(-2, "mm")))),
])  # fmt: skip
def test_what_cannot_be_is_refused_in_a_line(at: str, command: Command) -> None:
    story = Story(plan()).to("seal") if at == "seal" else Story(plan())
    assert "cannot be" in story.refusal(command)


def test_a_gauge_does_not_hang_where_what_must_be_read_is_above_the_cap() -> None:
    """From 13 to 15 psi are 55 in of water above the crown, itself 29.5 in up, and no more."""
    story = Story(plan()).to("seal")
    for command in (
        Measure("gauge_height", q(90, "in")),
        Write(f.GaugeFitted(mark="G-07", height=q(90, "in"))),
    ):
        said = story.refusal(command)
        assert "height 90 in cannot be: 13 psi must be read there" in said
        assert "hang the gauge lower" in said
    story.ask(Measure("gauge_height", q(80, "in")))
    freed = Story(plan(procedure__floor=False)).to("seal")
    freed.ask(Measure("gauge_height", q(90, "in")))  # what must be read falls with the cap


OFF: list[Callable[[Quantity], f.Fact]] = [
    _pressure,
    lambda read: f.VolumeAdded(volume=q(5, "mL"), after=read),
    lambda read: f.ToppedUp(before=q(OK, "psi"), after=read),
    lambda read: f.ToppedUp(before=read, after=q(OK, "psi")),
]


@pytest.mark.parametrize("fact", OFF)
def test_a_tenth_of_its_scale_beyond_the_dial_there_is_no_reading(
    fact: Callable[[Quantity], f.Fact],
) -> None:
    story = held()  # a dial from 0 to 30 psi
    assert "the dial shows 0 psi to 30 psi" in story.refusal(Write(fact(q(33.1, "psi"))))
    story.write(fact(q(33, "psi")))


# --- asked once more ----------------------------------------------------------------------------


def told(story: Story, conversation: Callable[[Talk], Conversation], *typed: str) -> list[str]:
    """What was asked, in turn; what was asked of the session was written down, or refused."""
    look: Callable[[], Session] = lambda: story.session  # noqa: E731
    talk = conversation(Talk(look, lambda: story.now))
    answers, asked = iter(typed), []
    question = next(talk)
    try:
        while True:
            if isinstance(question, Submit):
                story.ask(question.command)
                question = talk.send("")
            else:
                asked.append(question.prompt)
                assert isinstance(question, Ask)
                question = talk.send(next(answers))
    except StopIteration:
        return asked


def test_a_pressure_is_doubted_however_it_is_typed() -> None:
    story = readings(held(), OK, OK)
    added = told(story, water.added, "20 mL", "15.5", "15.5")
    assert [p for p in added if "above the cap" in p and "Enter again" in p]
    topped = told(story, water.top_up, "13", "13", "15.5", "15.5", "")
    assert sum("Enter again" in p for p in topped) == 2, topped


def test_what_is_refused_anyway_is_not_doubted_first() -> None:
    story = readings(held(), OK)
    assert "off the scale" in doubt(story.session, q(31, "psi"))
    assert doubt(story.session, q(940, "psi")) == ""


# --- nothing is lost ----------------------------------------------------------------------------


def test_a_figure_that_another_took_the_place_of_is_listed() -> None:
    story = Story(plan()).to("fill")
    for psi in (10, 14.5, 15):
        story.ask(Measure("relief_lifts", q(psi, "psi")))
    found = [r for r in verdict(story.session).beside if r.rule == "measured_again"]
    (said,) = (reason(story.session, r) for r in found)
    assert "10 psi, then 14.5 psi, then 15 psi" in said


def test_a_figure_measured_anew_in_a_stage_taken_up_again_took_no_place() -> None:
    story = held()
    assert not [r for r in verdict(story.session).beside if r.rule == "measured_again"]
