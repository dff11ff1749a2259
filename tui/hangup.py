"""How the program ends when its terminal does: politely if it can, hard if it cannot, always.

A signal handler runs between two steps of the main thread, and never runs at all while that thread
waits for a terminal that has stopped reading.  So HUP and TERM are blocked in every thread and
taken by one that does nothing but wait for them.
"""

from __future__ import annotations

import os
import select
import signal
import sys
import termios
import threading
from collections.abc import Callable
from typing import Any, Final

__all__ = ["take"]

_TAKEN: Final = (signal.SIGHUP, signal.SIGTERM)
_LAST_RESORT: Final = 1.0  # seconds after a hard exit was due, the kernel ends the process itself
# Bracketed paste, focus reports, keyboard protocol and alternate screen off; wrap and cursor on.
_RESTORE: Final = b"\x1b[?2004l\x1b[?1004l\x1b[<u\x1b[?1049l\x1b[?7h\x1b[?25h"


def take(polite: Callable[[], object], grace: float = 2.0) -> None:
    """From now on HUP, TERM or the loss of the terminal ends this process.

    `polite` is called once, in a thread of its own, so it must be safe there (for a Textual app:
    `lambda: app.call_from_thread(app.exit)`).  If the process still lives `grace` seconds later,
    or `polite` raises, it exits at once with 128 + the signal's number.

    Call it in the main thread before any other thread is started: threads inherit what is blocked.
    A child process inherits it too, unless it is started with the signals unblocked.
    """
    signal.pthread_sigmask(signal.SIG_BLOCK, _TAKEN)
    for number in _TAKEN:
        signal.signal(number, signal.SIG_DFL)  # an ignored signal is dropped, blocked or not
    signal.signal(signal.SIGALRM, signal.SIG_DFL)
    before = _terminal_settings()
    _start("hangup", lambda: _leave(signal.sigwait(_TAKEN), polite, grace, before))
    _start("terminal gone", _report_loss)


def _leave(number: int, polite: Callable[[], object], grace: float, before: list[Any]) -> None:
    """The process ends: under this sleep if `polite` worked, else after it."""
    # Threads stop while the interpreter shuts down; if that hangs, only the kernel is left.
    signal.setitimer(signal.ITIMER_REAL, grace + _LAST_RESORT)
    failed = threading.Event()

    def ask() -> None:
        try:
            polite()
        except Exception:  # whatever it is: nobody is left to tell, and leaving is what counts
            failed.set()

    _start("polite exit", ask)
    failed.wait(grace)
    _restore(before)
    os._exit(128 + number)


def _report_loss() -> None:
    """A hang-up of the input, told as HUP: it may come without one, after nohup or setsid."""
    watch = select.poll()
    watch.register(0, 0)  # asks for no data, so nothing typed is taken; a hang-up always reports
    watch.poll()
    os.kill(os.getpid(), signal.SIGHUP)


def _terminal_settings() -> list[Any]:
    return termios.tcgetattr(0) if sys.stdin is not None and sys.stdin.isatty() else []


def _restore(before: list[Any]) -> None:
    """The terminal is ordinary again, if it still takes anything; never waits for it."""
    if not before:
        return
    try:
        termios.tcsetattr(0, termios.TCSANOW, before)
        if select.select([], [2], [], 0)[1]:
            os.write(2, _RESTORE)
    except (OSError, termios.error):
        pass  # gone: nothing to restore


def _start(name: str, target: Callable[[], object]) -> None:
    threading.Thread(target=target, name=name, daemon=True).start()
