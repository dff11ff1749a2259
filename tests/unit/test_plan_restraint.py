"""The plan's restraint: what governs, what is refused, and that each cure cures."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from engine.plan import Plan
from engine.units import amount
from tests.plans import PIPE
from tests.unit.test_plan import OPEN_HOSE, doubted, refused, warned, worked

WEAK_RODS = {
    **PIPE["restraint"], "rod": "1/2-13", "grade": "unknown", "beam": "C10X20", "beams_per_end": 2,
}  # fmt: skip
TIMBER = {
    **PIPE["restraint"], "rod": "1-8", "beam": "6x6", "beams_per_end": 2, "washer": "2 in",
    "timber": "Hem-Fir No.2", "load": "spread", "load_width": "60 in",
}  # fmt: skip


def test_two_rods_at_springline_leave_the_moment_to_the_joint() -> None:
    found = worked(restraint__at=[["-38 in", "0 in"], ["38 in", "0 in"]])
    left = amount(found.restraint.moment_left, "in*lbf")
    assert left == pytest.approx(amount(found.thrust.moment, "in*lbf"), rel=1e-6)
    assert "moment_left" in warned(found)
    assert "moment_left" not in warned(worked())


def test_one_rod_through_the_bore_leaves_the_moment_too() -> None:
    found = worked(restraint__at=[["0 in", "0 in"]])
    assert found.restraint.rod is not None
    assert amount(found.restraint.rod.demand, "lbf") == pytest.approx(
        amount(found.restraint.thrust, "lbf")
    )
    assert "moment_left" in warned(found)


def test_draw_up_counts_on_the_rods() -> None:
    plain, drawn = worked(), worked(restraint__draw_up="5 kip")
    stopped = worked(restraint__draw_up="5 kip", restraint__hard_stops=True)
    assert plain.restraint.rod and drawn.restraint.rod and stopped.restraint.rod
    force = amount(plain.restraint.rod.demand, "lbf")
    assert amount(drawn.restraint.rod.demand, "lbf") == pytest.approx(force + 5000)
    assert amount(stopped.restraint.rod.demand, "lbf") == pytest.approx(5000)
    assert "draw_up_over" in warned(drawn)


def test_drawn_up_rods_do_not_stretch_before_the_thrust_passes_it() -> None:
    drawn = worked(restraint__draw_up="5 kip", restraint__hard_stops=True)
    assert drawn.one_unit is not None and drawn.one_unit.restraint is None
    assert drawn.restraint.opening is not None
    assert amount(drawn.restraint.opening, "in") == 0
    assert "two_slopes" in doubted(drawn)


def test_a_draw_up_is_told_as_a_torque() -> None:
    # T = K D F by hand: 0.2 x 3/4 in x 1,000 lbf = 150 in.lbf, 12.5 ft.lbf.
    found = worked(restraint__rod="3/4-10 UNC", restraint__draw_up="1000 lbf")
    [wrench] = [item for item in found.kit if item.what.startswith("torque wrench")]
    assert wrench.size is not None and amount(wrench.size, "ft*lbf") == pytest.approx(12.5)
    assert "nut_factor" in doubted(found)
    assert not any(item.what.startswith("torque wrench") for item in worked().kit)


def test_a_draw_up_of_nothing_is_none() -> None:
    found = worked(restraint__draw_up="0 lbf")
    assert {"two_slopes", "nut_factor"} & doubted(found) == set()
    assert found.kit == worked().kit


def test_drawing_up_alone_can_be_too_much() -> None:
    found = worked(restraint={**WEAK_RODS, "draw_up": "4 kip"})
    assert refused(found) == {"drawn_up", "cap_over_rig"}


def test_a_rated_frame_stands_in_for_rods_and_beams() -> None:
    frame = {"rated": "10 kip", "rated_by": "P. Example", "rated_on": dt.date(2030, 1, 7)}
    found = worked(restraint=frame)
    assert found.restraint.frame is not None and found.restraint.enough is True
    assert found.restraint.governs == "frame" and found.restraint.rod is None
    assert found.restraint.use == pytest.approx(amount(found.restraint.thrust, "kip") / 10)
    assert "rated_by" not in doubted(found)
    weak = worked(restraint={"rated": "1.5 kip"})
    assert weak.restraint.enough is False and "rated_by" in doubted(weak)


def test_a_rod_without_a_mark_is_the_weakest_and_derated() -> None:
    plain, unmarked = (
        worked(restraint__grade=grade).restraint.rod for grade in ("A307-A", "unknown")
    )
    assert plain is not None and unmarked is not None
    assert amount(unmarked.allowable, "lbf") == pytest.approx(0.75 * amount(plain.allowable, "lbf"))
    assert "unmarked" in doubted(worked(restraint__grade="unknown"))


@pytest.mark.parametrize(
    ("field", "doubt"),
    [
        ("restraint__rod", "rod_unknown"),
        ("restraint__beam", "beam_unknown"),
    ],
)
def test_what_is_not_known_leaves_it_open_whether_it_is_enough(field: str, doubt: str) -> None:
    found = worked(**{field: "unknown"})
    assert found.restraint.enough is None
    assert doubt in doubted(found)


def test_a_part_that_fails_is_refused_whatever_else_is_unknown() -> None:
    found = worked(supply=OPEN_HOSE, restraint={**WEAK_RODS, "beam": "unknown"})
    assert found.restraint.enough is False


def test_unknown_timber_is_the_lowest_of_all() -> None:
    known = worked(restraint=TIMBER).restraint.beam
    unknown = worked(restraint={**TIMBER, "timber": "unknown"})
    assert known is not None and unknown.restraint.beam is not None
    assert amount(unknown.restraint.beam.allowable, "psi") < amount(known.allowable, "psi")
    assert "species_unknown" in doubted(unknown)


def test_a_beam_by_measure_is_the_strongest_no_larger() -> None:
    named, measured = (
        worked(restraint__beam=beam).restraint.beam for beam in ("C6X8.2", "C 6 x 1.92 x 0.2 in")
    )
    assert named == measured
    assert "beam_measured" in doubted(worked(restraint__beam="C 6 x 1.92 x 0.2 in"))


def test_a_span_not_given_is_the_widest_between_rods() -> None:
    given, found = worked().restraint.beam, worked(restraint__span="unknown").restraint.beam
    assert given == found


# --- refused, and cured --------------------------------------------------------------------------


def at_supply(restraint: dict[str, Any], psi: float = 200) -> Plan:
    return worked(supply={**OPEN_HOSE, "pressure": f"{psi} psi"}, restraint=restraint)


@pytest.mark.parametrize(
    ("restraint", "part", "more"),
    [(WEAK_RODS, "rod", {"rod"}), (TIMBER, "beam", set()), (PIPE["restraint"], "beam", {"beam"})],
)
def test_enough_for_the_test_and_not_for_the_supply_is_refused_with_cures(
    restraint: dict[str, Any], part: str, more: set[str]
) -> None:
    assert worked(restraint=restraint).restraint.enough is True
    found = at_supply(restraint)
    assert found.restraint.enough is False
    assert found.restraint.governs == part
    assert found.restraint.use is not None and found.restraint.use > 1
    assert "restraint" in refused(found)
    assert {"fit_relief"} | more <= {cure.code for cure in found.restraint.cures}


@pytest.mark.parametrize("restraint", [WEAK_RODS, TIMBER, PIPE["restraint"]])
def test_the_relief_setting_told_cures_it(restraint: dict[str, Any]) -> None:
    cure = next(c for c in at_supply(restraint).restraint.cures if c.code == "fit_relief")
    setting = [amount(cure.values[0], "psi"), "psi"]
    cured = worked(supply={**OPEN_HOSE, "relief": setting}, restraint=restraint)
    assert cured.refusals == ()


def test_the_thicker_rods_told_cure_it_and_no_thinner_would() -> None:
    cure = next(c for c in at_supply(WEAK_RODS).restraint.cures if c.code == "rod")
    assert cure.name == "5/8-11 UNC"
    assert at_supply({**WEAK_RODS, "rod": cure.name}).restraint.enough is True


def test_the_deeper_beams_told_cure_it() -> None:
    cure = next(c for c in at_supply(PIPE["restraint"]).restraint.cures if c.code == "beam")
    assert at_supply({**PIPE["restraint"], "beam": cure.name}).restraint.enough is True


def test_the_wider_washer_told_cures_it() -> None:
    narrow = {**TIMBER, "beam": "8x10", "washer": "1.5 in"}
    found = at_supply(narrow, 60)
    assert found.restraint.governs == "washer"
    cure = next(c for c in found.restraint.cures if c.code == "washer")
    cured = {**narrow, "washer": f"{amount(cure.values[0], 'in')} in"}
    assert at_supply(cured, 60).restraint.enough is True


def test_the_rods_told_cure_it() -> None:
    cure = next(c for c in at_supply(WEAK_RODS).restraint.cures if c.code == "rods")
    count = round(cure.values[0].magnitude)
    assert count > 4 and count % 2 == 0
    heights = [30 - 60 * n / (count // 2 - 1) for n in range(count // 2)]
    spread = [[f"{x} in", f"{y} in"] for y in heights for x in (-38, 38)]
    more = {**WEAK_RODS, "at": spread, "beams_per_end": count // 2}
    assert at_supply(more).restraint.enough is True


def test_a_cap_the_restraint_does_not_hold_is_refused() -> None:
    found = worked(procedure__cap="150 psi")
    assert "cap_over_rig" in refused(found)
    assert found.restraint.enough is True


def test_at_its_limit_the_restraint_is_used_up() -> None:
    limit = worked().pressure.limit_of_rig
    assert limit is not None
    psi = amount(limit, "psi")
    for share, enough in ((0.999, True), (1.001, False)):
        found = at_supply(PIPE["restraint"], psi * share)
        assert found.restraint.enough is enough
        assert found.restraint.use == pytest.approx(1, abs=0.002)
