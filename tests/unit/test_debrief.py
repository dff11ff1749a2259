"""What is said after practice: the truth of the model, beside what was made of it."""

from __future__ import annotations

import pytest

from engine import facts as f
from engine.asking.commands import Write
from engine.debrief import CONCLUDED, Debrief, conclusion, debrief
from engine.practice import FAULTS
from engine.rehearsal import seen, sound
from engine.units import q
from tests.practised import finish, practice, run
from tests.story import Story
from tui.practice import Practice


def told(course: Practice) -> Debrief:
    said = debrief(course.session)
    assert said is not None
    return said


# Each fault, how far the technician goes with it, and what gives it away first.
NAMED = [
    ("trapped_air", "hold", "lower than on a sound joint"),
    ("late_primary_leak", "", "on the primary"),
    ("secondary_leak", "", "on the secondary"),
    ("fitting_drip", "", "on the fitting"),
    ("sinking_washers", "verdict", "lower than on a sound joint"),
    ("warming_water", "verdict", "higher than on a sound joint"),
    ("open_hose", "hold", "relief valve lifted higher"),
    ("stuck_gauge", "", "higher than on a sound joint"),
    ("shut_cock", "", "cock stood shut"),
    ("zero_error", "fill", "higher than on a sound joint"),
    ("low_vent", "seal", "the tape"),
    ("air_in_gauge_line", "hold", "gauge line spat air"),
    ("rolled_gasket", "fill", "feeler"),
]


@pytest.mark.parametrize(("fault", "until", "words"), NAMED)
def test_the_debrief_agrees_with_the_model(fault: str, until: str, words: str) -> None:
    course = finish(run(practice(fault), until, most=100), says=fault)
    said = told(course)
    assert (said.fault, said.found) == (fault, True)
    assert said.told == FAULTS[fault]
    assert said.first is not None and words in said.first.words
    here = course.session.t if said.first.t > course.session.t else said.first.t
    there, whole = seen(course.session, here), sound(course.session, here)
    assert there is not None and whole is not None
    assert said.peak == seen(course.session, course.session.t).peak  # type: ignore[union-attr]


def test_a_sound_joint_shows_nothing_and_is_none() -> None:
    course = run(practice("none"), "verdict")
    course.ask(Write(conclusion("none")))
    said = told(run(course))
    assert said.first is None
    assert said.found
    assert said.announced is not None and said.announced[1] == "pass"
    assert said.over_at is None and said.peak < said.cap


def test_what_is_concluded_last_counts_and_what_is_struck_does_not() -> None:
    course = run(practice("trapped_air"), "vent")
    course.ask(Write(conclusion("sinking_washers")))
    course.skip(60)
    course.ask(Write(conclusion("trapped_air")))
    assert [c.fault for c in told(course).concluded] == ["sinking_washers", "trapped_air"]
    assert told(course).found
    course.ask(Write(conclusion("none")))
    assert not told(course).found


def test_a_fault_that_nobody_knows_cannot_be_concluded() -> None:
    with pytest.raises(ValueError, match="gremlins"):
        conclusion("gremlins")
    assert conclusion("none").text == f"{CONCLUDED}none"


def test_an_open_hose_past_the_cap_is_said_with_its_moment() -> None:
    course = run(practice("open_hose"), "hold")
    opened = course.now()
    course.ask(Write(f.ValveTurned(which="inlet", share=0.1)))
    course.skip(3.0)
    course.ask(Write(f.ValveTurned(which="inlet", share=0.0)))
    said = told(finish(course))
    assert said.over_at is not None and opened <= said.over_at <= opened + 4.0
    assert said.peak > said.cap == pytest.approx(15.0, abs=0.05)
    assert said.concluded == ()


def test_the_cap_is_that_of_the_procedure_at_the_crown() -> None:
    """The demonstration's datum is the crown: no column lies between."""
    course = practice("none")
    assert told(course).cap == pytest.approx(15.0, abs=0.001)


def test_a_real_test_has_no_debrief() -> None:
    assert debrief(Story().session) is None


def test_the_cock_can_be_opened_again() -> None:
    course = run(practice("shut_cock"), most=75)
    there = course.seen()
    assert there is not None and there.cock == 0.0
    course.ask(Write(f.ValveTurned(which="cock", share=1.0)))
    course.skip(5.0)
    again = course.seen()
    assert again is not None and again.cock == 1.0
    assert again.dial == pytest.approx(again.at_gauge, abs=0.3)
    assert not [v for v in course.session.water.turns if v.which not in ("inlet", "vent")]


def test_a_pump_stroke_is_no_larger_than_it_has_to_be() -> None:
    course = run(practice("none"), "verdict")
    fed = [u.ml for u in course.session.water.top_ups]
    assert told(course).peak < q(15, "psi").magnitude
    assert all(ml is not None and ml <= 4 for ml in fed)
