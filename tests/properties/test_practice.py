"""Laws of the practice joint, whatever is done to it."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.practice import FAULTS, Deed, Leak, Setup, observe
from engine.practice import _course as course
from engine.practice.ring import Ring
from engine.practice.setup import What

_SHARES = st.sampled_from([0.0, 0.01, 0.3, 1.0])
_DEEDS = st.lists(
    st.builds(
        Deed,
        t=st.floats(0.0, 1500.0).map(lambda t: round(t, 1)),
        what=st.sampled_from(["inlet", "vent", "vent", "inlet", *get_args(What)]),
        share=_SHARES,
        value=st.sampled_from([0.0, 2.0, 30.0, 60.0]),
    ),
    max_size=8,
)
_FILLED = [
    Deed(1.0, "vent", 1.0), Deed(1.0, "inlet", 0.7), Deed(120.0, "inlet"), Deed(121.0, "vent"),
]  # fmt: skip
_SETUPS = st.builds(
    Setup,
    seed=st.integers(0, 50),
    fault=st.sampled_from(list(FAULTS)),
    shape=st.sampled_from(["circle", "box"]),
)


@given(_SETUPS, _DEEDS, st.floats(0.0, 2000.0))
@settings(max_examples=60, deadline=None)
def test_water_is_neither_made_nor_lost(setup: Setup, deeds: list[Deed], t: float) -> None:
    account = observe(setup, _FILLED + deeds, t).account
    assert abs(account.poured - sum(account[1:])) < 1e-6 * max(1.0, account.poured)
    assert min(account) > -1e-6


@given(_SETUPS, _DEEDS, st.floats(0.0, 2000.0), st.floats(0.0, 2000.0))
@settings(max_examples=40, deadline=None)
def test_later_deeds_and_looks_do_not_change_the_past(
    setup: Setup, deeds: list[Deed], t: float, later: float
) -> None:
    known = [deed for deed in _FILLED + deeds if deed.t <= t]
    before = observe(setup, known, t)
    observe(setup, _FILLED + deeds, later)
    assert observe(setup, _FILLED + deeds, t) == before
    course.cache_clear()
    assert observe(setup, _FILLED + deeds, t) == before


@given(_SETUPS, _DEEDS)
@settings(max_examples=40, deadline=None)
def test_what_is_seen_is_possible(setup: Setup, deeds: list[Deed]) -> None:
    for t in (0.0, 60.0, 119.0, 300.0, 1600.0):
        seen = observe(setup, _FILLED + deeds, t)
        assert 0.0 <= seen.dial <= setup.gauge_top
        assert -5.1 < seen.at_crown < 400.0
        assert 0.0 <= seen.air_share < 1.3
        assert seen.vent_rate >= 0.0
        assert all(0.0 < wet.clock <= 12.0 for wet in seen.leaks)


@given(st.floats(0.1, 5.0), st.floats(0.5, 11.5), st.floats(60.0, 600.0))
@settings(max_examples=25, deadline=None)
def test_a_greater_leak_leaves_less_pressure(flow: float, clock: float, after: float) -> None:
    tight = Setup(absorption=0.0, leaks=(Leak("primary", clock, flow),))
    worse = replace(tight, leaks=(Leak("primary", clock, 1.5 * flow),))
    raised = [*_FILLED, Deed(130.0, "top_up", value=12.0)]
    left, kept = (observe(setup, raised, 130.0 + after).at_crown for setup in (worse, tight))
    assert left < kept or left == kept < 0.0


@given(st.sampled_from(["circle", "box"]), st.floats(0.0, 1.0))
def test_level_and_share_are_each_others_inverse(shape: str, share: float) -> None:
    ring = Ring("box" if shape == "box" else "circle", 60.0, 48.0 if shape == "box" else 60.0, 0.5)
    assert abs(ring.share_below(ring.level(share)) - share) < 1e-9
