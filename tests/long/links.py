"""Terminals and links that stall and drop, and a whole test over ssh."""

from __future__ import annotations

import shlex
import signal
import sys

from engine.judging.verdict import verdict
from store.shelf import Shelf
from tests.conducting import BY, Hand, holdwater, plan_file
from tests.faults import test_hangup, test_link, test_resume
from tests.faults.conftest import bench_terminal
from tests.long.counting import START, Long, Row, Rows
from tests.sshd import Sshd


def link(long: Long) -> Rows:
    times = long.times(20)
    for case in (
        test_hangup.test_a_terminal_that_stalled_before_it_dropped_ends_it,
        test_hangup.test_a_stuck_program_told_to_end_leaves_an_ordinary_terminal_too,
    ):
        for _ in range(times):
            case(long.fresh())
    yield Row("terminal stalls or program is stuck, then told to end", 2 * times, 0)
    store = long.store()
    for _ in range(times):
        with holdwater(store) as terminal:
            test_resume.resumed(terminal, store)
            Hand(terminal, store).reading("13.5")
            before = test_resume.session_of(store)
            test_resume.stalled(terminal)
            assert terminal.ended() is not None
        assert test_resume.session_of(store) == before
    yield Row("stalled, then closed, on a terminal", times, times)
    test_link.drop_stalled(long.store(), times)
    yield Row("stalled, then cut, through sshd", times, times)
    for seconds in (30.0,) if long.share >= 1 else (2.0,):
        with bench_terminal() as bench:
            test_link.stall_and_cut(bench, long.store(), seconds)
        yield Row(f"stalled {seconds:g} s in tmux, then cut", 1, 2)


def whole(long: Long) -> Rows:
    """From a plan file to the verdict over ssh, cut in the hold, resumed, watched by a third."""
    folder = long.fresh(long.folder)
    store, plan = folder / "store", plan_file(folder / "plan.toml", "30 s", "10 s", "60 s")
    program = [sys.executable, "-m", "tui", "--store", str(store), "--by", BY]
    begin = shlex.join([*program[:3], "start", str(plan), *program[3:]])
    with Sshd(begin) as server, server.connect() as first:
        first.wait_for("NOW", timeout=START)
        Hand(first, store).to_hold()
        before = test_resume.session_of(store)
        first.send(signal.SIGKILL)
        assert server.all_gone()
    with Sshd(shlex.join(program)) as server, server.connect() as second:
        test_resume.resumed(second, store)
        assert test_resume.session_of(store) == before
        hand = Hand(second, store, Shelf(store).live()[0])
        with server.connect() as third:
            third.wait_for("1 going on", timeout=START)
            third.press("enter").wait_for("w watch it")
            third.press("w").wait_for("WATCHING", timeout=START)
            hand.to_end()
            third.wait_for("This test is closed")
            second.press("q", "q")
            assert second.ended() == 0
        session = hand.session
    assert verdict(session).outcome == "pass", verdict(session)
    assert Shelf(store).sealed() == [hand.name] and Shelf(store).audit(hand.name).sound
    yield Row("a whole test over ssh, cut in the hold", 1, session.seq)
