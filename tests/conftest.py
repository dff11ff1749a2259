"""What holds for all tests: when they are over, nothing that they started is left running."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator

import pytest

from tests.processes import all_gone, marked

# Under nohup, or in the background of a script, these may be ignored, and all that is started from
# here would inherit it; what is tried is how programs end from an ordinary terminal.
for _each in (signal.SIGHUP, signal.SIGQUIT, signal.SIGTERM):
    signal.signal(_each, signal.SIG_DFL)

MARK = f"STARTED_BY_TESTS={os.getpid()}"


@pytest.fixture(scope="session", autouse=True)
def nothing_is_left() -> Iterator[None]:
    """Every process started from here carries a mark in its environment (Linux)."""
    name, _, value = MARK.partition("=")
    os.environ[name] = value
    yield
    if sys.platform == "linux":
        assert all_gone(MARK, timeout=10), f"still running: {sorted(marked(MARK))}"
