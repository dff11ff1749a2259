"""What nobody can work out is somebody's word: who, on what ground, until which day."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from engine import present
from engine.asking.commands import Confirm
from engine.certificate import certificate, tree
from engine.judging.settling import Standing, standing
from engine.plan import work_out
from engine.present import plan as words
from engine.present import tables
from tests.certified import attested
from tests.plans import plan
from tests.story import Story
from tests.told import gauge, rules, settled
from tui.talk import checks
from tui.talk.asking import Ask, Pick, Submit, Talk

BEAMS: dict[str, Any] = {"restraint__beam": "unknown"}
NO_DATE: dict[str, Any] = {"gauge__calibration_due": "unknown"}
ANSWER = "R. Example: rated at 20 kip by a test load in May"


def here(story: Story, check: str) -> Standing:
    asked = story.session.check(check)
    assert asked is not None
    return standing(story.session, asked, story.now)


def paper(story: Story) -> tree.Tested:
    return certificate([attested(story)]).tests[0]


# --- a restraint of which a part is not known ---------------------------------------------------


@pytest.mark.parametrize("part", ["rod", "beam"])
def test_no_share_and_no_pressure_is_told_while_a_part_is_not_known(part: str) -> None:
    changed: dict[str, Any] = {f"restraint__{part}": "unknown"}
    told = plan(**changed)
    worked = work_out(told)
    assert worked.restraint.use is None and worked.restraint.governs is None
    assert words.headline(worked, "us").startswith(
        f"NOT KNOWN whether the restraint holds: {part}s not known"
    )
    rows = {row.what: row.value for table in tables.tables(told, worked) for row in table.rows}
    assert rows["Restraint holds to"] == "not known"
    asked = here(Story(told), "restraint")
    assert asked.asked and asked.finding is not None and asked.finding.measure is None
    assert present.finding(Story(told).session, asked) == f"{part}s not known"


def test_a_part_that_carries_too_much_is_told_though_another_is_not_known() -> None:
    over = work_out(plan(restraint__draw_up="200 kip", **BEAMS))
    assert over.restraint.enough is False and over.restraint.governs == "rod"


@pytest.mark.parametrize("answer", [None, "", "y", "R. Example", "R. Example:", ": by test"])
def test_a_restraint_that_is_not_known_wants_a_name_and_a_ground(answer: str | None) -> None:
    story = Story(plan(**BEAMS))
    assert "say who answers for it, and on what" in story.refusal(Confirm("restraint", answer))


def test_who_answered_for_the_restraint_is_among_the_doubts_of_the_first_page() -> None:
    story = Story(plan(**BEAMS))
    assert "Whether the restraint holds was not shown: beams not known." in paper(story).doubts
    seq = story.ask(Confirm("restraint", ANSWER))
    assert here(story, "restraint").settled
    [doubt] = [said for said in paper(story).doubts if "restraint" in said]
    assert doubt == (
        f"That the restraint holds was not worked out (beams not known): {ANSWER} (record {seq})."
    )
    assert {r.label: r.value for r in paper(story).rig}["Used"] == "not known: beams"


def test_a_thrust_that_closes_the_joint_wants_a_name_as_well() -> None:
    story = Story(plan(joint__inner_held_by="spigot", joint__outer_held_by="bell"))
    story.ask(Confirm("restraint", ANSWER))
    assert any("draws the joint together" in said for said in paper(story).doubts)


def test_a_restraint_that_was_worked_out_is_no_doubt() -> None:
    assert not any("restraint holds" in said for said in paper(Story(plan())).doubts)


def test_the_screen_asks_who_and_on_what_ground() -> None:
    story = Story(plan(**BEAMS))
    asked = checks.settle(Talk(lambda: story.session, lambda: story.now), "restraint")
    assert isinstance(next(asked), Pick)
    who, ground = asked.send("y"), asked.send("R. Example")
    assert isinstance(who, Ask) and "Who answers" in who.prompt
    assert isinstance(ground, Ask) and "On what ground" in ground.prompt
    submitted = asked.send("rated at 20 kip by a test load in May")
    assert submitted == Submit(Confirm("restraint", ANSWER))


# --- a gauge without a date ---------------------------------------------------------------------


@pytest.mark.parametrize("answer", [None, "", "yes", "31.3.2027", "2027-3-1", "2027-02-30"])
def test_a_gauge_without_a_date_wants_the_one_on_its_sticker(answer: str | None) -> None:
    story = Story(plan(**NO_DATE))
    assert "expected a day, like 2027-03-31" in story.refusal(Confirm("gauge_in_date", answer))


def test_the_date_on_the_sticker_is_kept_and_stands_on_the_paper() -> None:
    story = Story(plan(**NO_DATE))
    story.ask(Confirm("gauge_in_date", "2027-03-31"))
    assert here(story, "gauge_in_date").how == "computed"
    assert {r.label: r.value for r in paper(story).gauge}["Calibration due"] == "2027-03-31"
    assert not any("sticker" in said for said in paper(story).doubts)


def test_a_sticker_that_has_run_out_settles_nothing_and_decides() -> None:
    story = Story(plan(**NO_DATE))
    seq = story.ask(Confirm("gauge_in_date", "2026-06-02"))  # the day before
    open_ = here(story, "gauge_in_date")
    assert open_.refuted
    assert present.open_check(story.session, open_).endswith("out of calibration on this day")
    assert "gauge_overdue" in rules(story)
    story.strike(seq)
    assert here(story, "gauge_in_date").asked


def test_a_day_read_wrong_off_the_sticker_is_read_again() -> None:
    story = Story(plan(**NO_DATE))
    story.ask(Confirm("gauge_in_date", "2025-01-01"))
    assert not settled(story, "gauge_in_date")
    story.ask(Confirm("gauge_in_date", "2027-01-01"))
    assert settled(story, "gauge_in_date")
    assert story.session.plan.gauge.calibration_due == dt.date(2027, 1, 1)


def test_of_gauges_that_count_alike_none_may_be_out_of_calibration() -> None:
    gone = gauge("G-08", calibration_due=dt.date(2026, 1, 1))
    story = Story(plan(gauge=None, gauges=[gauge("G-07"), gone]))
    assert not settled(story, "gauge_in_date")
