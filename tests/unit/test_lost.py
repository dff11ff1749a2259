"""What a session's hold lost: from its own readings, volumes and temperatures."""

from __future__ import annotations

from typing import Any

import pytest

from engine import facts as f
from engine.falling.loss import Loss
from engine.falling.lost import held_in, lost
from engine.falling.stiffness import three
from engine.judging.verdict import verdict
from engine.units import amount, q
from tests.guards.test_imports import what_comes_with
from tests.plans import plan
from tests.story import Story
from tests.told import finished, gauge, held, readings
from tests.unit.test_trapped import pumped
from tui.screens.hold_view import fall_rows
from tui.screens.run_view import clock


def loss_of(story: Story) -> Loss:
    found = lost(story.session)
    assert found is not None
    return found


def basis(story: Story) -> str | None:
    stiffness = loss_of(story).stiffness
    return stiffness.basis if stiffness else None


def falling(**changed: Any) -> Story:
    """Ten readings, a minute apart, each a tenth below the last."""
    story = held(gauge__graduation="0.1 psi", **changed)
    return readings(story, *(14.0 - 0.1 * n for n in range(10)))


def top_up(story: Story, before: float, after: float, ml: float | None = None) -> None:
    volume = None if ml is None else q(ml, "mL")
    story.pass_time(60).write(
        f.ToppedUp(before=q(before, "psi"), after=q(after, "psi"), volume=volume)
    )


def warm(story: Story, degc: float) -> None:
    story.write(f.TemperatureRead(what="water", temperature=q(degc, "degC"), ago=0.0))


# --- stiffness ----------------------------------------------------------------------------------


def test_stiffness_is_planned_where_nothing_was_measured() -> None:
    assert basis(falling()) == "planned"


def test_points_of_pressure_and_volume_come_before_the_plan() -> None:
    story = readings(pumped(60.0).raise_to(14.0), 14.0, 13.9, 13.8)
    assert basis(story) == "points"


def test_a_measured_top_up_comes_before_the_plan() -> None:
    story = falling()
    top_up(story, 13.1, 14.0, 2.7)
    found = loss_of(story).stiffness
    assert found is not None and found.basis == "topped_up"
    low, expected, high = three(found.value, "mL/psi")
    assert expected == pytest.approx(3.0) and low < 3 < high


def test_a_bleed_of_a_measured_volume_is_one_too() -> None:
    story = falling()
    story.write(f.VolumeAdded(volume=q(-1.5, "mL"), after=q(12.6, "psi")))
    story.read(12.6)
    assert basis(story) == "bled"
    assert held_in(story.session) is not None


def test_a_step_is_of_the_gauge_that_governs_and_counts_at_the_crown() -> None:
    # 1.5 mL for half a psi; 50 in of water, 1.80 psi, stand between the gauge and the crown.
    low = {"height": "-20 in", "graduation": "0.1 psi"}
    gauges = [gauge("G-08", governs=True, **low), gauge("G-07", **low)]
    story = Story(plan(gauge=None, gauges=gauges)).to("hold").raise_to(15.5)
    story.pass_time(60).read(15.5)
    story.read(14.0, mark="G-07")
    story.write(f.VolumeAdded(volume=q(-1.5, "mL"), after=q(15.0, "psi")))
    story.read(15.0)
    found = loss_of(story).stiffness
    assert found is not None and found.basis == "bled"
    assert three(found.value, "mL/psi")[1] == pytest.approx(3.0)
    assert amount(found.gauge, "psi") == pytest.approx(15.25 - 1.80, abs=0.01)


# --- top-ups, temperatures, zero ----------------------------------------------------------------


def test_a_top_up_is_no_rise() -> None:
    story = falling()
    top_up(story, 13.0, 14.0)
    readings(story.pass_time(60), 13.9, 13.8)
    found = loss_of(story)
    assert found.fall.rate is not None
    assert found.fall.rate.expected * 60 == pytest.approx(-0.1)
    assert not found.by_volume


def test_measured_top_ups_are_a_flow_by_themselves() -> None:
    story = held(gauge__graduation="0.1 psi", procedure__hold="1 h")
    readings(story, 14.0)
    for _ in range(6):
        for psi in (13.9, 13.8, 13.7, 13.6):
            story.pass_time(60).read(psi)
        top_up(story, 13.5, 14.0, 2.0)
    found = loss_of(story)
    assert found.by_volume and found.flow is not None
    low, expected, high = three(found.flow, "mL/min")
    assert expected == pytest.approx(2.0 * 6 / 30)
    assert low < expected < high < 0.5


def test_a_fall_while_the_inlet_stood_open_says_nothing_of_loss() -> None:
    """A tenth a minute with the inlet shut; fed through an open one it stands, or hardly falls."""
    story = readings(held(gauge__graduation="0.1 psi", procedure__hold="1 h"), 14.0, 13.9, 13.8)
    story.turn("inlet", 0.2)
    readings(story.pass_time(60), 13.8, 13.8, 13.79, 13.79)
    story.turn("inlet", 0.0)
    readings(story.pass_time(60), 13.7, 13.6, 13.5)
    found, times = loss_of(story), held_in(story.session)
    assert times is not None and times.top_ups.starts == (3, 4, 5, 6, 7)
    assert found.fall.rate is not None and found.fall.span_s == 240
    assert found.fall.rate.expected * 60 == pytest.approx(-0.1)
    assert not found.by_volume


