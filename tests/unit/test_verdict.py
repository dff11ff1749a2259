"""What the records say of the joint, and what they rest on."""

from __future__ import annotations

import ast
import inspect
from collections.abc import Iterator
from importlib import import_module

import pytest

from engine import facts as f
from engine import present
from engine.asking.commands import Abandon, Announce, Confirm, Measure, StartWait, Waive
from engine.checks import Stage
from engine.judging import doubts, grounds
from engine.judging.verdict import stands, sureness, verdict
from engine.session import fold
from engine.units import q
from tests.plans import plan
from tests.story import Story
from tests.told import (
    beside,
    finished,
    held,
    hold_of,
    leave,
    outcome,
    readings,
    rules,
    top_up,
)

beside_, verdict_ = import_module("engine.judging.beside"), import_module("engine.judging.verdict")
OK = 13.5


def test_a_whole_test_without_a_leak_passes() -> None:
    story = finished(held().hold())
    assert outcome(story) == "pass"
    assert rules(story) == {"credit_complete", "primary_tight", "pressure_simple"}
    assert story.session.closed


def test_the_same_records_always_give_the_same_verdict() -> None:
    story = finished(held().hold())
    assert verdict(fold(story.records)) == verdict(story.session)


def test_nothing_passes_before_it_is_over() -> None:
    story = held().hold()
    assert outcome(story) == "undecided"
    assert rules(story) == {"unfinished"}


@pytest.mark.parametrize("stage", ["prepare", "seal", "fill", "vent", "hold", "verdict"])
def test_a_verdict_is_never_without_reasons(stage: Stage) -> None:
    assert verdict(Story(plan()).to(stage).session).reasons


# --- precedence, one test a row -----------------------------------------------------------------


def test_a_damaged_record_is_undecided_whatever_it_holds() -> None:
    story = held()
    story.see("primary", "spray")
    assert verdict(story.session, damaged=True).outcome == "undecided"


def test_a_disturbed_specimen_is_invalid_even_with_a_leak() -> None:
    story = held()
    story.see("primary", "run")
    disturbed = story.write(f.SpecimenDisturbed(how="the crane touched the spigot"))
    assert outcome(story) == "invalid"
    story.strike(disturbed, "it was the pair beside it")
    assert outcome(story) == "fail"


def test_a_leak_fails_even_with_a_gauge_in_doubt_and_an_abandoned_test() -> None:
    story = held()
    story.see("primary", "run")
    story.write(f.GaugeFitted(mark="G-07", height=q(20, "in")))
    story.ask(Abandon("leaks"))
    story.release()
    assert outcome(story) == "fail"


def test_anything_owed_is_undecided_though_the_credit_is_complete() -> None:
    story = leave(held().hold())
    assert outcome(story) == "pass"
    confirmed = next(r for r in story.records if getattr(r.fact, "check", "") == "faces")
    story.strike(confirmed.seq, "ticked by mistake")
    assert outcome(story) == "undecided"
    assert rules(story) == {"check_owed"}


def test_waivers_are_listed_beside_a_pass() -> None:
    story = Story(plan())
    story.ask(Waive("faces", "no time"))
    story.to("hold").raise_to().hold()
    finished(story)
    assert outcome(story) == "pass"
    said = [present.reason(story.session, r) for r in verdict(story.session).beside]
    assert any("no time" in text for text in said)


# --- what is struck -----------------------------------------------------------------------------


def test_striking_the_reading_a_pass_rested_on_withdraws_it() -> None:
    story = held().hold()
    leave(story)
    announced = story.ask(Announce())
    assert stands(story.session, announced)
    readings_ = [r.seq for run in hold_of(story).credit.runs for r in run]
    for seq in readings_[4:7]:
        story.strike(seq, "parallax")
    assert outcome(story) == "undecided"
    assert not stands(story.session, announced)
    assert story.session.closing.verdicts[0].outcome == "pass"


def test_striking_the_look_withdraws_the_pass() -> None:
    story = held().hold()
    leave(story)
    looks = story.session.evidence.looks
    story.strike(looks[-1].seq, "looked at the wrong joint")
    assert outcome(story) == "undecided"


# --- pressure -----------------------------------------------------------------------------------


def test_the_probability_is_shown_whatever_the_rule() -> None:
    low, high = held(), held()
    readings(low, 13.1, 13.1)
    readings(high, 14.5, 14.5)
    assert 0.5 < (sureness(low.session) or 0) < 0.9 < (sureness(high.session) or 0)


