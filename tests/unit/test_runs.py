"""A hold that was not held in one run: the paper says how many there were and what ended each."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from engine.asking.commands import StartHold
from engine.certificate import certificate
from engine.certificate.runs import runs
from engine.certificate.text import text_certificate
from tests.certified import attested
from tests.story import Story
from tests.told import gauge, held, hold_of, readings, top_up

OK = 13.5


def dried() -> Story:
    """A drip at six, three minutes into the hold; then it was wiped and looked dry."""
    story = readings(held(procedure__may_stand="2 h"), *[OK] * 4)
    story.see("primary", "drip", 6.0)
    story.pass_time(30).look(wiped=True)
    return readings(story.pass_time(30), *[OK] * 3)


def dipped() -> Story:
    return readings(held(), OK, OK, 12.5, OK, OK)


def too_high() -> Story:
    return readings(held(procedure__over_cap="void"), OK, OK, 17.0, OK, OK)


def unread() -> Story:
    story = readings(held(), OK, OK, OK)
    return readings(story.pass_time(420), OK, OK)


def fed() -> Story:
    story = readings(held(procedure__top_ups=False), OK, OK)
    story.pass_time(60).write(top_up(OK, OK))
    return readings(story.pass_time(60), OK, OK)


def restarted() -> Story:
    story = readings(held(), OK, OK)
    story.boot, story.ticks = "boot-2", 3.0
    return readings(story.pass_time(60), OK, OK)


BROKEN: dict[str, tuple[Callable[[], Story], str]] = {
    "a drip that dried": (dried, r"drip at the primary at 6 o'clock, record \d+: again from"),
    "a dip": (dipped, r"12\.5 psi with record \d+, below needed"),
    "over a cap that voids": (too_high, r"17 psi with record \d+, over the cap"),
    "a gap": (unread, r"nothing was read for 7:00 min, 2:00 min at most"),
    "a forbidden top-up": (fed, r"water was fed in before record \d+"),
    "a restart": (restarted, "the machine was restarted"),
}


@pytest.mark.parametrize("name", BROKEN)
def test_what_ended_a_run_is_said(name: str) -> None:
    story, why = BROKEN[name][0](), BROKEN[name][1]
    session = story.session
    assert session.hold is not None
    first, *_, last = runs(session, session.hold)
    assert pytest.approx(first.seconds, abs=1) in (60, 120, 180)
    assert last.ended == "still running"
    paper = certificate([attested(story)])
    [row] = [row for row in paper.tests[0].result if row.label == "Runs in the hold"]
    [tried] = [row for row in paper.tests[0].course.rows if "Hold 1, run 1:" in row[2]]
    assert_says(why, row.value, tried[2])
    assert paper.attempts.rows[0][-1].startswith("1 hold, ")


def assert_says(pattern: str, *texts: str) -> None:
    assert all(re.search(pattern, text) for text in texts), texts


@pytest.mark.parametrize("name", BROKEN)
def test_the_run_that_is_credited_is_one_of_them(name: str) -> None:
    """What was credited is told by the rules of crediting, which ask nobody here."""
    story = BROKEN[name][0]()
    found = [run.readings for run in runs(story.session, hold_of(story).span)]
    assert hold_of(story).credit.runs == (found[-1],)


def test_a_hold_in_one_run_says_nothing_of_runs() -> None:
    paper = certificate([attested(Story().to("verdict"))])
    assert paper.attempts.rows[0][-1] == "1 hold"
    assert "run" not in {word for row in paper.tests[0].course.rows for word in row[2].split()}
    assert "Runs in the hold" not in {row.label for row in paper.tests[0].result}


def test_runs_of_an_earlier_hold_are_told_too() -> None:
    story = dipped()
    story.pass_time(60).read(12.0)
    story.pass_time(60).read(OK)
    story.ask(StartHold())
    readings(story, OK, OK)
    paper = certificate([attested(story)])
    assert paper.attempts.rows[0][-1] == "2 holds, 4 runs"
    tried = [row[2] for row in paper.tests[0].course.rows if "run " in row[2]]
    assert [text[:13] for text in tried] == [f"Hold 1, run {n}" for n in (1, 2, 3)]
    assert "ended: 12 psi with record" in tried[1]
    assert "ended: the hold ended with record" in tried[2]


def test_of_many_runs_a_few_are_told_and_the_rest_are_counted() -> None:
    story = held()
    for _ in range(9):
        readings(story, OK, OK, 12.5).pass_time(30)
    text = " ".join(text_certificate(certificate([attested(story)])).split())
    assert "Runs in the hold 9; run 1 ended: 12.5 psi" in text
    assert "and 5 more" in text


def test_a_top_up_that_is_allowed_ends_no_run() -> None:
    changed: dict[str, Any] = {"procedure__top_ups": True}
    story = readings(held(**changed), OK, OK)
    story.pass_time(60).write(top_up(OK, OK))
    readings(story.pass_time(60), OK, OK)
    assert len(runs(story.session, hold_of(story).span)) == 1


def test_a_hold_whose_only_run_broke_is_told_with_what_ended_it() -> None:
    story = readings(held(), OK, OK, 12.5)
    text = " ".join(text_certificate(certificate([attested(story)])).split())
    assert "Runs in the hold 1; run 1 ended: 12.5 psi" in text


def test_each_of_two_gauges_that_count_alike_has_runs_of_its_own() -> None:
    """One was left unread for longer than the gap: of the other, the run goes on."""
    story = held(gauge=None, gauges=[gauge("G-07"), gauge("G-08")])
    story.read(OK, mark="G-07")
    story.read(OK, mark="G-08")
    for _ in range(6):
        story.pass_time(60).read(OK, mark="G-07")
    story.read(OK, mark="G-08")
    found = runs(story.session, story.session.holds[-1])
    assert [(run.mark, run.seconds, run.broken) for run in found] == [
        ("G-07", 360, False), ("G-08", 0, True), ("G-08", 0, False),
    ]  # fmt: skip
    assert hold_of(story).credit.seconds == 0
