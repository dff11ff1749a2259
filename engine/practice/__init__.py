"""The practice joint: a seeded model of the pocket, a pure function of what was done to it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from functools import lru_cache

from engine.practice.faults import FAULTS, drawn, with_fault
from engine.practice.pocket import Pocket, pocket
from engine.practice.seen import seen
from engine.practice.setup import Account, Deed, Leak, Seen, Setup, Wet, setup_for
from engine.practice.state import State

__all__ = [
    "EDITION", "FAULTS", "Account", "Deed", "Leak", "Seen", "Setup", "Wet", "drawn", "observe",
    "setup_for",
]  # fmt: skip

EDITION = 1  # of the model: a session recorded under another shows its records only
_FIRST, _LONGEST = 0.05, 5.0  # s, the first step after a deed and the longest in the first hour
_STRIDE = 40  # deeds worked out at a time, so that long histories do not nest deeply


def observe(setup: Setup, deeds: Sequence[Deed], t: float) -> Seen:
    """What is seen `t` seconds after the session opened; deeds later than that change nothing.

    The same arguments always give the same answer.  Deeds may come in any order.
    """
    faulty = with_fault(setup)
    done = tuple(sorted((d for d in deeds if d.t <= t), key=lambda deed: deed.t))
    return seen(pocket(faulty), _course(faulty, done).at(t))


class _Course:
    """States from one deed on; those already worked out are kept, which changes no answer."""

    def __init__(self, of: Pocket, state: State) -> None:
        self._pocket, self._start, self._states = of, state.t, [state]

    def at(self, t: float) -> State:
        """The state at `t`: whole steps up to it, and what is left in one."""
        while (ahead := self._next()) <= t:
            last = self._states[-1]
            self._states.append(self._pocket.step(last, ahead - last.t))
        state = self._states[max(0, bisect_right(self._states, t, key=_moment) - 1)]
        return self._pocket.step(state, t - state.t) if t > state.t else state

    def _next(self) -> float:
        """When the next whole step ends.

        Steps grow by a twentieth of the time since the deed, and slower after an hour.
        """
        last = self._states[-1].t
        gone = last - self._start
        return last + max(min(_FIRST + 0.05 * gone, _LONGEST), gone / 720.0)


def _moment(state: State) -> float:
    return state.t


@lru_cache(maxsize=256)
def _course(setup: Setup, deeds: tuple[Deed, ...]) -> _Course:
    """The states that follow the last of `deeds`."""
    of = pocket(setup)
    if not deeds:
        return _Course(of, of.start())
    for count in range(_STRIDE, len(deeds), _STRIDE):
        _course(setup, deeds[:count])
    return _Course(of, of.act(_course(setup, deeds[:-1]).at(deeds[-1].t), deeds[-1]))
