"""However a replay is moved: what it shows is the fold up to there, and nothing later."""

from __future__ import annotations

from functools import cache

from hypothesis import given
from hypothesis import strategies as st

from engine.asking.commands import Reopen
from engine.clock import Stamp
from engine.facts import Record
from engine.session import Session, fold
from tests.story import START, Story
from tui.idle import Busy
from tui.player import Player
from tui.speeds import SPEEDS

PLACES = st.integers(-5, 200)


@cache
def eventful() -> tuple[Record, ...]:
    """A test with strikes, late readings, a drip, a stage reopened, and a night in it."""
    story = Story().to("hold").raise_to()
    wrong = story.read(31.5)
    story.pass_time(60).read(13.5)
    story.strike(wrong)
    story.pass_time(86_400).read(13.5)
    story.read(13.25, ago=30.0)
    story.see("primary", "drip", 4.0)
    story.release()
    story.zero()
    story.ask(Reopen("seal", "the gasket leaked"))
    story.to("hold").raise_to().hold().go_on().end()
    return tuple(story.records)


@cache
def prefixes() -> tuple[Session, ...]:
    return tuple(fold(eventful()[:n]) for n in range(len(eventful()) + 1))


class Real:
    def __init__(self) -> None:
        self.ticks = 0.0

    def __call__(self) -> Stamp:
        return Stamp(START, "boot-9", self.ticks)


def test_every_prefix_is_the_fold_up_to_there_both_ways() -> None:
    player = Player("one", eventful(), Real())
    for seq in [*range(1, len(eventful()) + 1), *range(len(eventful()), 0, -1)]:
        player.to_record(seq)
        assert player.session == prefixes()[seq]
        assert player.now() == prefixes()[seq].t


MOVES = st.one_of(
    st.tuples(st.just("step"), st.integers(-4, 4)),
    st.tuples(st.just("to_record"), PLACES),
    st.tuples(st.just("to_time"), st.floats(-100, 200_000)),
    st.tuples(st.just("to_stage"), st.sampled_from([-1, 1])),
    st.tuples(st.just("to_seen"), st.sampled_from([-1, 1])),
    st.tuples(st.just("play"), st.floats(0, 400)),
    st.tuples(st.just("faster"), st.integers(-8, 8)),
)


@given(st.lists(MOVES, max_size=25), st.none() | st.integers(2, 60))
def test_it_shows_the_fold_at_its_moment_and_nothing_past_a_halt(
    moves: list[tuple[str, float]], halt: int | None
) -> None:
    real = Real()
    player = Player("one", eventful(), real)
    player.halt = halt
    for move, value in moves:
        if move == "play":
            player.toggle()
            real.ticks += value
            player.refresh()
        else:
            getattr(player, move)(value)
        seq, times = player.seq, player.times
        assert player.session == prefixes()[seq]
        assert times[seq - 1] <= player.now()
        assert seq == len(times) or player.now() <= times[seq]
        assert halt is None or seq < halt
        assert player.speed in SPEEDS


@given(st.lists(st.floats(0, 90_000), min_size=1, max_size=40), st.floats(0, 100_000))
def test_busy_time_never_runs_back_and_leaves_out_no_record(gaps: list[float], t: float) -> None:
    times = [sum(gaps[:n]) for n in range(len(gaps))]
    busy = Busy(times)
    at = [busy.of(each) for each in times]
    assert at == sorted(at)
    assert busy.of(t) <= busy.of(t + 1.0) <= busy.whole + 1e-6
    assert abs(busy.of(busy.moment(busy.of(t))) - busy.of(t)) < 1e-6
