"""What the certificate says, and that all of it comes from the session."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass
from typing import Any

import pytest

from engine import facts as f
from engine.asking.commands import Amend, Announce, Confirm, Sign, Waive
from engine.certificate import Certificate, Face, Table, certificate, log
from engine.certificate.text import text_certificate
from engine.units import amount, q
from tests import certified
from tests.certified import DEFLECTED, attested
from tests.story import Story

CASES: dict[str, Callable[[], Story]] = {
    "pass": certified.usual,
    "fail": certified.failed,
    "undecided": certified.undecided,
    "metric": certified.metric,
    "practice": certified.practised,
    "wordy": certified.wordy,
}


def of(story: Story) -> Certificate:
    return certificate([attested(story)])


def strings(value: Any) -> Iterator[str]:
    """Everything that is shown as words: no empty table, and nothing that is only drawn."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Face) or (isinstance(value, Table) and not value.rows):
        yield from [value.left_out] if isinstance(value, Table) and value.left_out else []
    elif is_dataclass(value):
        for field in fields(value):
            yield from strings(getattr(value, field.name))
    elif isinstance(value, tuple):
        for item in value:
            yield from strings(item)


def said(story: Story) -> str:
    return "\n".join(strings(of(story)))


# --- outcome, reason, limits --------------------------------------------------------------------


def test_a_pass_names_demand_result_and_limits_at_a_glance() -> None:
    glance = {row.label: row.value for row in of(certified.usual()).tests[0].glance}
    assert glance == {
        "Demanded": "13 psi at the crown for 10:00 min",
        "Lowest, corrected": "13.5 psi",
        "Highest, corrected": "13.5 psi",
        "Held": "10:00 min of 10:00 min",
        "Needed, at the gauge": "13.02 psi",
        "Cap, at the gauge": "15.02 psi",
    }


@pytest.mark.parametrize(
    ("name", "word", "claim"),
    [
        ("pass", "PASS", "The joint was leak-resistant under the conditions stated."),
        ("fail", "FAIL", "The joint was not leak-resistant."),
        ("undecided", "ABANDONED", "The joint was not shown to be leak-resistant, nor that it"),
    ],
)
def test_the_claim_uses_the_procedures_own_term(name: str, word: str, claim: str) -> None:
    tested = of(CASES[name]()).tests[0]
    assert tested.word == word
    assert tested.claim.startswith(claim)
    assert "watertight" not in said(CASES[name]())


def test_it_relates_only_to_the_specimen_and_shows_no_internal_pressure() -> None:
    words = said(certified.usual())
    assert "relates only to the specimen tested" in words
    assert "does not by itself show how the joint behaves under pressure from inside" in words


def test_an_authority_that_was_not_stated_is_told_in_capitals() -> None:
    paper = of(certified.undecided())
    assert (paper.authority, paper.authority_stated) == ("NOT STATED", False)
    stated = of(certified.usual())
    assert stated.authority_stated
    assert stated.authority.endswith("edition 2025, clause 4.2")


def test_waivers_come_first_and_doubts_are_told() -> None:
    tested = of(certified.undecided()).tests[0]
    assert tested.beside[0].startswith("Waived: See that the sealing faces are sound")
    assert "no light in the bay" in tested.beside[0]
    assert any("gauge accuracy not known" in doubt.lower() for doubt in tested.doubts)


def test_gap_looks_and_cap_are_house_rules_even_under_a_contract() -> None:
    marks = {row.label: row.mark for row in of(certified.usual()).tests[0].demand}
    assert {marks[label] for label in ("Longest gap", "Looks", "Cap", "Datum")} == {"house rule"}
    assert marks["Pressure"] == ""


def test_a_field_with_a_source_of_its_own_names_it() -> None:
    story = certified.passed(procedure__sources={"cap": "letter of 3 May"})
    marks = {row.label: row.mark for row in of(story).tests[0].demand}
    assert marks["Cap"] == "letter of 3 May"


def test_the_decision_rule_is_told_with_the_probability() -> None:
    decision = of(certified.usual()).tests[0].decision
    assert "simple: the reading less its zero" in decision
    assert re.search(r"lowest reading: \d+(\.\d)? %", decision)


