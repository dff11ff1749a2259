"""What time counts towards the hold."""

from __future__ import annotations

from datetime import timedelta

import pytest

from engine import facts as f
from engine.asking.commands import StartHold, Waive
from engine.judging.holding import peak_over_cap, zero
from engine.units import q
from tests.plans import plan
from tests.story import Story
from tests.told import beside, credited, gauge, held, hold_of, outcome, readings, top_up

OK = 13.5


def test_time_between_good_readings_is_credited() -> None:
    assert credited(readings(held(), OK, OK, OK)) == pytest.approx(120)


def test_one_reading_earns_nothing() -> None:
    assert credited(readings(held(), OK)) == 0


def test_readings_before_the_hold_earn_nothing() -> None:
    story = held()
    story.pass_time(60)
    assert credited(readings(story, OK, OK)) == pytest.approx(60)


def test_a_dip_ends_the_run_and_credit_begins_again_at_the_next_good_reading() -> None:
    story = readings(held(), OK, OK, OK, OK)
    assert credited(story) == pytest.approx(180)
    story.pass_time(60).read(12.5)
    assert credited(story) == 0
    story.pass_time(60)
    assert credited(readings(story, OK, OK)) == pytest.approx(60)


def test_a_gap_that_is_too_long_ends_the_run() -> None:
    story = readings(held(), OK, OK, OK)
    story.pass_time(121).read(OK)
    assert credited(story) == 0
    story.pass_time(60).read(OK)
    assert credited(story) == pytest.approx(60)


def test_a_gap_exactly_as_long_as_allowed_is_credited() -> None:
    assert credited(readings(held(), OK, OK, every=120)) == pytest.approx(120)


def test_a_late_reading_mends_a_gap_and_the_verdict_says_how_much_rests_on_it() -> None:
    story = readings(held(), OK, OK)
    story.pass_time(180).read(OK)
    assert credited(story) == 0
    story.read(OK, ago=90, read_from="photo", read_by="B. Example")
    assert credited(story) == pytest.approx(240)
    assert hold_of(story).credit.late == pytest.approx(180)


def test_a_late_low_reading_breaks_the_run_it_belongs_to() -> None:
    story = readings(held(), OK, OK, OK, OK)
    story.read(12.0, ago=90, read_from="photo")
    assert credited(story) == pytest.approx(60)


def test_a_reading_typed_long_after_it_was_made_is_late_whatever_it_says() -> None:
    story = readings(held(procedure__late_readings=False), OK, OK)
    story.pass_time(180).read(OK)
    story.read(OK, ago=90)
    assert credited(story) == 0


def test_a_procedure_may_disallow_late_readings() -> None:
    story = readings(held(procedure__late_readings=False), OK, OK)
    story.pass_time(180).read(OK)
    story.read(OK, ago=90, read_from="watch")
    assert credited(story) == 0


def test_a_late_low_reading_counts_against_the_joint_even_where_late_ones_earn_nothing() -> None:
    story = readings(held(procedure__late_readings=False), OK, OK, OK, OK)
    story.read(12.0, ago=90, read_from="photo")
    assert credited(story) == pytest.approx(60)


def test_cumulative_credit_adds_up_over_dips_and_gaps() -> None:
    story = held(procedure__continuity="cumulative")
    readings(story, OK, OK, OK, 12.5, OK, OK)
    assert credited(story) == pytest.approx(180)
    story.pass_time(500)
    assert credited(readings(story, OK, OK)) == pytest.approx(240)


def test_a_cumulative_hold_is_complete_when_the_parts_are_enough() -> None:
    story = held(procedure__continuity="cumulative", procedure__hold="3 min")
    readings(story, OK, OK, 12.0, OK, OK, OK)
    assert hold_of(story).complete
    assert [len(run) for run in hold_of(story).credit.runs] == [2, 3]


def test_a_dip_after_completion_changes_nothing() -> None:
    story = readings(held(), *[OK] * 11)
    assert hold_of(story).complete
    story.pass_time(60).read(10.0)
    story.pass_time(60)
    readings(story, OK, OK)
    assert hold_of(story).complete
    assert credited(story) == pytest.approx(600)


def test_a_late_dip_inside_the_completed_run_withdraws_it() -> None:
    story = readings(held(), *[OK] * 11)
    story.read(12.0, ago=330, read_from="photo")
    assert not hold_of(story).complete


def test_a_top_up_that_is_allowed_does_not_end_the_run() -> None:
    story = readings(held(), OK, OK)
    story.pass_time(60).write(top_up(13.1))
    story.pass_time(60).read(OK)
    assert credited(story) == pytest.approx(180)


