"""The clock of the practice joint: it runs as fast as asked, and stands still when left."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from engine.clock import Stamp

BOOT = "practice"
"""A start of a machine that is nobody's: practice time never mixes with the real one."""


class PracticeClock:
    """Stamps from the last record on, `speed` times as fast as the real clock, plus what was
    skipped by hand."""

    def __init__(self, real: Callable[[], Stamp], last: Stamp | None, speed: float = 1.0) -> None:
        self._real = real
        start = real()
        self._base = last or Stamp(start.wall, BOOT, 0.0)
        self._since = start.ticks
        self._speed = speed
        self._gone = 0.0

    def __call__(self) -> Stamp:
        gone = self._elapsed()
        return Stamp(self._base.wall + timedelta(seconds=gone), BOOT, self._base.ticks + gone)

    @property
    def speed(self) -> float:
        return self._speed

    def run_at(self, speed: float) -> None:
        """From now on; 0 stands still."""
        self._gone = self._elapsed()
        self._since = self._real().ticks
        self._speed = speed

    def skip(self, seconds: float) -> None:
        """Time passes at once."""
        self._gone += seconds

    def _elapsed(self) -> float:
        return self._gone + max(0.0, self._real().ticks - self._since) * self._speed