def test_a_primary_on_a_step_is_told() -> None:
    assert "pushes it off the step" in said(certified.undecided())
    assert "pushes it off the step" not in said(certified.usual())


def test_that_nobody_looked_is_told() -> None:
    assert of(certified.undecided()).tests[0].looks.left_out == "Nobody looked along the inside."
    assert "Nobody looked along the inside." in text_certificate(of(certified.undecided()))


def test_cracks_are_told_as_looked_for_or_not() -> None:
    def cracks(story: Story) -> str:
        rows = {row.label: row.value for row in of(story).tests[0].checks}
        return rows["Cracks at the joint"]

    assert cracks(certified.usual()).startswith("none seen, record ")
    assert cracks(certified.undecided()) == "not looked for"


def test_practice_is_told() -> None:
    assert of(certified.practised()).practice.startswith("PRACTICE")
    assert of(certified.usual()).practice == ""


def test_checks_confirmed_in_a_burst_are_counted() -> None:
    told = [said for said in of(certified.usual()).tests[0].beside if "faster than" in said]
    assert told
    for said in told:
        assert re.fullmatch(
            r"\d+ checks were answered within 0 s, faster than one can look "
            r"\(records \d+ to \d+\)", said,
        )  # fmt: skip


@pytest.mark.parametrize("story", [certified.usual, certified.undecided, certified.metric])
def test_no_pace_is_praised(story: Callable[[], Story]) -> None:
    assert "no faster" not in said(story())


def test_a_limit_is_told_as_the_least_or_the_most() -> None:
    rows = {row.label[:19]: row.value for row in of(certified.usual()).tests[0].checks}
    assert rows["Draw the rods up ev"].startswith("2 (at least 0), ")
    assert rows["Mark the vent at th"].startswith("0.25 in (at most 0.5 in), ")
    assert rows["Find the sections' "].startswith("55 °F (at least 39 °F), ")
    assert rows["Catch what comes ou"].startswith("18927.1 mL (at least 3446 mL), ")


def test_no_doubt_is_cut_off() -> None:
    assert "[...]" not in " ".join(of(certified.usual()).tests[0].rig_doubts)


# --- no try is hidden ---------------------------------------------------------------------------


def test_a_chain_is_one_certificate_in_the_order_of_time() -> None:
    straight, deflected = certified.usual(), certified.passed(**DEFLECTED)
    both = [attested(deflected, "b"), attested(straight, "a")]
    paper = certificate(both, unread=["c"])
    assert [t.alignment for t in paper.tests][1:] != []
    assert {row[0] for row in paper.attempts.rows} == {"a", "b", "c"}
    assert paper.attempts.rows[-1][3] == "could not be read"


def test_every_hold_release_and_way_back_is_listed() -> None:
    words = "\n".join(row[2] for row in of(certified.failed()).tests[0].course.rows)
    for event in ("Hold 1 started", "Abandoned: leaks past the primary", "Released"):
        assert event in words


def test_a_struck_reading_stays_visible_with_its_reason_and_counts_for_nothing() -> None:
    story = certified.undecided()
    tested = of(story).tests[0]
    assert [row[2] for row in tested.struck.rows] == ["read off the wrong dial"]
    seq = tested.struck.rows[0][0]
    assert seq not in {row[0] for row in tested.readings.rows}


def test_both_ends_of_a_top_up_are_among_the_readings() -> None:
    tested = of(certified.undecided()).tests[0]
    assert [row[2:4] for row in tested.top_ups.rows] == [("12.5 psi", "13.5 psi")]
    ends = [row[5] for row in tested.readings.rows if "top-up" in row[5]]
    assert ends == ["below, before a top-up", "credited, after a top-up"]


