"""What a repeat takes over, and what it asks again."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from engine import facts as f
from engine.asking.commands import Abandon, Confirm, Measure, Reopen, StartWait, Waive, Write
from engine.facts import Carried
from engine.history.finding import told_in_order
from engine.judging.settling import standing
from engine.planfile import BadPlan
from engine.repeat import Changes, Kind, Repeat, Unrepeatable, repeat
from engine.session import Session
from engine.units import q
from tests.again import TODAY, Following, finished, pair, specimen
from tests.plans import BOX, PIPE, plan
from tests.story import Story

HALF_INCH = Changes(opening=q(0.5, "in"))
PORTS = {"vent_top", "port_places", "drilled", "bonded", "bond_cured", "bores_open"}


def again(story: Story, kind: Kind = "again", **changes: Any) -> Repeat:
    return repeat(kind, "a-1", story.session, TODAY, Changes(**changes))


def names(found: Repeat) -> set[str]:
    return {each.check for each in found.carried}


def by_name(found: Repeat) -> dict[str, Carried]:
    return {each.check: each for each in found.carried}


def test_the_same_specimen_keeps_its_ports_and_its_sizes() -> None:
    found = again(finished())
    assert names(found) == {"demand", "marks", "faces", "sizes", *PORTS}
    assert found.follows == "a-1"
    assert found.plan.procedure == finished().session.plan.procedure


def test_each_carried_check_names_its_session_its_record_and_who_it_was() -> None:
    story = finished()
    found = by_name(again(story))
    for each in found.values():
        record = story.records[each.seq - 1]
        assert each.session == "a-1"
        assert each.by == record.by == "R. Example"
        assert getattr(record.fact, "check", None) == each.check
    assert found["vent_top"].measure == q(0.25, "in")
    assert found["marks"].answer == "D-1041 / D-1042"


def test_a_new_specimen_keeps_what_belongs_to_the_product() -> None:
    found = again(finished(), "new_specimen", specimen=specimen("D-1043", "D-1044"))
    assert names(found) == {"demand"}
    assert found.follows is None
    assert found.plan.specimen.spigot == "D-1043"


def test_a_new_specimen_without_marks_has_none() -> None:
    found = again(finished(), "new_specimen")
    assert (found.plan.specimen.spigot, found.plan.specimen.bell) == (None, None)


def test_ports_go_with_the_mark_of_the_bell() -> None:
    found = again(finished(), "new_specimen", specimen=specimen("D-1050", "D-1042"))
    assert names(found) == {"demand", *PORTS}
    other = again(finished(), "new_specimen", specimen=specimen("D-1041", "D-1050"))
    assert names(other) == {"demand"}


def test_the_next_alignment_is_the_other_one() -> None:
    found = repeat("next_alignment", "a-1", finished().session, TODAY, HALF_INCH)
    assert found.plan.procedure.alignment == "deflected"
    assert found.plan.procedure.opening == q(0.5, "in")
    back = Following(found.opening(), finished()).to("verdict").end()
    straight = repeat("next_alignment", "a-2", back.session, TODAY)
    assert straight.plan.procedure.alignment == "straight"
    assert straight.plan.procedure.opening is None


def test_deflected_needs_to_know_how_far() -> None:
    with pytest.raises(BadPlan, match=r"procedure.opening: found nothing"):
        again(finished(), "next_alignment")


def test_the_alignment_it_was_held_in_is_not_the_next_one() -> None:
    with pytest.raises(Unrepeatable, match="straight so already"):
        again(finished(), "next_alignment", alignment="straight")


def test_a_joint_is_drained_before_it_is_opened_and_its_gasket_asked_for() -> None:
    found = repeat("next_alignment", "a-1", finished().session, TODAY, HALF_INCH)
    first, second = found.checks[:2]
    assert (first.id, first.rank) == ("drained_first", "safety")
    assert (second.id, second.asks) == ("gasket_again", "text")
    assert "drained_first" not in {c.id for c in again(finished()).checks}


@pytest.mark.parametrize("kind", ["again", "next_alignment"])
def test_gaskets_openings_zero_and_temperatures_are_asked_again(kind: Kind) -> None:
    found = repeat(kind, "a-1", finished().session, TODAY,
                   HALF_INCH if kind == "next_alignment" else Changes())  # fmt: skip
    asked = {c.id for c in found.checks} - names(found)
    assert asked >= {"warmth", "secondary", "primary", "feeler", "ports_clear", "openings",
                     "gauge_zeroed", "gauge_height", "restraint", "gauge_in_date"}  # fmt: skip


def test_what_was_waived_is_asked_again() -> None:
    story = Story(pair())
    story.ask(Waive("faces", "too dark"))
    story.to("verdict").end()
    assert "faces" not in names(again(story))


def test_what_was_struck_is_asked_again() -> None:
    story = Story(pair())
    seq = story.ask(Confirm("faces"))
    story.strike(seq)
    story.release()
    story.ask(Abandon("wrong pair"))
    assert "faces" not in names(again(story))


def test_what_was_never_settled_is_asked() -> None:
    story = Story(pair())
    story.ask(Confirm("faces"))
    story.ask(Abandon("rain"))
    assert names(again(story)) == {"faces"}


def test_a_figure_outside_its_limit_does_not_stand() -> None:
    story = Story(pair())
    story.ask(Measure("vent_top", q(2, "in")))
    story.ask(Abandon("drilled wrong"))
    assert "vent_top" not in names(again(story))


def test_carried_of_carried_keeps_where_it_comes_from() -> None:
    first = finished()
    second = Following(again(first).opening(), first).to("verdict").end()
    third = repeat("again", "a-2", second.session, TODAY)
    assert by_name(third)["drilled"] == by_name(again(first))["drilled"]
    assert {each.session for each in third.carried} == {"a-1"}


def test_what_was_answered_anew_comes_from_where_it_was_answered() -> None:
    first = finished()
    second = Following(again(first).opening(), first)
    second.ask(Confirm("drilled"))
    second.to("verdict").end()
    third = by_name(repeat("again", "a-2", second.session, TODAY))
    assert (third["drilled"].session, third["bonded"].session) == ("a-2", "a-1")


def test_a_reopened_stage_takes_nothing_over_any_more() -> None:
    first = finished()
    second = Following(again(first).opening(), first).to("seal")
    second.ask(Reopen("prepare", "a spall was found"))
    second.ask(Abandon("spalled"))
    assert names(repeat("again", "a-2", second.session, TODAY)) == set()


def test_a_bond_that_cured_is_not_waited_for_again() -> None:
    first = finished()
    second = Following(again(first).opening(), first)
    check = second.session.check("bond_cured")
    assert check is not None
    assert standing(second.session, check, second.now).how == "carried"
    waited = by_name(again(first))["bond_cured"].measure
    assert waited is not None
    assert waited >= q(24, "h")


def test_a_bond_that_had_not_cured_is_waited_for() -> None:
    story = Story(pair())
    story.ask(StartWait("bond_cured"))
    story.pass_time(3600)
    story.ask(Abandon("rain"))
    assert "bond_cured" not in names(again(story))


def test_another_demand_is_read_again() -> None:
    story = finished()
    other = story.session.plan.procedure.model_copy(update={"pressure": q(10, "psi")})
    assert "demand" not in names(again(story, procedure=other))


def test_a_recalled_procedure_opens_nothing() -> None:
    story = finished()
    recalled = story.session.plan.procedure.model_copy(update={"confirmed": False})
    with pytest.raises(Unrepeatable, match="recalled, not read"):
        again(story, procedure=recalled)


def test_seal_lines_measured_on_a_specimen_are_its_own() -> None:
    unknown = pair(joint__inner_seal="unknown", joint__outer_seal="unknown")
    story = Story(unknown)
    story.ask(Measure("inner_seal", q(2.5, "in")))
    story.ask(Measure("outer_seal", q(3, "in")))
    story.ask(Abandon("rain"))
    same = again(story)
    assert {"inner_seal", "outer_seal"} <= names(same)
    after = Following(same.opening(), story)
    assert after.session.plan.joint.outer_seal == q(3, "in")
    new = again(story, "new_specimen")
    assert Following(new.opening(), story).session.plan.joint.outer_seal is None


# --- gauges -------------------------------------------------------------------------------------


def test_a_gauge_in_date_is_kept_at_the_height_it_hung_at() -> None:
    story = finished()
    found = again(story)
    assert found.plan.gauge.height == story.session.plan.gauge.height
    assert found.overdue == ()


def test_a_gauge_out_of_date_gives_way_to_another() -> None:
    gauges = [{**PIPE["gauge"], "mark": "G-07"},
              {**PIPE["gauge"], "mark": "G-08", "calibration_due": "2030-01-31"}]  # fmt: skip
    story = Story(pair(gauge=None, gauges=gauges))
    found = repeat("new_specimen", "a-1", story.session, dt.date(2027, 6, 1))
    assert [g.mark for g in found.plan.gauges] == ["G-08"]
    assert found.overdue == ()


def test_the_only_gauge_stays_and_is_said_to_be_out_of_date() -> None:
    found = repeat("again", "a-1", finished().session, dt.date(2027, 4, 1))
    assert found.overdue == ("G-07",)
    on_the_day = repeat("again", "a-1", finished().session, dt.date(2027, 3, 31))
    assert on_the_day.overdue == ()


# --- what nothing can follow --------------------------------------------------------------------


def test_an_open_test_is_gone_on_with() -> None:
    story = Story(pair()).to("hold")
    with pytest.raises(Unrepeatable, match="still open"):
        again(story)
    assert again(story, "new_specimen").follows is None


def test_a_disturbed_specimen_is_not_held_again() -> None:
    story = Story(pair())
    story.ask(Write(f.SpecimenDisturbed(how="dropped from the sling")))
    story.ask(Abandon("dropped"))
    with pytest.raises(Unrepeatable, match="take another"):
        again(story)
    assert again(story, "new_specimen").kind == "new_specimen"


def test_nothing_opened_is_nothing_to_repeat() -> None:
    with pytest.raises(Unrepeatable, match="begins with its plan"):
        repeat("again", "a-1", Session(), TODAY)


def test_a_repeat_of_a_practice_session_is_practice() -> None:
    story = Story(pair())
    practice = f.Practice(seed=7, fault="none", edition=1)
    opened = again(finished()).opening().model_copy(update={"practice": practice})
    follows = Following(opened, story)
    follows.ask(Abandon("enough"))
    assert repeat("again", "a-2", follows.session, TODAY).opening().practice == practice


def test_a_box_is_repeated_like_a_pipe() -> None:
    story = Story(plan(BOX)).to("verdict").end()
    assert "vent_corner" in names(again(story))


# --- the whole way ------------------------------------------------------------------------------


def test_a_repeat_can_be_conducted_to_its_verdict() -> None:
    first = finished()
    found = repeat("next_alignment", "a-1", first.session, TODAY, HALF_INCH)
    second = Following(found.opening(), first).to("verdict").end()
    assert second.session.closed
    assert second.session.opened is not None
    assert second.session.opened.follows == "a-1"


def test_a_story_is_told_in_order_whatever_the_clocks_said() -> None:
    follows = {"a-3": "a-2", "a-2": "a-1", "a-1": None}
    assert list(told_in_order(["a-3", "a-1", "a-2"], follows)) == ["a-1", "a-2", "a-3"]
    assert list(told_in_order(["a-2"], {"a-2": "a-1"})) == ["a-2"]


def test_sessions_that_follow_each_other_in_a_ring_are_each_told_once() -> None:
    assert sorted(told_in_order(["a", "b"], {"a": "b", "b": "a"})) == ["a", "b"]