def test_a_top_up_cannot_hide_a_dip() -> None:
    story = readings(held(), OK, OK)
    story.pass_time(60).write(top_up(12.5))
    assert credited(story) == 0
    story.pass_time(60).read(OK)
    assert credited(story) == pytest.approx(60)


def test_a_forbidden_top_up_is_recorded_and_ends_the_run() -> None:
    story = readings(held(procedure__top_ups=False), OK, OK)
    story.pass_time(60).write(top_up(13.1))
    story.pass_time(60).read(OK)
    assert credited(story) == pytest.approx(60)


def test_water_let_in_by_the_valve_is_a_top_up_too() -> None:
    story = readings(held(procedure__top_ups=False), OK, OK)
    story.turn("inlet", 0.1)
    story.turn("inlet", 0.0)
    story.pass_time(60).read(OK)
    assert credited(story) == 0


def test_a_dip_cannot_hide_behind_an_inlet_that_was_opened_without_a_reading() -> None:
    story = readings(held(), OK, OK)
    story.pass_time(50).turn("inlet", 0.1)
    story.pass_time(5).turn("inlet", 0.0)
    story.pass_time(5).read(OK)
    assert credited(story) == 0
    assert "fed_unread" in beside(story)
    story.pass_time(60).read(OK)
    assert credited(story) == pytest.approx(60)


@pytest.mark.parametrize(("volume", "after", "earned"), [(100, 13.5, 60), (-100, 12.5, 0)])
def test_a_dip_cannot_hide_behind_a_measured_volume(
    volume: float, after: float, earned: float
) -> None:
    """What the gauge shows after it is where credit begins again, if that is good."""
    story = readings(held(), OK, OK)
    story.write(f.VolumeAdded(volume=q(volume, "mL"), after=q(after, "psi")))
    assert credited(story) == 0
    story.pass_time(60).read(OK)
    assert credited(story) == earned


def test_a_pressure_above_the_cap_is_one_however_it_was_typed() -> None:
    story = readings(held(), OK, OK)
    seq = story.write(f.VolumeAdded(volume=q(50, "mL"), after=q(15.5, "psi")))
    peak = peak_over_cap(story.session)
    assert peak is not None
    assert peak.seq == seq
    assert "over_cap" in beside(story)


def test_a_volume_taken_out_hides_nothing_where_the_pressure_is_good_after_it() -> None:
    story = readings(held(), OK, OK)
    story.write(f.VolumeAdded(volume=q(-5, "mL"), after=q(13.2, "psi")))
    story.pass_time(60).read(13.2)
    assert credited(story) == pytest.approx(120)


def test_a_hold_on_an_inlet_that_was_waived_open_is_credited() -> None:
    story = Story(plan()).to("hold")
    story.turn("inlet", 0.2)
    story.ask(Waive("inlet_shut", "head tank"))
    assert credited(readings(story.raise_to(shut=False), OK, OK)) == pytest.approx(60)


def test_nothing_is_earned_while_the_inlet_stands_open_though_top_ups_are_allowed() -> None:
    """In a hold the inlet is closed: what an open one feeds in, no gauge can show as lost."""
    story = readings(held(), OK, OK)
    story.turn("inlet", 0.1)
    readings(story, *[OK] * 12)
    assert credited(story) == 0
    story.turn("inlet", 0.0)
    story.pass_time(60)
    assert credited(readings(story, OK, OK)) == pytest.approx(60)


def test_nothing_is_earned_while_the_inlet_stands_open_where_top_ups_are_forbidden() -> None:
    story = readings(held(procedure__top_ups=False), OK)
    story.turn("inlet", 0.1)
    story.pass_time(60)
    readings(story, *[OK] * 12)
    assert credited(story) == 0
    story.turn("inlet", 0.0)
    story.pass_time(60)
    assert credited(readings(story, OK, OK)) == pytest.approx(60)
    assert "topped_up_forbidden" in beside(story)


def test_an_inlet_that_was_never_shut_feeds_the_whole_hold() -> None:
    story = Story(plan(procedure__top_ups=False)).to("hold")
    story.ask(Waive("inlet_shut", "handle broken"))
    story.turn("inlet", 0.1)
    assert credited(readings(story.raise_to(shut=False), OK, OK)) == 0


def test_while_it_settles_it_may_be_topped_up_even_where_that_is_forbidden() -> None:
    story = held(procedure__top_ups=False)
    assert credited(readings(story, OK, OK)) == pytest.approx(60)


