"""Through a real SSH server: what a dropped, a killed and a silent link leave behind."""

from __future__ import annotations

import shlex
import signal
import sys
from pathlib import Path

from tests.faults.conftest import Bench
from tests.sshd import Sshd

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
