"""The terminal the other tests look through shows what a program really does on one."""

from __future__ import annotations

import signal
import sys

import pytest

from tests.screen import Screen
from tests.terminal import Terminal

ECHO = "while read line; do echo got $line; done"


def test_keys_go_in_and_the_screen_comes_out() -> None:
    with Terminal("sh", "-c", ECHO) as terminal:
        terminal.press("1", "3", ".", "2", "enter").wait_for("got 13.2")


def test_a_program_has_the_terminal_as_its_own_and_at_its_size() -> None:
    with Terminal("sh", "-c", "stty size < /dev/tty; read _", columns=100, rows=30) as terminal:
        terminal.wait_for("30 100")


def test_a_text_that_never_comes_is_told_with_the_screen() -> None:
    with (
        Terminal("sh", "-c", "echo here; read _") as terminal,
        pytest.raises(AssertionError, match=r"'elsewhere'(.|\n)*here"),
    ):
        terminal.wait_for("here")
        terminal.wait_for("elsewhere", timeout=0.05)


def test_waiting_ends_when_the_program_does() -> None:
    with (
        Terminal("sh", "-c", "echo over") as terminal,
        pytest.raises(AssertionError, match="the program ended"),
    ):
        terminal.wait_for("elsewhere", timeout=60)


def test_exit_status_and_signal_are_told_apart() -> None:
    with Terminal("sh", "-c", "exit 3") as terminal:
        assert terminal.ended() == 3
    with Terminal("sh", "-c", "echo up; read _") as terminal:
        terminal.wait_for("up")
        terminal.send(signal.SIGTERM)
        assert terminal.ended() == -signal.SIGTERM


def test_hanging_up_ends_a_program_that_takes_no_care() -> None:
    with Terminal("sh", "-c", "echo up; read _") as terminal:
        terminal.wait_for("up")
        terminal.hang_up()
        assert terminal.ended() == -signal.SIGHUP


def test_a_stalled_link_holds_a_program_up_until_it_moves_again() -> None:
    flood = "print('up', flush=True); input(); print('x' * 500_000); print('done')"
    with Terminal(sys.executable, "-c", flood) as terminal:
        terminal.wait_for("up")
        terminal.stall()
        terminal.press("enter")
        assert terminal.ended(0.3) is None
        terminal.resume()
        terminal.wait_for("done")
        assert terminal.received > 500_000


def test_what_a_screen_does_not_know_it_does_not_print() -> None:
    screen = Screen(20, 2)
    for byte in b"\x1b[>13ua\x1b[?2026$pb\x1b[<u\x1b[2 qc\x1b[>4;1md":
        screen.show(bytes([byte]))
    assert screen.picture()[0] == "abcd"


def test_leaving_the_alternate_screen_brings_the_ordinary_one_back() -> None:
    screen = Screen(20, 2)
    screen.show(b"shell\x1b[?1049h\x1b[Hprogram")
    assert screen.alternate
    assert screen.picture()[0] == "program"
    screen.show(b"\x1b[?1049l")
    assert screen.picture()[0] == "shell"