def test_an_inlet_left_open_leaves_nothing_to_reckon_with() -> None:
    story = held(gauge__graduation="0.1 psi", procedure__hold="1 h")
    story.turn("inlet", 0.2)
    readings(story.pass_time(60), 14.0, 13.9, 13.8, 13.7)
    found = loss_of(story)
    assert found.fall.rate is None and found.lost is None and found.flow is None


def test_a_measured_top_up_through_an_inlet_left_open_is_no_flow() -> None:
    story = held(gauge__graduation="0.1 psi", procedure__hold="1 h")
    readings(story, 14.0, 13.9, 13.8)
    story.turn("inlet", 0.2)
    top_up(story, 13.7, 14.0, 1.0)
    story.pass_time(5).turn("inlet", 0.0)
    readings(story.pass_time(60), 13.9, 13.8)
    assert not loss_of(story).by_volume


def test_a_bleed_starts_anew_where_it_was_made() -> None:
    story = readings(held(gauge__graduation="0.1 psi", procedure__hold="1 h"), 14.0, 13.9, 13.8)
    story.pass_time(30).write(f.VolumeAdded(volume=q(-1.0, "mL"), after=q(13.4, "psi")))
    readings(story.pass_time(30), 13.4, 13.3)
    found = held_in(story.session)
    assert found is not None
    assert found.top_ups.starts == (3,) and found.top_ups.added_ml == (-1.0,)


def test_a_fall_from_above_the_cap_is_no_leak() -> None:
    story = readings(held(gauge__graduation="0.1 psi"), 13.5, 16.0)
    assert lost(story.session) is None
    assert fall_rows(story.session) == ()
    readings(story, 13.5, 13.4)
    found = held_in(story.session)
    assert found is not None
    assert [r.psi for r in found.readings] == [13.5, 13.4]


def test_water_temperatures_are_taken_where_they_reach_over_the_hold() -> None:
    story = held(gauge__graduation="0.1 psi", procedure__hold="1 h")
    for n in range(20):
        story.read(14.0 - 0.05 * (n // 2))
        warm(story, 13.0 - 0.15 * n)
        story.pass_time(60)
    assert loss_of(story).next_measurement != "water_temperature"
    early = held(gauge__graduation="0.1 psi", procedure__hold="1 h")
    warm(early, 13.0)
    warm(early, 13.0)
    readings(early, *(14.0 - 0.05 * n for n in range(15)))
    assert loss_of(early).next_measurement == "water_temperature"


def test_the_gauges_zero_is_taken_off() -> None:
    story = readings(held(zero=0.5, psi=14.0), 14.0, 14.0)
    found = held_in(story.session)
    assert found is not None and found.psi == (13.5, 13.5)


def test_no_hold_means_nothing_lost_is_known() -> None:
    assert lost(Story(plan()).to("hold").session) is None


# --- never a verdict ----------------------------------------------------------------------------


def test_the_verdict_comes_without_what_explains() -> None:
    brought, _ = what_comes_with("engine.judging.verdict")
    assert "engine.judging.trapped" in brought
    assert [name for name in brought if name.startswith("engine.falling")] == []


def test_a_fall_however_explained_changes_no_verdict() -> None:
    story = finished(held().hold())
    before = verdict(story.session)
    assert lost(story.session) is not None
    assert verdict(story.session) == before and before.outcome == "pass"


# --- on the screen ------------------------------------------------------------------------------


def labels(story: Story) -> list[str]:
    return [row.label for row in clock(story.session, story.now)]


def test_in_the_hold_the_eye_on_the_primary_comes_first() -> None:
    story = falling()
    assert labels(story)[0] == "primary looked"
    assert clock(story.session, story.now)[0].value == "NEVER"


def test_the_hold_says_when_it_may_be_too_low_and_what_it_fits() -> None:
    rows = {row.label: row.value for row in fall_rows(falling().session)}
    # from 13.1 at 0.1 psi/min down to 13.02: less than a minute on; it can be at once
    assert set(rows) >= {"below 13.02 at", "good at least", "falls psi/min", "drops/min", "fits"}
    assert rows["falls psi/min"] == "0.09 to 0.11"
    assert rows["fits"] == "cannot tell"


def test_rows_of_the_fall_fit_beside_the_trend() -> None:
    for row in fall_rows(falling(procedure__hold="2 h", units="si").session):
        assert len(row.label) <= 14 and len(row.value) <= 14, row


def test_a_tick_works_out_nothing() -> None:
    session = falling().session
    assert fall_rows(session) is fall_rows(session)


def test_known_air_over_the_limit_asks_to_vent_again() -> None:
    story = readings(pumped(60.0, procedure__air_limit="1 %").raise_to(14.0), 14.0, 13.9)
    assert {row.label: row.value for row in fall_rows(story.session)}["trapped air"] == "VENT AGAIN"


def test_air_is_shown_before_the_hold_with_the_advice_to_vent_again() -> None:
    rows = {row.label: row.value for row in clock(pumped(60.0).session, 0.0)}
    assert rows["trapped air"] == "1.7 % vent?"
    assert "trapped air" not in labels(Story(plan()).to("hold"))
