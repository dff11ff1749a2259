"""In the bench terminal every key goes to the program, and none to a shell."""

from __future__ import annotations

import sys

from tests.faults.conftest import Bench
from tests.keys import sent
from tests.terminal import Terminal

KEYS = f"{sys.executable} -m tests.faults.keys_seen"

# What would detach, split, choose, copy, rename, kill, prompt or open a window elsewhere.
AFTER_PREFIX = (
    *'cd:%"&x!swn?~[]=-.,;$#()@DEfiLlMmopqrt0123456789{}<>/zC',
    *("space", "enter", "escape", "up", "down", "pageup", "delete", "f1", "tab"),
    *("ctrl+z", "ctrl+o", "ctrl+c", "ctrl+d", "ctrl+b"),
)


def test_no_key_after_a_prefix_does_anything_but_reach_the_program(bench: Bench) -> None:
    with bench.connect(KEYS) as terminal:
        terminal.wait_for("ready")
        number = 0
        for key in AFTER_PREFIX:
            pressed = sent("ctrl+b") + sent(key)
            number += len(pressed)
            terminal.type(pressed.decode()).wait_for(f"seen {number} bytes")
        assert bench.programs() == [number_of(terminal)]


def test_mouse_menus_open_nothing(bench: Bench) -> None:
    with bench.connect(KEYS) as terminal:
        terminal.wait_for("ready")
        for button in (0, 1, 2, 8, 16, 64, 65):
            terminal.type(f"\x1b[<{button};10;10M\x1b[<{button};10;10m")
        terminal.press("x").wait_for("seen")
        assert bench.programs() == [number_of(terminal)]


def test_not_one_key_is_bound(bench: Bench) -> None:
    with bench.connect(KEYS) as terminal:
        terminal.wait_for("ready")
        assert bench.ask("list-sessions", "-F", "#{session_name}") == "bench\n"
        assert bench.ask("list-keys") == ""


def test_when_the_program_ends_there_is_nothing_behind_it(bench: Bench) -> None:
    with bench.connect(KEYS) as terminal:
        terminal.wait_for("ready")
        assert len(bench.programs()) == 1
        terminal.press("ctrl+q")
        assert terminal.ended() == 0
        assert bench.programs() == []


def test_a_window_without_a_command_would_be_the_program_too(bench: Bench) -> None:
    program = bench.folder / "holdwater"
    program.write_text("#!/bin/sh\necho the program itself\nread _\n")
    program.chmod(0o755)
    with bench.connect(KEYS) as terminal:
        terminal.wait_for("ready")
        bench.ask("new-window")
        terminal.wait_for("the program itself")
        terminal.press("enter").wait_for("ready")


def test_the_program_outlives_its_terminal(bench: Bench) -> None:
    with bench.connect(KEYS) as terminal:
        terminal.wait_for("ready")
        number = number_of(terminal)
        terminal.hang_up()
        terminal.ended()
    assert bench.programs() == [number]
    with bench.connect(KEYS) as again:
        again.wait_for(f"ready as {number}.")


def number_of(terminal: Terminal) -> str:
    """The number of the process, as the program gave it when it came up."""
    return terminal.raw.decode().partition("ready as ")[2].partition(".")[0]
