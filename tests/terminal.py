"""A program driven on a terminal of its own, as a person would: keys in, screen out.

    with Terminal("holdwater", "demo") as terminal:
        terminal.wait_for("Hold")
        terminal.press("1", "3", ".", "2", "enter")
        terminal.wait_for("13.2 psi")

A thread reads all the time, so a program is never held up by a test that is busy elsewhere,
unless the test asks for just that with `stall()`.
"""

from __future__ import annotations

import os
import select
import signal
import subprocess
import sys
import termios
import threading
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from types import TracebackType
from typing import Final, Self

from tests.keys import ESCAPE, sent
from tests.screen import Screen

__all__ = ["ROOT", "Terminal", "surroundings"]

ROOT: Final = Path(__file__).resolve().parent.parent
_OURS: Final = ("TERM", "COLORTERM", "NO_COLOR", "COLUMNS", "LINES", "TMUX", "TMUX_PANE")
_OUR_FAMILIES: Final = ("TEXTUAL", "HOLDWATER", "SSH_", "LC_")
# A session leader gets its controlling terminal by opening one, so no fork of ours is needed.
_TAKE_TERMINAL: Final = 'exec "$@" <>"$0" >&0 2>&0'
_LONE_ESCAPE: Final = 0.15  # seconds of silence that make ESC a key and not the start of one


