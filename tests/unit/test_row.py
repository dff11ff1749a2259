"""A session's row in the index: plain, small, and as the records say."""

from __future__ import annotations

import json

import pytest

from engine import facts as f
from engine.asking.commands import Abandon, PassStage
from engine.marks import make
from engine.present.row import row
from engine.session import Session
from engine.units import q
from tests.again import BARE, Following, finished, pair
from tests.plans import PIPE, plan
from tests.story import Story


def test_a_passed_test() -> None:
    found = row("a-1", finished().session)
    shown = {key: found[key] for key in ("session", "product", "marks", "alignment", "outcome",
                                         "state", "when", "by", "gauge", "follows", "open",
                                         "practice", "edition")}  # fmt: skip
    assert shown == {
        "session": "a-1",
        "product": "54 in pipe, wall B",
        "marks": "D-1041 / D-1042",
        "alignment": "straight",
        "outcome": "pass",
        "state": "PASS",
        "when": "2026-06-03 08:00",
        "by": "R. Example",
        "gauge": "G-07",
        "follows": None,
        "open": False,
        "practice": False,
        "edition": "not stated",
    }


def test_it_is_plain_and_small_and_its_keys_are_always_the_same() -> None:
    opening = finished().session.opened
    assert opening is not None
    follows = opening.model_copy(update={"follows": "260603-0800-abcdef"})
    for session in (finished().session, Following(follows, finished()).session):
        found = row("260603-1410-123456", session)
        assert found.keys() == BARE.keys()
        assert json.loads(json.dumps(found)) == found
        assert len(json.dumps(found)) < 600


def test_the_longest_words_are_cut_but_never_a_product() -> None:
    product = "a pipe " + "x" * 100
    planned = pair(joint__name=product, procedure__authority="an authority " * 20)
    found = row("a-1", Story(planned, by="N. " + "n" * 100).session)
    assert found["product"] == product
    assert len(str(found["procedure"])) == 64
    assert len(str(found["by"])) == 24
    assert str(found["by"]).endswith("...")


def test_an_open_test_says_its_stage_and_no_outcome() -> None:
    found = row("a-1", Story(pair()).to("seal").session)
    assert (found["state"], found["outcome"], found["open"]) == ("Seal", None, True)
    assert found["lost"] is None


def test_an_abandoned_and_a_damaged_one_say_so() -> None:
    story = Story(pair())
    story.ask(Abandon("rain"))
    assert row("a-1", story.session)["state"] == "ABANDONED"
    damaged = row("a-1", finished().session, damaged=True)
    assert (damaged["state"], damaged["outcome"], damaged["open"]) == (
        "DAMAGED", "undecided", False
    )  # fmt: skip
    assert row("a-1", Session(), damaged=True)["state"] == "DAMAGED"


def test_pressure_lost_leaves_top_ups_out() -> None:
    story = Story(pair()).to("hold").raise_to(14.0)
    for psi in (14.0, 13.75, 13.5):
        story.read(psi)
        story.pass_time(60)
    story.write(f.ToppedUp(before=q(13.25, "psi"), after=q(14, "psi")))
    story.pass_time(120).read(13.5)
    found = row("a-1", story.session)
    # 14 to 13.25 in 3 min, then 14 to 13.5 in 2 min: 1.25 psi in 5 min.
    assert found["lost"] == pytest.approx(1.25)
    assert found["rate"] == pytest.approx(-0.25)
    assert found["top_ups"] == 1
    assert found["flow"] is None


def test_with_the_stiffness_taken_a_fall_is_a_flow() -> None:
    # A pocket of 2 mL/psi and no air: 2 mL for each psi put in.
    story = Story(pair()).to("vent")
    story.closed()
    for psi in (3.0, 6.0, 9.0, 12.0):
        story.write(f.VolumeAdded(volume=q(6, "mL"), after=q(psi, "psi")))
    story.read(5.0)
    story.cracked().settle()
    story.ask(PassStage("vent"))
    story.raise_to(14.0).read(14.0)
    story.pass_time(120).read(13.5)
    found = row("a-1", story.session)
    assert found["rate"] == pytest.approx(-0.25)
    assert found["flow"] == pytest.approx(0.5, abs=0.02)
    assert found["air"] is None or float(found["air"]) < 1


def test_time_is_counted_from_the_end_of_preparing() -> None:
    story = Story(pair()).to("seal")
    began = story.now
    story.to("verdict").end()
    assert row("a-1", story.session)["seconds"] == pytest.approx(story.session.t - began, abs=1)
    assert story.session.t > 86_400


def test_a_make_is_the_same_for_the_same_sizes_and_for_no_others() -> None:
    same, other = plan(PIPE), plan(PIPE, joint__wall="5.75 in")
    assert make(same.joint) == make(plan(PIPE, procedure__pressure="10 psi").joint)
    assert make(same.joint) != make(other.joint)


def test_every_gauge_is_named_the_governing_one_first() -> None:
    gauges = [PIPE["gauge"], {**PIPE["gauge"], "mark": "G-08", "governs": True}]
    assert row("a-1", Story(pair(gauge=None, gauges=gauges)).session)["gauge"] == "G-08, G-07"
