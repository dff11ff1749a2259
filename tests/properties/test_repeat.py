"""Laws of what is carried over, whatever a plant's own checks say of themselves."""

from __future__ import annotations

from functools import cache
from typing import get_args

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.asking.commands import Abandon, Confirm, Waive
from engine.checks import Check, Rank
from engine.repeat import Changes, Kind, repeat
from engine.session import Session
from engine.units import q
from tests.again import TODAY, Following, pair, specimen
from tests.story import Story

OWN = st.builds(
    Check,
    id=st.sampled_from(["ports_clear", *(f"own_{n}" for n in range(6))]),
    stage=st.just("prepare"),
    do=st.just("Look"),
    rank=st.sampled_from(get_args(Rank)),
    stands=st.sampled_from(["never", "specimen", "product"]),
)
KINDS = st.sampled_from(get_args(Kind))
CHANGES = {
    "again": Changes(),
    "next_alignment": Changes(opening=q(0.5, "in")),
    "new_specimen": Changes(specimen=specimen("D-9", "D-1042")),
}


@cache
def _prepared() -> Story:
    return Story(pair()).settle()


def prepared(own: list[Check], waived: set[str]) -> Session:
    """A test with a plant's own checks, each confirmed or waived, and given up."""
    opening = _prepared().records[0].fact
    assert opening.kind == "session_opened"
    pinned = tuple(c for c in opening.checks if c.id not in {o.id for o in own})
    planned = opening.plan.model_copy(update={"check": tuple(own)})
    story = Following(
        opening.model_copy(update={"plan": planned, "checks": (*pinned, *own)}), _prepared()
    )
    for check in own:
        if check.id in waived and check.rank != "safety":
            story.ask(Waive(check.id, "for the test"))
        else:
            story.ask(Confirm(check.id))
    story.ask(Abandon("enough"))
    return story.session


@settings(max_examples=40)
@given(
    own=st.lists(OWN, max_size=6, unique_by=lambda check: check.id),
    waived=st.sets(st.sampled_from([f"own_{n}" for n in range(6)])),
    kind=KINDS,
)
def test_only_what_may_stand_is_carried(own: list[Check], waived: set[str], kind: Kind) -> None:
    session = prepared(own, waived)
    found = repeat(kind, "a-1", session, TODAY, CHANGES[kind])
    asked = {check.id: check for check in found.checks}
    allowed = {"product"} if kind == "new_specimen" else {"product", "specimen"}
    for carried in found.carried:
        check = asked[carried.check]
        assert check.rank != "safety"
        assert check.id != "ports_clear"
        assert check.stands in allowed
        assert not (check.id in waived and check.id.startswith("own"))
        assert session.records[carried.seq - 1].by == carried.by
    expected = {
        check.id
        for check in own
        if check.rank != "safety" and check.stands in allowed and check.id != "ports_clear"
        and check.id not in waived
    }  # fmt: skip
    assert expected <= {carried.check for carried in found.carried}


@settings(max_examples=20)
@given(kinds=st.lists(KINDS, min_size=2, max_size=4))
def test_repeating_a_repeat_adds_nothing_that_was_not_found(kinds: list[Kind]) -> None:
    session = prepared([], set())
    found = None
    story: Story = _prepared()
    for number, kind in enumerate(kinds):
        alignment = session.plan.procedure.alignment
        wanted = CHANGES[kind] if alignment == "straight" or kind == "new_specimen" else Changes()
        before = found
        found = repeat(kind, f"a-{number}", session, TODAY, wanted)
        story = Following(found.opening(), story)
        story.ask(Abandon("enough"))
        session = story.session
        if before is not None:
            assert set(found.carried) <= set(before.carried)
