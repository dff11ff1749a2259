"""What is seen of the practice joint, and each of its faults as a person would meet it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.practice import FAULTS, Deed, Leak, Seen, Setup, drawn, observe
from tests.practising import FULL, QUIET, fall, faulty, gauge, raised, vented, wet

# --- what is seen ---------------------------------------------------------------------------------


def test_a_leak_shows_damp_then_beads_or_drips_then_runs_down() -> None:
    setup = replace(QUIET, restraint_give=20.0, leaks=(Leak("primary", 3.0, 0.4),))
    deeds = (*raised(setup), Deed(FULL, "wipe"))
    early, mid, late = (wet(setup, deeds, FULL + t) for t in (10.0, 60.0, 900.0))
    assert early == {("primary", 3.0): "damp"}
    assert mid == {("primary", 3.0): "drip"}
    assert late[("primary", 6.0)] in ("damp", "beads", "pool")


@pytest.mark.parametrize(
    ("flow", "grade"), [(0.03, "beads"), (0.5, "drip"), (30.0, "run"), (300.0, "spray")]
)
def test_the_grade_follows_the_flow(flow: float, grade: str) -> None:
    setup = replace(QUIET, restraint_give=2000.0, leaks=(Leak("primary", 9.0, flow),))
    fed = (*vented(), Deed(FULL, "supply", value=14.0), Deed(FULL, "inlet", 1.0))
    assert wet(setup, fed, FULL + 1800.0)[("primary", 9.0)] == grade


def test_wiping_a_leak_dry_does_not_cure_it() -> None:
    setup = faulty("primary_drip")
    deeds = (*raised(setup), Deed(600.0, "wipe"))
    assert wet(setup, deeds, 600.0) == {}
    assert "drip" in wet(setup, deeds, 1100.0).values()


def test_the_dial_reads_whole_graduations() -> None:
    deeds = raised(Setup())
    for t in range(250, 400, 7):
        dial = observe(Setup(), deeds, t).dial
        assert dial / 0.5 == round(dial / 0.5)
        assert abs(dial - 13.0) <= 0.5


def test_a_sticking_needle_jumps_when_tapped() -> None:
    setup = replace(QUIET, sticks=0.8)
    deeds = raised(setup)
    assert observe(setup, deeds, FULL + 1.0).dial == 12.0
    assert observe(setup, (*deeds, Deed(FULL + 1.0, "tap")), FULL + 1.0).dial == 13.0


def test_a_shut_cock_keeps_its_reading() -> None:
    deeds = (*raised(QUIET), Deed(260.0, "cock", 0.0), Deed(270.0, "vent", 1.0))
    there = observe(QUIET, deeds, 300.0)
    assert there.dial == 13.0
    assert there.at_crown == pytest.approx(0.0, abs=0.01)
    assert observe(QUIET, (*deeds, Deed(310.0, "cock", 1.0)), 311.0).dial == 0.0


# --- the faults -----------------------------------------------------------------------------------


def test_the_late_leak_is_late() -> None:
    setup = faulty("late_primary_leak")
    deeds = raised(setup)
    assert wet(setup, deeds, FULL + 240.0) == {}
    assert "drip" in wet(setup, deeds, FULL + 900.0).values()


@pytest.mark.parametrize(
    ("fault", "place"),
    [
        ("primary_drip", "primary"), ("secondary_leak", "secondary"),
        ("fitting_drip", "fitting"), ("port_weep", "port"), ("recovery", "primary"),
    ],
)  # fmt: skip
def test_a_leak_shows_at_its_own_place_only(fault: str, place: str) -> None:
    for seed in range(6):
        setup = faulty(fault, seed)
        seen = observe(setup, raised(setup), FULL + 900.0).leaks
        assert {leak.place for leak in seen} == {place}
        assert "drip" in {leak.grade for leak in seen}


@pytest.mark.parametrize("fault", ["fitting_drip", "port_weep"])
def test_a_fitting_is_mended_without_pressure_only(fault: str) -> None:
    setup = faulty(fault)
    under = (*raised(setup), Deed(300.0, "mend"), Deed(301.0, "wipe"))
    released = (
        *raised(setup), Deed(300.0, "vent", 1.0), Deed(310.0, "mend"), Deed(311.0, "wipe"),
        Deed(312.0, "vent", 0.0), Deed(313.0, "top_up", value=12.0),
    )  # fmt: skip
    assert wet(setup, under, 900.0) != {}
    assert wet(setup, released, 900.0) == {}


def test_sinking_washers_and_thirst_and_sun_lower_the_pressure_and_wet_nothing() -> None:
    for fault in ("sinking_washers", "thirsty_concrete", "sun_on_rods"):
        setup = faulty(fault)
        assert fall(setup, 10.0) > 0.8, fault
        assert wet(setup, raised(setup), FULL + 600.0) == {}


def test_warming_water_raises_the_pressure() -> None:
    setup = faulty("warming_water")
    deeds = raised(setup)
    before, after = observe(setup, deeds, FULL), observe(setup, deeds, FULL + 600.0)
    assert after.temperature > before.temperature + 1.0
    assert after.at_gauge > before.at_gauge + 0.5


def test_an_open_hose_cannot_be_throttled() -> None:
    crack = (*vented(), Deed(FULL, "inlet", 0.01))
    assert gauge(faulty("open_hose"), crack, FULL + 1.0) > 20.0
    assert gauge(faulty("none"), crack, FULL + 1.0) < 5.0


@pytest.mark.parametrize("fault", ["stuck_gauge", "shut_cock"])
def test_a_dead_gauge_reads_on_after_release(fault: str) -> None:
    setup = faulty(fault)
    deeds = (*raised(setup), Deed(900.0, "vent", 1.0))
    assert observe(setup, raised(setup), FULL + 10.0).dial == pytest.approx(13.0, abs=0.5)
    there = observe(setup, deeds, 960.0)
    assert there.dial > 12.0
    assert there.vent_flow == "none"
    reopened = observe(setup, (*deeds, Deed(961.0, "cock", 1.0)), 962.0)
    assert (reopened.dial < 1.0) == (fault == "shut_cock")


def test_a_zero_error_shows_before_there_is_water() -> None:
    assert observe(faulty("zero_error"), (), 1.0).dial >= 0.5
    assert observe(faulty("none"), (), 1.0).dial == 0.0


def test_a_low_vent_runs_steadily_with_air_above_it() -> None:
    setup = faulty("low_vent")
    there = observe(setup, vented(), 230.0)
    assert there.vent_flow == "water"
    assert there.air_share > 0.01


def test_air_in_the_gauge_line_is_springy_and_carries_no_column() -> None:
    setup = replace(faulty("air_in_gauge_line"), gauge_height=50.0)
    bled = (*raised(setup), Deed(FULL + 1.0, "bleed_line"))
    there = observe(setup, raised(setup), FULL)
    assert there.at_gauge == pytest.approx(there.at_crown, abs=0.01)
    after = observe(setup, bled, FULL + 2.0)
    assert after.at_crown - after.at_gauge == pytest.approx(20.0 * 0.036063, abs=0.02)


def test_a_rolled_gasket_is_felt_leaks_and_is_cured_by_reseating() -> None:
    setup = faulty("rolled_gasket")
    assert len(observe(setup, (), 0.0).feeler) == 1
    assert observe(setup, raised(setup), FULL + 60.0).at_crown < 9.0
    over = (*raised(setup), Deed(600.0, "start_over"))
    again = (*over, *(replace(deed, t=deed.t + 700.0) for deed in raised(Setup())))
    assert observe(setup, again, 601.0).feeler == ()
    assert observe(setup, again, 1700.0).leaks == ()
    assert observe(setup, again, 1700.0).at_crown > 12.5


def test_a_migrating_drip_shows_at_the_invert_only_and_comes_back() -> None:
    setup = faulty("migrating_drip")
    deeds = (*raised(setup), Deed(FULL, "wipe"), Deed(900.0, "wipe"))
    assert wet(setup, deeds, FULL + 30.0) == {}
    assert set(wet(setup, deeds, 899.0)) == {("primary", 6.0)}
    assert set(wet(setup, deeds, 1800.0)) == {("primary", 6.0)}


def test_a_drying_drip_dries() -> None:
    setup = faulty("drying_drip")
    deeds = (*raised(setup), Deed(FULL + 1800.0, "wipe"))
    assert "drip" in wet(setup, deeds, FULL + 150.0).values()
    assert wet(setup, deeds, FULL + 3600.0) == {}


def test_splash_does_not_come_back_after_wiping() -> None:
    setup = faulty("splash")
    deeds = (*raised(setup), Deed(FULL + 1.0, "wipe"))
    assert wet(setup, deeds, FULL) != {}
    assert wet(setup, deeds, FULL + 1800.0) == {}


def test_recovery_hides_the_leak_for_a_while() -> None:
    setup = faulty("recovery")
    over = (*raised(setup, to=20.0), Deed(FULL + 60.0, "vent", 0.002))
    bled_at = FULL + 60.0
    while gauge(setup, over, bled_at) > 13.5:
        bled_at += 0.1
    bled = (*over, Deed(bled_at, "vent", 0.0))
    at = [gauge(setup, bled, bled_at + 60.0 * m) for m in (0.0, 4.0, 30.0, 34.0)]
    assert at[0] < at[1]
    assert at[2] - at[3] > 0.15
    assert "drip" in wet(setup, bled, bled_at + 1200.0).values()


def test_every_fault_can_be_observed_and_every_seed_draws_one() -> None:
    for fault in FAULTS:
        assert isinstance(observe(faulty(fault), vented(), 300.0), Seen)
    assert {drawn(seed) for seed in range(400)} == set(FAULTS)


def test_an_unknown_fault_is_named() -> None:
    with pytest.raises(ValueError, match="'gremlins'"):
        observe(Setup(fault="gremlins"), (), 0.0)
