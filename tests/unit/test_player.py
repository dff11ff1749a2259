"""A session gone through again: every moment as it was, both ways, and nothing ahead of time."""

from __future__ import annotations

import pytest

from engine.asking.commands import Refused, StartHold
from engine.clock import Stamp
from engine.session import fold
from engine.trouble import Trouble
from tests.story import START, Story
from tui.idle import IDLE, KEPT, Busy
from tui.player import Player, Remark
from tui.speeds import SPEEDS


class Real:
    """The clock on the wall, moved by hand."""

    def __init__(self) -> None:
        self.ticks = 50.0

    def __call__(self) -> Stamp:
        return Stamp(START, "boot-9", self.ticks)

    def go(self, seconds: float) -> None:
        self.ticks += seconds


def finished() -> Story:
    story = Story().to("hold").raise_to()
    story.read(13.5)
    story.pass_time(60).read(13.5)
    story.see("primary", "beads", 4.5)
    return story.hold().go_on().end()


def played(remarks: tuple[Remark, ...] = ()) -> tuple[Player, Real, Story]:
    real, story = Real(), finished()
    return Player("one", story.records, real, remarks), real, story


# --- what is shown --------------------------------------------------------------------------------


def test_at_each_record_it_is_the_fold_up_to_there() -> None:
    player, _, story = played()
    for seq in [*range(1, len(story.records) + 1), *range(len(story.records), 0, -1)]:
        player.to_record(seq)
        assert player.session == fold(story.records[:seq])
        assert player.now() == player.session.t


def test_nothing_is_written() -> None:
    player, _, story = played()
    with pytest.raises(Refused, match="read only"):
        player.ask(StartHold())
    assert not player.writable
    assert player.count == len(story.records)


def test_an_empty_session_is_said() -> None:
    with pytest.raises(Trouble, match="holds nothing"):
        Player("one", [], Real())


def test_practice_is_called_so() -> None:
    assert played()[0].label == "REPLAY"


# --- time -----------------------------------------------------------------------------------------


def test_it_stands_still_until_it_is_played() -> None:
    player, real, _ = played()
    real.go(1000)
    assert not player.refresh()
    assert player.now() == 0


def test_time_runs_as_fast_as_asked() -> None:
    player, real, story = played()
    reading = next(r.seq for r in story.records if r.fact.kind == "hold_started")
    player.to_record(reading)
    start = player.now()
    player.speed = 10.0
    player.toggle()
    real.go(3.5)
    player.refresh()
    assert player.now() == pytest.approx(start + 35.0)
    player.toggle()
    real.go(100)
    player.refresh()
    assert player.now() == pytest.approx(start + 35.0)


def test_speed_goes_from_half_to_sixty() -> None:
    player, _, _ = played()
    player.faster(-20)
    assert player.speed == SPEEDS[0] == 0.5
    player.faster(+20)
    assert player.speed == SPEEDS[-1] == 60.0


def test_played_through_it_ends_at_the_end_and_stands_there() -> None:
    player, real, story = played()
    player.speed = 60.0
    player.toggle()
    shown = [player.seq]
    while player.playing:
        real.go(0.5)
        player.refresh()
        shown.append(player.seq)
    assert shown == sorted(shown)
    assert player.at_end and player.session.closed
    assert player.now() == story.session.t
    player.toggle()
    assert player.seq == 1 and player.playing


def test_idle_stretches_are_cut_to_their_ends() -> None:
    busy = Busy([0.0, 10.0, 10.0 + 86_400.0, 86_470.0])
    assert busy.whole == 10.0 + 2 * KEPT + 60.0
    assert busy.of(10.0 + KEPT + 4000.0) == 10.0 + KEPT
    assert busy.moment(10.0 + KEPT + 0.5) == 86_410.0 - KEPT + 0.5
    assert IDLE > 120.0  # a reading a minute, and one left out, is not idle