# --- figures ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", CASES)
def test_every_reading_on_the_paper_is_the_recorded_one(name: str) -> None:
    story = CASES[name]()
    for row in of(story).tests[0].readings.rows:
        fact = story.records[int(row[0]) - 1].fact
        value, unit = row[3].split(" ")
        if isinstance(fact, f.ToppedUp):
            assert float(value) in {amount(p, unit) for p in (fact.before, fact.after)}
            continue
        assert isinstance(fact, f.PressureRead)
        assert float(value) == pytest.approx(amount(fact.pressure, unit), abs=5e-4)
        shown, shown_unit = row[4].split(" ")
        corrected = amount(fact.pressure, shown_unit)  # the zero was read as 0 in every story
        assert float(shown) == pytest.approx(corrected, abs=0.05 if shown_unit == "kPa" else 0.005)


def test_the_zero_is_taken_off_the_reading() -> None:
    story = certified.usual()
    shifted = Story(story.session.opened.plan if story.session.opened else None)
    shifted.to("hold", zero=0.25).raise_to(14.0)
    shifted.read(14.0)
    lowest = min(log(shifted.session), key=lambda r: r.corrected if r.how == "good" else 99)
    assert lowest.corrected == pytest.approx(13.75)


@pytest.mark.parametrize("name", CASES)
def test_every_record_that_is_named_exists(name: str) -> None:
    story = CASES[name]()
    words = said(story)
    numbers = {int(n) for n in re.findall(r"records? (\d+)", words)}
    assert numbers
    assert numbers <= set(range(1, story.session.seq + 1))


def test_a_long_table_is_thinned_and_keeps_the_lowest_reading() -> None:
    story = certified.long_hold(1000)
    tested = of(story).tests[0]
    total = len(story.session.evidence.readings)
    assert len(tested.readings.rows) == 40
    assert tested.readings.left_out.startswith(f"40 of {total} readings shown")
    assert "13.12 psi" in {row[4] for row in tested.readings.rows}
    assert tested.plot is not None
    assert min(p.pressure for p in tested.plot.points if p.held) == pytest.approx(13.125)


# --- as text ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", CASES)
def test_the_text_fits_eighty_columns_and_has_no_hidden_sign(name: str) -> None:
    text = text_certificate(of(CASES[name]()))
    assert max(len(line) for line in text.splitlines()) <= 80
    assert all(line.isprintable() for line in text.splitlines())


def test_the_text_says_the_outcome_and_the_reason_near_the_top() -> None:
    top = "\n".join(text_certificate(of(certified.failed())).splitlines()[:24])
    assert "*** FAIL ***  Straight" in top
    assert "Leak past the primary gasket: drip on the primary gasket at 6 o'clock" in top


def test_what_somebody_typed_cannot_move_the_cursor() -> None:
    story = Story()
    story.write(f.Noted(text="\x1b[2Jgone\u202e\r\nnext"))
    text = text_certificate(of(story))
    assert "\x1b" not in text
    assert "\u202e" not in text
    assert "?[2Jgone? next" in text


def test_a_gauge_in_kilopascals_is_shown_as_it_was_read() -> None:
    story = Story(certified.metric().session.plan)
    story.to("hold")
    story.write(f.PressureRead(pressure=q(94, "kPa"), ago=0.0))
    cells = of(story).tests[0].readings.rows[-1]
    assert cells[3:5] == ("94 kPa", "94 kPa")


def test_what_was_read_of_the_demand_on_site_is_told_beside_it() -> None:
    story = Story()
    story.ask(Confirm("demand", "Order 77 of the town, sheet 3"))
    rows = {row.label: row.value for row in of(story).tests[0].demand}
    assert rows["As read on site"] == "Order 77 of the town, sheet 3"
    unread, waived = Story(), Story()
    waived.ask(Waive("demand", "the order is on its way"))
    for nothing in (unread, waived):
        assert "As read on site" not in {row.label for row in of(nothing).tests[0].demand}


def test_a_name_typed_before_a_correction_is_told_as_such() -> None:
    story = certified.passed()
    assert "correction" not in " ".join(of(story).tests[0].signatures)
    seq = story.ask(Amend("a reading of the wrong dial"))
    story.strike(story.session.evidence.looks[-1].seq, "wrong joint")
    story.ask(Announce())
    story.ask(Sign("W. Example", witness=True))
    before, after = of(story).tests[0].signatures
    assert before.endswith(f"(PASS), before the correction of record {seq}")
    assert after.startswith("W. Example, witness") and after.endswith("(UNDECIDED)")
