"""Through a real SSH server: what a dropped, a killed and a silent link leave behind."""

from __future__ import annotations

import shlex
import signal
import sys
from pathlib import Path

from store.shelf import Shelf
from tests.conducting import BY, Hand
from tests.faults.conftest import Bench
from tests.faults.test_multiplexer import AFTER_PREFIX
from tests.faults.test_resume import resumed, same_second, session_of, stalled
from tests.keys import sent
from tests.sshd import Sshd
from tests.terminal import Terminal

KEYS = f"{sys.executable} -m tests.faults.keys_seen"
DRAWING = f"{sys.executable} -m tests.faults.drawing"
START = 15.0  # seconds a connection and the program may take


def test_whatever_the_client_asks_for_the_bench_program_runs() -> None:
    with Sshd(KEYS) as server, server.connect(command="/bin/sh") as terminal:
        terminal.wait_for("ready", timeout=START)
        terminal.type("exit 7").press("enter").wait_for("seen")
        terminal.press("ctrl+q")
        assert terminal.ended() == 0
        assert server.all_gone()


def test_a_closed_laptop_ends_the_program(tmp_path: Path) -> None:
    with Sshd(f"{DRAWING} {tmp_path / 'beats'}") as server, server.connect() as terminal:
        terminal.wait_for("drawing", timeout=START)
        assert server.running()
        terminal.hang_up()
        assert server.all_gone()


def test_a_client_killed_in_the_middle_of_a_picture_ends_the_program(tmp_path: Path) -> None:
    with Sshd(f"{DRAWING} {tmp_path / 'beats'}") as server, server.connect() as terminal:
        terminal.wait_for("drawing", timeout=START)
        terminal.send(signal.SIGKILL)
        assert server.all_gone()


def test_a_link_gone_silent_ends_the_program_when_the_server_gives_up(tmp_path: Path) -> None:
    program = f"{DRAWING} {tmp_path / 'beats'} idle"
    with Sshd(program, alive=1) as server, server.connect() as terminal:
        terminal.wait_for("drawing", timeout=START)
        terminal.send(signal.SIGSTOP)
        assert server.all_gone(timeout=30)
        terminal.send(signal.SIGKILL)


def test_in_the_bench_terminal_the_program_outlives_the_link(bench: Bench) -> None:
    with Sshd(shlex.join(bench.command(KEYS)), env=bench.env) as server:
        with server.connect() as first:
            first.wait_for("ready", timeout=START)
            first.press("a", "b", "c").wait_for("seen 3 bytes")
            before = first.lines()
            first.send(signal.SIGKILL)
        assert server.running()
        with server.connect() as second:
            second.wait_for("seen 3 bytes", timeout=START)
            assert second.lines() == before  # the number of the process is among them
            second.press("ctrl+q")
            assert second.ended() == 0
        assert server.all_gone()


def test_a_silent_link_holds_nobody_up_in_the_bench_terminal(bench: Bench, tmp_path: Path) -> None:
    beats = tmp_path / "beats"
    program = shlex.join(bench.command(f"{DRAWING} {beats}"))
    with Sshd(program, env=bench.env) as server, server.connect() as silent:
        silent.wait_for("drawing", timeout=START)
        silent.send(signal.SIGSTOP)
        with server.connect() as second:
            second.wait_for("drawing", timeout=START)
            before = beats.stat().st_size
            second.count(0.5)
            assert beats.stat().st_size > before
        silent.send(signal.SIGKILL)


# --- the program itself ------------------------------------------------------------------------


def program(store: Path) -> str:
    return shlex.join([sys.executable, "-m", "tui", "--store", str(store), "--by", BY])


def test_a_test_goes_on_over_a_new_link_and_a_third_watches(store: Path) -> None:
    with Sshd(program(store)) as server:
        with server.connect(command="/bin/sh") as first:
            resumed(first, store)
            Hand(first, store).reading("13.5")
            before = session_of(store)
            first.send(signal.SIGKILL)
            assert server.all_gone()
        with server.connect() as second:
            resumed(second, store)
            assert session_of(store) == before
            same_second(second, before, "a new link")
            with server.connect() as third:
                third.wait_for("1 going on", timeout=START)
                third.press("enter").wait_for("w watch it")
                third.press("w").wait_for("WATCHING", timeout=START)
                Hand(second, store).reading("13.9")
                third.wait_for("Read 13.9 psi")
                third.press("q", "q")
                assert third.ended() == 0
            second.press("q", "q")
            assert second.ended() == 0
        assert server.all_gone()


def test_stalled_and_then_closed_it_leaves_no_process_and_a_whole_journal(store: Path) -> None:
    drop_stalled(store, times=2)


def drop_stalled(store: Path, times: int) -> None:
    """Without a bench terminal: screens drawn for nobody, then the link is cut."""
    with Sshd(program(store)) as server:
        for _ in range(times):
            with server.connect() as terminal:
                resumed(terminal, store)
                hand = Hand(terminal, store).reading("13.5")
                before = hand.session
                stalled(terminal)
                assert server.all_gone(timeout=30)
            assert session_of(store) == before
            assert Shelf(store).audit(Shelf(store).live()[0]).sound


def test_in_the_bench_terminal_a_stall_and_a_cut_stop_nothing(bench: Bench, store: Path) -> None:
    stall_and_cut(bench, store, seconds=2)


def stall_and_cut(bench: Bench, store: Path, seconds: float) -> None:
    """In the hold; then the same program is there, and shows the right second."""
    with Sshd(shlex.join(bench.command(program(store))), env=bench.env) as server:
        with server.connect() as first:
            resumed(first, store)
            Hand(first, store).reading("13.5")
            [running] = bench.programs()
            before = session_of(store)
            no_key_opens_anything(first, bench, running)
            first.type("13.").wait_for("Gauge reads [psi] 13.")
            first.send(signal.SIGSTOP)
            first.count(seconds)
            first.send(signal.SIGKILL)
        assert bench.programs() == [running]
        with server.connect() as second:
            second.wait_for("Gauge reads [psi] 13.", timeout=START)
            same_second(second, before, "re-attached")
            second.type("7\r").wait_for("Read 13.7 psi")
            assert session_of(store).seq == before.seq + 1
            second.press("q", "q")
            assert second.ended() == 0
        assert server.all_gone()


def no_key_opens_anything(terminal: Terminal, bench: Bench, running: str) -> None:
    """After what elsewhere is tmux's prefix, every key that elsewhere does something."""
    harmless = [key for key in AFTER_PREFIX if key not in ("enter", "ctrl+c", *"qQARDh")]
    for key in harmless:
        terminal.type((sent("ctrl+b") + sent(key)).decode())
    terminal.press("escape", "escape", "escape").settle()
    assert bench.programs() == [running]
    terminal.wait_for("[>]HOLD")
