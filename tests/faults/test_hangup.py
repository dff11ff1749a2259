"""However its terminal ends, the program ends with it.  `python -m tests.faults.test_hangup` is
the long form: every case twenty times."""

from __future__ import annotations

import signal
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.terminal import Terminal

PROGRAM = (sys.executable, "-m", "tests.faults.drawing")
HARD = {128 + signal.SIGHUP, 128 + signal.SIGTERM}  # politeness did not come through in time


def test_a_dropped_terminal_ends_it(tmp_path: Path) -> None:
    with started(tmp_path, "idle") as terminal:
        terminal.hang_up()
        assert terminal.ended() is not None


def test_a_terminal_that_drops_while_it_draws_ends_it(tmp_path: Path) -> None:
    with started(tmp_path) as terminal:
        terminal.hang_up()
        assert terminal.ended() is not None


def test_a_terminal_that_stalled_before_it_dropped_ends_it(tmp_path: Path) -> None:
    with started(tmp_path) as terminal:
        stall_until_blocked(terminal, tmp_path)
        terminal.hang_up()
        assert terminal.ended() is not None


def test_a_stalled_terminal_does_not_keep_it_from_ending_when_told(tmp_path: Path) -> None:
    with started(tmp_path) as terminal:
        stall_until_blocked(terminal, tmp_path)
        terminal.send(signal.SIGTERM)
        assert terminal.ended() in HARD


def test_told_to_end_it_leaves_an_ordinary_terminal(tmp_path: Path) -> None:
    with started(tmp_path) as terminal:
        terminal.send(signal.SIGTERM)
        assert terminal.ended() == 0
        assert terminal.settle().restored


def test_a_stuck_program_told_to_end_leaves_an_ordinary_terminal_too(tmp_path: Path) -> None:
    with started(tmp_path, "stuck") as terminal:
        terminal.settle(0.2)
        terminal.send(signal.SIGTERM)
        assert terminal.ended() in HARD
        assert terminal.settle().restored


def test_a_shell_that_ignores_hanging_up_does_not_keep_it_alive(tmp_path: Path) -> None:
    with started(tmp_path, "idle", before="trap '' HUP; exec") as terminal:
        terminal.hang_up()
        assert terminal.ended() is not None


def test_no_signal_is_needed_when_the_terminal_goes(tmp_path: Path) -> None:
    # Neither leader nor foreground of the terminal's session, so nobody sends it a hang-up.
    with started(tmp_path, "idle", before="trap '' HUP; setsid") as terminal:
        pid = int(beats(tmp_path).read_text().split()[0])
        assert pid != terminal.pid
        terminal.hang_up()
        terminal.ended()
        assert gone(pid)


def started(folder: Path, *manner: str, before: str = "exec") -> Terminal:
    """The drawing program, after its first frame."""
    beats(folder).unlink(missing_ok=True)
    command = (*PROGRAM, str(beats(folder)), *manner)
    terminal = Terminal("sh", "-c", f'{before} "$@"', "sh", *command)
    terminal.wait_for("drawing", timeout=15)
    return terminal


def beats(folder: Path) -> Path:
    return folder / "beats"


def stall_until_blocked(terminal: Terminal, folder: Path) -> None:
    """Nothing reads, every buffer is full, and the program's loop stands still."""
    terminal.stall()
    before, now = -1, beats(folder).stat().st_size
    while before != now:
        assert terminal.ended(0.25) is None
        before, now = now, beats(folder).stat().st_size


def gone(pid: int, timeout: float = 5.0) -> bool:
    """The process has ended, or does within the timeout."""
    until = time.monotonic() + timeout
    while time.monotonic() < until:
        state = Path(f"/proc/{pid}/stat")
        try:
            if state.read_text().rpartition(")")[2].split()[0] == "Z":
                return True
        except (FileNotFoundError, ProcessLookupError):
            return True
    return False


CASES: list[Callable[[Path], None]] = [
    case for name, case in list(globals().items()) if name.startswith("test_")
]


def many(times: int) -> None:
    """Every case that often; one line each."""
    for case in CASES:
        start = time.monotonic()
        for _ in range(times):
            with tempfile.TemporaryDirectory() as folder:
                case(Path(folder))
        took = (time.monotonic() - start) / times
        sys.stdout.write(f"{times} of {times}  {took:5.2f} s each  {case.__name__}\n")


if __name__ == "__main__":
    many(int(sys.argv[1]) if sys.argv[1:] else 20)