def test_busy_time_and_back_is_the_same_moment() -> None:
    busy = Busy([0.0, 5.0, 5.0, 700.0, 760.0])
    for t in (0.0, 4.0, 5.0, 20.0, 690.0, 700.0, 744.0, 760.0):
        assert busy.moment(busy.of(t)) == pytest.approx(t)


# --- moving ---------------------------------------------------------------------------------------


def test_steps_go_both_ways_and_end_at_the_ends() -> None:
    player, _, story = played()
    player.step(-1)
    assert player.seq == 1
    player.step(+3)
    assert player.seq == 4
    player.step(-1)
    assert player.seq == 3
    player.step(10_000)
    assert player.seq == len(story.records)


def test_between_two_records_a_step_back_is_to_the_one_before() -> None:
    player, _, story = played()
    hold = next(r.seq for r in story.records if r.fact.kind == "hold_started")
    player.to_record(hold + 2)
    before = player.now()
    player.to_time(before + 20)
    player.step(-1)
    assert player.now() == before
    player.step(-1)
    assert player.now() <= before


def test_stages_are_jumped_to_both_ways() -> None:
    player, _, _ = played()
    begun = []
    for _ in range(6):
        begun.append(player.session.stage)
        player.to_stage(+1)
    assert begun == ["prepare", "seal", "fill", "vent", "hold", "verdict"]
    assert player.at_end
    for stage in ("verdict", "hold", "vent"):
        player.to_stage(-1)
        assert player.session.stage == stage


def test_sightings_and_verdicts_are_jumped_to() -> None:
    player, _, story = played()
    assert player.to_seen(+1)
    assert story.records[player.seq - 1].fact.kind == "sighted"
    assert player.to_seen(+1)
    assert story.records[player.seq - 1].fact.kind == "verdict_given"
    assert not player.to_seen(+1)
    assert player.to_seen(-1)
    assert story.records[player.seq - 1].fact.kind == "sighted"


# --- what must not be shown yet -------------------------------------------------------------------


def test_nothing_goes_past_a_halt() -> None:
    player, real, story = played()
    hold = next(r.seq for r in story.records if r.fact.kind == "hold_started")
    player.halt = hold
    assert player.count == hold - 1
    for move in (lambda: player.step(+500), lambda: player.to_time(1e9),
                 lambda: player.to_stage(+1), lambda: player.to_seen(+1),
                 lambda: player.to_record(hold)):  # fmt: skip
        player.to_record(1)
        for _ in range(20):
            move()
            assert player.session.hold is None
        assert player.halted
    assert player.now() == story.session.times[hold - 1]
    player.to_record(1)
    player.speed = 60.0
    player.toggle()
    while player.playing:
        real.go(1.0)
        player.refresh()
    assert player.halted and player.seq == hold - 1


# --- remarks --------------------------------------------------------------------------------------


def test_a_remark_is_shown_at_its_moment_and_stops_the_replay() -> None:
    hold = next(r.seq for r in finished().records if r.fact.kind == "hold_started")
    t = finished().session.times[hold] + 17.0
    remark = Remark(t, hold + 1, "T. Example", "watch the needle now")
    player, real, _ = played((remark,))
    player.to_record(hold)
    assert player.said() == ()
    player.speed = 10.0
    player.toggle()
    while player.playing:
        real.go(0.5)
        player.refresh()
    assert player.said() == (remark,)
    assert player.now() == t
    player.toggle()
    real.go(0.5)
    player.refresh()
    assert player.playing


def test_a_remark_is_kept_where_it_can_be() -> None:
    kept: list[Remark] = []
    real, story = Real(), finished()
    player = Player("one", story.records, real, keep=kept.append)
    player.to_record(5)
    player.remark("why so early", "T. Example")
    assert kept == player.remarks == [Remark(player.now(), 5, "T. Example", "why so early")]
    with pytest.raises(Trouble, match="import"):
        played()[0].remark("nowhere to keep it", "T. Example")
