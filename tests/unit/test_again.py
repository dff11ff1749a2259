"""A product's first weeks: straight, deflected, a retest after a drip, a second specimen."""

from __future__ import annotations

from functools import cache

from engine.facts import Carried
from engine.history import standing as standing_of
from engine.history import story, trend
from engine.present.row import Row, row
from engine.repeat import Changes, repeat
from engine.session import Session
from engine.units import q
from tests.again import TODAY, Following, finished, specimen

PRODUCT = "54 in pipe, wall B"


@cache
def weeks() -> dict[str, Session]:
    first = finished()
    deflected = repeat("next_alignment", "a-1", first.session, TODAY, Changes(opening=q(0.5, "in")))
    second = Following(deflected.opening(), first, hours=3).to("hold").raise_to().hold()
    second.see("primary", "drip", clock=6.0)
    second.go_on().end()
    retest = repeat("again", "a-2", second.session, TODAY)
    third = Following(retest.opening(), second, hours=24).to("hold").raise_to(14.0)
    for psi in (14.0, 13.75, 13.75, 13.5, 13.5):
        third.read(psi)
        third.look()
        third.pass_time(120)
    for psi in (13.5, 13.5):
        third.read(psi)
        third.look()
    third.go_on().end()
    new = repeat("new_specimen", "a-3", third.session, TODAY,
                 Changes(alignment="straight", specimen=specimen("D-1043", "D-1044")))  # fmt: skip
    fourth = Following(new.opening(), third, hours=72).to("verdict").end()
    return {"a-1": first.session, "a-2": second.session, "a-3": third.session,
            "a-4": fourth.session}  # fmt: skip


def rows() -> list[Row]:
    return [row(name, session) for name, session in weeks().items()]


def carried(session: str) -> tuple[Carried, ...]:
    opened = weeks()[session].opened
    return opened.carried if opened else ()


def test_each_ends_as_it_went() -> None:
    found = [(each["session"], each["alignment"], each["outcome"]) for each in rows()]
    assert found == [
        ("a-1", "straight", "pass"),
        ("a-2", "deflected", "fail"),
        ("a-3", "deflected", "pass"),
        ("a-4", "straight", "pass"),
    ]


def test_the_specimens_story_is_the_first_three() -> None:
    assert [each["session"] for each in story(rows(), "a-2")] == ["a-1", "a-2", "a-3"]
    assert [each["session"] for each in story(rows(), "a-4")] == ["a-4"]


def test_every_item_names_the_session_it_was_found_in() -> None:
    assert {(each.check, each.session) for each in carried("a-3")} >= {
        ("drilled", "a-1"), ("bonded", "a-1"), ("bond_cured", "a-1"), ("demand", "a-1")
    }  # fmt: skip
    assert {each.session for each in carried("a-2")} == {"a-1"}
    assert {(each.check, each.session) for each in carried("a-4")} == {("demand", "a-1")}


def test_both_alignments_stand_and_on_how_many_specimens() -> None:
    found = standing_of(rows(), PRODUCT)
    assert [(p.alignment, p.specimens, p.sessions) for p in found.proofs] == [
        ("straight", ("D-1041 / D-1042", "D-1043 / D-1044"), ("a-1", "a-4")),
        ("deflected", ("D-1041 / D-1042",), ("a-3",)),
    ]
    assert found.missing == ()
    assert {p.version for p in found.proofs} == {1}


def test_the_trend_is_in_the_order_of_the_tests() -> None:
    found = trend(rows(), PRODUCT, "lost")
    assert [(point.session, point.value) for point in found] == [
        ("a-1", 0.0), ("a-2", 0.0), ("a-3", 0.5), ("a-4", 0.0)
    ]  # fmt: skip
