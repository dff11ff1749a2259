"""The time of a session without its idle stretches: what a replay runs on, and draws along."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

IDLE: Final = 150.0
"""Seconds between two records beyond which the middle of the stretch is left out."""
KEPT: Final = 30.0
"""Seconds that stay at each end of it."""


class Busy:
    """Busy time, in seconds: the session's own, each idle stretch cut to its two ends."""

    def __init__(self, times: Sequence[float]) -> None:
        """`times`: when each record was written, in order."""
        self._times = list(times)
        self._at = [0.0]
        for a, b in pairwise(self._times):
            self._at.append(self._at[-1] + (b - a if b - a <= IDLE else 2 * KEPT))

    @property
    def whole(self) -> float:
        return self._at[-1]

    def of(self, t: float) -> float:
        """The busy time at a moment of the session; it stands still in what is left out."""
        place = self._place(self._times, t)
        start, gone = self._at[place], max(0.0, t - self._times[place])
        if place + 1 == len(self._times):
            return start
        gap = self._times[place + 1] - self._times[place]
        if gap <= IDLE:
            return start + gone
        return start + (min(gone, KEPT) if gone <= gap - KEPT else 2 * KEPT - (gap - gone))

    def moment(self, busy: float) -> float:
        """The moment of the session at a busy time; past what is left out where it falls in it."""
        place = self._place(self._at, busy)
        start, gone = self._times[place], max(0.0, busy - self._at[place])
        if place + 1 == len(self._times):
            return start
        gap = self._times[place + 1] - start
        if gap <= IDLE or gone <= KEPT:
            return start + gone
        return start + gap - (2 * KEPT - gone)

    @staticmethod
    def _place(of: list[float], value: float) -> int:
        return max(0, bisect_right(of, value) - 1)
