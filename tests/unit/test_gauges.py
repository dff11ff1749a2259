"""A gauge in doubt passes nothing: dead, shifted, overdue, or at odds with another."""

from __future__ import annotations

from typing import Any, Final

import pytest

from engine import facts as f
from engine.asking.commands import PassStage, StartHold, StartWait, Waive
from engine.judging.holding import zero
from engine.units import q
from tests.plans import plan
from tests.story import Story
from tests.told import (
    back,
    beside,
    credited,
    finished,
    gauge,
    held,
    hold_of,
    leave,
    outcome,
    readings,
    rules,
    settled,
)

OK = 13.5
TWO: Final[dict[str, Any]] = {"gauge": None, "gauges": [gauge("G-07", governs=True), gauge("G-08")]}

ALIKE: Final[dict[str, Any]] = {"gauge": None, "gauges": [gauge("G-07"), gauge("G-08")]}


def test_a_dead_gauge_does_not_pass_even_where_the_check_was_waived() -> None:
    story = held().hold().go_on()
    story.release()
    story.zero()
    story.ask(Waive("needle_fell", "forgotten"))
    story.settle(but=("announced", "signed"))
    assert outcome(story) == "undecided"
    assert rules(story) == {"needle_fell_not"}


def test_a_stuck_needle_reads_the_same_on_bleeding() -> None:
    story = held().hold().go_on()
    story.read(OK)
    assert "needle_fell_not" in rules(story)


def test_a_zero_that_moved_by_more_than_a_graduation_is_undecided() -> None:
    assert "zero_shifted" in rules(leave(held().hold(), zero=0.75))


def test_a_zero_that_moved_by_one_graduation_is_allowed_for() -> None:
    story = held(psi=14.0).hold(psi=14.0)
    assert outcome(leave(story, zero=0.5)) == "pass"


def test_a_zero_that_moved_before_the_hold_is_no_doubt() -> None:
    story = Story(plan()).to("seal")
    story.zero(0.75)
    story.to("hold", zero=0.0).raise_to().hold()
    assert outcome(finished(story)) == "pass"


def test_an_overdue_gauge_is_undecided() -> None:
    story = Story(plan(gauge__calibration_due="2026-01-31"))
    story.ask(Waive("gauge_in_date", "sticker missed"))
    story.to("hold").raise_to().hold()
    leave(story)
    assert rules(story) == {"gauge_overdue"}


def test_what_is_read_while_the_cock_is_shut_earns_nothing() -> None:
    story = held()
    story.turn("cock", 0.0)
    story.hold()
    assert credited(story) == 0
    story.turn("cock", 1.0)
    story.hold()
    assert outcome(finished(story)) == "pass"


def test_a_gauge_that_was_not_zeroed_before_the_hold_does_not_pass_by_its_zero_after_it() -> None:
    story = leave(held().hold())
    assert outcome(story) == "pass"
    for zeroed in story.session.water.zeros[:1]:
        story.strike(zeroed.seq, "read on the other gauge")
    assert rules(story) == {"gauge_not_zeroed"}


def test_a_gauge_far_off_zero_does_not_pass_even_where_its_check_was_waived() -> None:
    story = Story(plan()).to("seal")
    story.zero(-2.5)
    story.openings(0.5, 0.5, 0.5625, 0.5)
    story.settle(but=("gauge_zeroed",))
    assert "fit another gauge" in story.refusal(PassStage("seal"))
    story.ask(Waive("gauge_zeroed", "it always stands there"))
    story.go_on().to("hold").raise_to(11.0).hold(psi=11.0)
    assert rules(leave(story, zero=-2.5)) == {"far_off_zero"}


def test_a_gauge_of_unknown_height_does_not_pass() -> None:
    story = Story(plan(gauge__height=None)).to("seal")
    story.ask(Waive("gauge_height", "no tape"))
    story.to("hold").raise_to().hold()
    assert rules(leave(story)) == {"gauge_height_unknown"}


def test_of_two_gauges_that_count_alike_both_are_read() -> None:
    story = held(**ALIKE).hold()
    assert {"gauge_unread", "credit_short"} <= rules(story)


def test_a_good_reading_of_the_higher_of_two_gauges_does_not_make_up_for_the_lower_one() -> None:
    story = held(**ALIKE)
    for _ in range(3):
        story.read(OK)
        story.pass_time(5).read(OK, mark="G-08")
        story.pass_time(55)
    assert credited(story) == pytest.approx(115)  # from when the second was read on
    story.read(12.9, mark="G-08")
    assert credited(story) == 0
    assert not hold_of(story).running
    readings(story, OK, OK)
    assert credited(story) == 0
    story.read(OK, mark="G-08")
    story.pass_time(60).read(OK)
    assert credited(story) == 0  # nothing is known of the second since
    story.read(OK, mark="G-08")
    assert credited(story) == pytest.approx(60)
    assert hold_of(story).running


def test_of_two_gauges_that_count_alike_neither_is_left_unread_for_longer_than_the_gap() -> None:
    story = held(**ALIKE)
    story.read(OK, mark="G-08")
    readings(story, *[OK] * 3)
    story.read(OK, mark="G-08")
    assert credited(story) == pytest.approx(120)
    readings(story.pass_time(60), *[OK] * 3)
    story.read(OK, mark="G-08")
    assert credited(story) == 0