def test_over_the_cap_is_credited_for_the_demand_is_at_least() -> None:
    assert credited(readings(held(), OK, 15.5, OK)) == pytest.approx(120)


def test_over_the_cap_ends_the_run_where_the_procedure_voids_it() -> None:
    story = readings(held(procedure__over_cap="void"), OK, 15.5, OK, OK)
    assert credited(story) == pytest.approx(60)


def test_the_zero_of_the_gauge_is_taken_off_every_reading() -> None:
    story = held(zero=0.5, psi=14.0)  # what shows 13.5 then is 13.0
    assert credited(readings(story, OK, OK)) == 0
    story.pass_time(60)
    assert credited(readings(story, 14.0, 14.0)) == pytest.approx(60)


def test_the_zero_after_release_counts_where_it_is_less_favourable() -> None:
    story = readings(held(), *[OK] * 11)
    story.turn("vent", 1.0)
    story.release()
    story.zero(0.5)
    assert zero(story.session, "G-07") == 0.5
    assert not hold_of(story).complete


def test_a_better_zero_after_release_earns_nothing() -> None:
    story = readings(held(zero=0.5, psi=14.0), OK, OK)
    story.release()
    story.zero(0.0)
    assert zero(story.session, "G-07") == 0.5
    assert credited(story) == 0


def test_no_credit_across_a_restart_of_the_machine() -> None:
    story = readings(held(), OK, OK, OK)
    story.boot, story.ticks = "boot-2", 5.0
    story.pass_time(60).read(OK)
    assert credited(story) == 0
    story.pass_time(60).read(OK)
    assert credited(story) == pytest.approx(60)


def test_a_reading_typed_after_a_restart_for_a_time_before_it_neither_earns_nor_breaks() -> None:
    story = readings(held(), OK, OK, OK)
    story.boot, story.ticks = "boot-2", 5.0
    story.pass_time(60).read(OK, ago=90, read_from="watch")
    assert credited(story) == pytest.approx(120)
    story.read(12.0, ago=90, read_from="watch")
    assert credited(story) < 120


def test_a_clock_that_is_set_neither_lengthens_nor_shortens_a_hold() -> None:
    story = readings(held(), OK, OK)
    story.wall += timedelta(hours=3)
    story.pass_time(60).read(OK)
    story.wall -= timedelta(hours=7)
    story.pass_time(60).read(OK)
    assert credited(story) == pytest.approx(180)


def test_a_suspended_laptop_is_time_that_passed() -> None:
    story = readings(held(), OK, OK)
    story.pass_time(100)  # the counter runs on while the lid is shut
    story.read(OK)
    assert credited(story) == pytest.approx(160)


def test_opening_the_vent_ends_the_hold() -> None:
    story = readings(held(), OK, OK)
    story.turn("vent", 0.1)
    story.pass_time(60).read(OK)
    assert credited(story) == pytest.approx(60)
    assert hold_of(story).span.end is not None


def test_a_struck_reading_was_never_there() -> None:
    story = readings(held(), OK, OK)
    dip = story.pass_time(60).read(12.0)
    assert credited(story) == 0
    story.pass_time(30).read(OK)
    story.strike(dip)
    assert credited(story) == pytest.approx(150)


def test_only_the_gauge_that_governs_earns_credit() -> None:
    story = held(gauge=None, gauges=[gauge("G-07", governs=True), gauge("G-08")])
    readings(story, OK, OK)
    story.pass_time(60).read(12.0, mark="G-08")
    story.pass_time(60).read(OK)
    assert credited(story) == pytest.approx(180)


def test_where_none_governs_the_lower_of_two_gauges_counts() -> None:
    story = held(gauge=None, gauges=[gauge("G-07"), gauge("G-08")])
    readings(story, OK, OK)
    story.pass_time(5).read(12.0, mark="G-08")
    assert credited(story) == 0


def test_another_gauge_in_the_hold_ends_it_and_has_to_settle_anew() -> None:
    story = readings(held(), OK, OK, OK)
    new = story.session.plan.gauge.model_copy(update={"mark": "G-09"})
    story.write(f.GaugeFitted(mark="G-09", height=q(29.5, "in"), gauge=new))
    story.pass_time(60).read(OK)
    assert credited(story) == pytest.approx(120)
    assert "disturbed" in story.refusal(StartHold())


def test_credit_of_a_guarded_rule_needs_the_guard_band() -> None:
    assert credited(readings(held(), 13.1, 13.1)) == pytest.approx(60)
    story = held(procedure__rule="guarded")
    assert credited(readings(story, 13.1, 13.1)) == 0
    assert outcome(story) == "undecided"
