"""The demonstration as a course: a technician who goes on by himself on the practice joint."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from engine.asking.commands import Command
from engine.session import Session
from tui.outside import Outside
from tui.verbs.demo import moves, opened

_EVERY: Final = 0.45
"""Seconds of life between two moves."""


class Demo:
    """Each refresh may make one move; what is typed meanwhile is written down as well."""

    label = "DEMO"
    writable = True

    def __init__(self, outside: Outside) -> None:
        self._recorder, self._clock = opened(outside)
        self._moves: Iterator[int] = moves(self._recorder, self._clock)
        self._real = outside.clock
        self._moved_at = self._real().ticks

    @property
    def name(self) -> str:
        return self._recorder.name

    @property
    def session(self) -> Session:
        return self._recorder.session

    def now(self) -> float:
        return self._recorder.now()

    def ask(self, command: Command) -> Session:
        return self._recorder.ask(command)

    def refresh(self) -> bool:
        if self._real().ticks - self._moved_at < _EVERY:
            return False
        self._moved_at = self._real().ticks
        return next(self._moves, None) is not None

    def close(self) -> None:
        self._recorder.close()