def test_two_gauges_that_disagree_beyond_both_their_errors_are_undecided() -> None:
    story = held(**TWO)
    story.read(OK)
    story.pass_time(10).read(OK, mark="G-08")
    assert "gauges_disagree" not in rules(story)
    story.pass_time(40).read(OK)
    story.pass_time(10).read(15.0, mark="G-08")
    assert "gauges_disagree" in rules(story)


def test_gauges_read_while_the_pressure_rises_do_not_disagree() -> None:
    story = Story(plan(**TWO)).to("hold")
    story.read(6.0)
    story.pass_time(20).read(13.0, mark="G-08")
    story.raise_to()
    assert "gauges_disagree" not in rules(story)


def test_each_gauge_that_counts_has_to_answer() -> None:
    story = Story(plan(**ALIKE)).to("vent")
    story.closed().read(5.0)
    story.cracked().settle().go_on()
    story.read_all(OK)
    story.turn("inlet", 0.0)
    story.settle(but=("credit", "looked_during", "looked_at_end", "needle_rose"))
    assert "Needle answered on the way up" in story.refusal(StartHold())
    story.ask(Waive("needle_rose", "known to be alive"))
    story.ask(StartHold())


def test_the_needle_answers_anew_on_the_way_up_to_a_hold_after_a_release() -> None:
    story = readings(held(), OK, OK)
    story.turn("vent", 1.0)
    story.release()
    story.turn("vent", 0.0)
    story.read(OK)
    story.turn("inlet", 0.0)
    story.ask(StartWait("settle"))
    story.pass_time(600)
    assert "Needle answered on the way up" in story.refusal(StartHold())


def test_a_gauge_replaced_under_its_own_mark_has_a_zero_and_a_needle_of_its_own() -> None:
    story = Story(plan()).to("hold")
    another = story.session.plan.gauge
    story.write(f.GaugeFitted(mark="G-07", height=q(29.5, "in"), gauge=another))
    assert not settled(story, "gauge_zeroed")
    story.read(OK)
    assert not settled(story, "needle_rose")
    story.ask(Waive("needle_rose", "new from the box"))
    story.raise_to().hold()
    story.ask(Waive("gauge_zeroed", "new from the box"))
    assert {"gauge_not_zeroed", "needle_rose_not"} <= rules(leave(story))


def test_a_gauge_replaced_after_the_hold_leaves_its_zero_to_the_hold() -> None:
    story = leave(held().hold())
    another = story.session.plan.gauge
    story.write(f.GaugeFitted(mark="G-07", height=q(29.5, "in"), gauge=another))
    story.zero(-1.0)
    assert outcome(story) == "pass"


def test_each_needle_answers_by_a_graduation_of_its_own_dial() -> None:
    story = Story(plan(gauge=None, gauges=[gauge("G-07"), gauge("G-08", graduation="1 psi")]))
    story.to("vent")
    story.closed().read(13.0, mark="G-08")
    story.read_all(5.0)
    story.strike(story.session.seq, "not read")
    story.cracked().settle().go_on()
    story.read_all(OK)
    assert not settled(story, "needle_rose")


def test_each_hold_is_read_with_the_zeros_on_its_two_sides() -> None:
    story = held(zero=0.5, psi=14.0)
    back(story, "vent")  # zeroed again, at nothing
    story.to("hold").raise_to().hold()
    leave(story)
    assert zero(story.session, "G-07") == 0.0
    assert outcome(story) == "pass"


def test_of_two_zeros_after_the_hold_the_less_favourable_counts() -> None:
    story = leave(held(psi=13.2).hold(psi=13.2), zero=0.5)
    story.zero(0.0)
    assert zero(story.session, "G-07") == 0.5
    assert outcome(story) == "undecided"


def test_the_zero_of_a_gauge_on_a_pin_is_in_doubt() -> None:
    assert "zero_on_pin" in beside(held(gauge__stop_pin=True))


def test_readings_before_another_gauge_was_fitted_stay_those_of_the_first() -> None:
    story = held().hold().go_on()
    new = story.session.plan.gauge.model_copy(update={"mark": "G-09", "height": q(-30, "in")})
    story.read(6.0)
    story.release()
    story.zero()
    story.write(f.GaugeFitted(mark="G-09", height=q(-30, "in"), gauge=new))
    story.zero(0.0, "G-09")
    story.settle(but=("announced", "signed"))
    assert outcome(story) == "pass"


def test_a_new_gauge_does_not_take_over_the_reading_of_the_one_it_replaces() -> None:
    story = held()
    story.read(OK)
    new = story.session.plan.gauge.model_copy(update={"mark": "G-09"})
    story.write(f.GaugeFitted(mark="G-09", height=q(29.5, "in"), gauge=new))
    assert [r.mark for r in story.session.evidence.readings][-1] == "G-07"
    story.read(OK)
    assert [r.mark for r in story.session.evidence.readings][-1] == "G-09"
    assert rules(story) >= {"unfinished", "credit_short"}