class Terminal:
    """A program on a pseudo-terminal, with the screen it draws."""

    def __init__(
        self,
        *command: str,
        columns: int = 80,
        rows: int = 24,
        env: Mapping[str, str] | None = None,
        cwd: Path | None = None,
    ) -> None:
        """The command runs; `env` is laid over plain surroundings: 256 colours, C.UTF-8."""
        self.received = 0
        self.raw = bytearray()
        self._screen = Screen(columns, rows)
        self._drawn = threading.Condition()
        self._over = False
        self._latest = 0.0
        self._master, slave = os.openpty()
        termios.tcsetwinsize(slave, (rows, columns))
        self.started = time.monotonic()
        self._process = subprocess.Popen(
            ["/bin/sh", "-c", _TAKE_TERMINAL, os.ttyname(slave), *command],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env={**surroundings(), **(env or {})},
            cwd=cwd,
            start_new_session=True,
        )
        os.close(slave)
        self._wake_read, self._wake_write = os.pipe()
        self._stop = threading.Event()
        self._reader = self._start_reading()

    @classmethod
    def python(cls, *arguments: str, env: Mapping[str, str] | None = None) -> Self:
        """The same, for this Python: `Terminal.python("-m", "tui")`."""
        return cls(sys.executable, *arguments, env=env)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        self.close()

    # What is seen ---------------------------------------------------------------------------

    def lines(self) -> list[str]:
        """The rows of the screen, without the blanks at their ends."""
        with self._drawn:
            return self._screen.picture()

    @property
    def text(self) -> str:
        return "\n".join(self.lines())

    def __contains__(self, text: str) -> bool:
        return text in self.text

    @property
    def restored(self) -> bool:
        """The ordinary screen is back, the cursor with it, and what is typed is echoed by line."""
        local: int = termios.tcgetattr(self._master)[3]
        cooked = bool(local & termios.ECHO and local & termios.ICANON)
        with self._drawn:
            return cooked and not self._screen.alternate and self._screen.cursor_shown

    # Waiting --------------------------------------------------------------------------------

    def wait_for(self, *texts: str, timeout: float = 5.0) -> float:
        """Every text is on the screen at once.  Returns seconds from start to those bytes."""
        return self.wait(
            lambda lines: all(text in "\n".join(lines) for text in texts),
            timeout,
            "to see " + " and ".join(map(repr, texts)),
        )

    def wait_gone(self, text: str, timeout: float = 5.0) -> float:
        """The text has left the screen."""
        return self.wait(lambda lines: text not in "\n".join(lines), timeout, f"{text!r} to go")

    def wait(
        self, met: Callable[[list[str]], bool], timeout: float = 5.0, what: str = "the screen"
    ) -> float:
        """The rows satisfy `met`; else AssertionError with the screen as it was."""
        until = time.monotonic() + timeout
        with self._drawn:
            while not met(self._screen.picture()):
                left = until - time.monotonic()
                if self._over or left <= 0 or not self._drawn.wait(left):
                    if met(self._screen.picture()):
                        break
                    raise AssertionError(self._complaint(what, timeout))
            return self._latest - self.started

    def settle(self, quiet: float = 0.1, timeout: float = 5.0) -> Self:
        """Nothing has been received for `quiet` seconds: the picture is whole."""
        until = time.monotonic() + timeout
        with self._drawn:
            while self._drawn.wait(quiet):
                if time.monotonic() > until:
                    raise AssertionError(self._complaint("quiet", timeout))
        return self

    def count(self, seconds: float) -> int:
        """Bytes received in the coming seconds."""
        before, until = self.received, time.monotonic() + seconds
        with self._drawn:
            while (left := until - time.monotonic()) > 0:
                self._drawn.wait(left)
        return self.received - before

    # What a hand does -----------------------------------------------------------------------

    def press(self, *keys: str) -> Self:
        """Send keys by name (`enter`, `f1`, `ctrl+q`, `up`) or as single characters."""
        for key in keys:
            data = sent(key)
            os.write(self._master, data)
            if data == ESCAPE:
                self.count(_LONE_ESCAPE)
        return self

    def type(self, text: str) -> Self:
        """Send the characters of a text."""
        os.write(self._master, text.encode())
        return self

    def resize(self, columns: int, rows: int) -> Self:
        """The window has another size, and the program is told."""
        with self._drawn:
            self._screen.resize(rows, columns)
        termios.tcsetwinsize(self._master, (rows, columns))
        return self

    # What a link does -----------------------------------------------------------------------

    def stall(self) -> None:
        """Nothing is read any more: the program's writes come to a stop when buffers are full."""
        self._stop.set()
        os.write(self._wake_write, b".")
        self._reader.join()

    def resume(self) -> None:
        """The link moves again."""
        self._stop.clear()
        self._reader = self._start_reading()

    def hang_up(self) -> None:
        """The terminal is gone, as when a connection drops."""
        if self._master >= 0:
            self.stall()
            for descriptor in (self._master, self._wake_read, self._wake_write):
                os.close(descriptor)
            self._master = -1

    def close(self, grace: float = 5.0) -> int | None:
        """Terminal gone and program ended, killed if need be.  Returns its exit status."""
        self.hang_up()
        if self.ended(grace) is None:
            self._process.kill()
        return self._process.wait()

    # The process ----------------------------------------------------------------------------

    @property
    def pid(self) -> int:
        return self._process.pid

    def send(self, number: signal.Signals) -> None:
        """Send a signal to the program."""
        self._process.send_signal(number)

    def ended(self, timeout: float = 5.0) -> int | None:
        """Exit status once the program has ended (negative: the signal), None if it has not."""
        try:
            return self._process.wait(timeout)
        except subprocess.TimeoutExpired:
            return None

    def processor(self) -> float:
        """Seconds of processor time the program has used so far (Linux)."""
        fields = Path(f"/proc/{self.pid}/stat").read_text().rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    # Reading --------------------------------------------------------------------------------

    def _start_reading(self) -> threading.Thread:
        reader = threading.Thread(target=self._read, daemon=True, name="terminal")
        reader.start()
        return reader

    def _read(self) -> None:
        while not self._stop.is_set():
            ready, _, _ = select.select([self._master, self._wake_read], [], [])
            if self._wake_read in ready:
                os.read(self._wake_read, 1)
                continue
            try:
                data = os.read(self._master, 65536)
            except OSError:  # EIO: the last holder of the other end has closed it
                data = b""
            self._take(data)
            if not data:
                return

    def _take(self, data: bytes) -> None:
        with self._drawn:
            self._latest = time.monotonic()
            self._over = not data
            self.received += len(data)
            self.raw += data
            self._screen.show(data)
            self._drawn.notify_all()

    def _complaint(self, what: str, timeout: float) -> str:
        state = "the program ended" if self._over else f"waited {timeout:g} s"
        picture = "\n".join(f"| {line}" for line in self._screen.picture())
        return f"{state}, waiting for {what}; the screen is:\n{picture}"


def surroundings() -> dict[str, str]:
    """This environment without what would change a screen, on a 256-colour terminal."""
    kept = {
        name: value
        for name, value in os.environ.items()
        if name not in _OURS and not name.startswith(_OUR_FAMILIES)
    }
    path = os.pathsep.join(filter(None, [str(ROOT), os.environ.get("PYTHONPATH")]))
    return {**kept, "TERM": "xterm-256color", "LANG": "C.UTF-8", "PYTHONPATH": path}