def test_the_lowest_reading_named_is_one_that_counted() -> None:
    story = held(procedure__continuity="cumulative")
    readings(story, OK, OK, OK, 11.0, *[OK] * 9)
    story.look()
    story.pass_time(60).read(OK)
    story.look()
    leave(story)
    lowest = next(r for r in verdict(story.session).reasons if r.rule == "pressure_simple")
    assert lowest.measure == q(OK, "psi")


def test_a_long_hold_names_the_first_and_the_last_of_its_records() -> None:
    story = held(procedure__hold="100 min", procedure__longest_gap="2 s",
                 procedure__reading_every="1 s")  # fmt: skip
    for _ in range(1200):
        story.pass_time(1).read(OK)
    short = next(r for r in verdict(story.session).reasons if r.rule == "credit_short")
    assert len(short.records) == 1000
    assert short.records[-1] == story.session.seq


def test_over_the_cap_is_on_the_paper() -> None:
    story = held().hold()
    story.pass_time(30).read(15.5)
    story.pass_time(30).read(OK)
    finished(story)
    assert outcome(story) == "pass"
    assert "over_cap" in beside(story)


def test_top_ups_of_the_hold_are_on_the_paper_and_those_while_settling_are_not() -> None:
    story = Story(plan(procedure__top_ups=False)).to("hold")
    story.read(OK)
    story.write(top_up(13.1))
    story.raise_to()
    assert "topped_up_forbidden" not in beside(story)
    readings(story, OK, OK)
    story.write(top_up(13.1))
    assert "topped_up_forbidden" in beside(story)


def test_checks_ticked_off_in_a_burst_are_on_the_paper() -> None:
    assert "ticked_off" in beside(held())


def answered(*apart: float) -> list[tuple[float, float]]:
    """How many checks of Prepare were answered in how many seconds, as it is told of each burst:
    one more answer than there are times between them."""
    story = Story(plan())
    checks = ("demand", "faces", "sizes", "port_places", "drilled", "bonded", "bores_open")
    story.ask(Confirm("marks", "A1 / B1"))
    story.pass_time(60)
    for name, seconds in zip(checks, (*apart, 0.0), strict=False):
        story.ask(Confirm(name, "noted" if name == "demand" else None))
        story.pass_time(seconds)
    found = [r for r in verdict(story.session).beside if r.rule == "ticked_off"]
    return [(r.measure.magnitude, r.limit.magnitude) for r in found if r.measure and r.limit]


def test_every_burst_of_checks_faster_than_one_can_look_is_told() -> None:
    assert answered(0.5, 0.5, 0.5, 0.5, 0.5, 0.5) == [(7, 3)]
    assert answered(60, 1, 2, 1) == [(4, 4)]
    assert answered(60, 1, 4, 1, 1) == []
    assert answered(3, 3, 3, 3, 3) == []


def test_a_wait_begun_and_a_figure_typed_count_among_them() -> None:
    story = Story(plan())
    story.pass_time(60)
    for command in (Confirm("drilled"), Confirm("bonded"), StartWait("bond_cured"),
                    Measure("warmth", q(55, "degF"))):  # fmt: skip
        story.ask(command)
        story.pass_time(1)
    assert "ticked_off" in beside(story)


# --- words --------------------------------------------------------------------------------------


def test_every_rule_has_a_sentence() -> None:
    session = held().session
    names = set(said_rules()) | {"needle_rose_not", "needle_fell_not", "pressure_simple",
                                 "pressure_guarded"}  # fmt: skip
    assert {"credit_short", "primary_leak", "waived", "over_cap", "wet_unexplained"} <= names
    for name in names:
        assert present.reason(session, f.Reason(rule=name)) != name.replace("_", " "), name


def test_a_rule_of_a_newer_version_is_shown_by_its_name() -> None:
    assert present.reason(held().session, f.Reason(rule="moon_phase")) == "moon phase"


def said_rules() -> Iterator[str]:
    """Names of rules, as they stand in the modules that say them."""
    for module in (grounds, doubts, beside_, verdict_):
        for node in ast.walk(ast.parse(inspect.getsource(module))):
            if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "rule":
                yield from words(node.value)
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "Reason":
                yield from (w for k in node.keywords if k.arg == "rule" for w in words(k.value))
            if isinstance(node, ast.Call) and ast.unparse(node.func).startswith("of_"):
                yield from words(node.args[0])


def words(node: ast.expr) -> Iterator[str]:
    branches = (node.body, node.orelse) if isinstance(node, ast.IfExp) else (node,)
    for branch in branches:
        if isinstance(branch, ast.Constant) and isinstance(branch.value, str):
            yield branch.value
