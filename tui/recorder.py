"""A live session: opening it is resuming it, and every command takes the same straight way."""

from __future__ import annotations

from collections.abc import Callable

from engine import facts as f
from engine.asking.commands import Command, Write, decide
from engine.clock import Stamp
from engine.planfile import PlanFile
from engine.repeat import Repeat
from engine.session import Session, evolve, fold
from engine.stages import checks_for
from tui.outside import Journal


class Recorder:
    """Decide, write down, evolve, show: in that order."""

    writable = True
    label = ""

    def __init__(self, journal: Journal, clock: Callable[[], Stamp], by: str) -> None:
        self._journal, self._clock, self._by = journal, clock, by
        self.session: Session = fold(journal.records())
        if by and self.session.opened and not self.session.closed and by != self.session.by:
            self.ask(Write(f.HandedOver(to=by)))

    @property
    def name(self) -> str:
        return self._journal.session

    def now(self) -> float:
        """The moment on the session's own time; a closed one stands still at its last record."""
        return self.session.t if self.session.closed else self.session.now(self._clock())

    def ask(self, command: Command) -> Session:
        """The session after `command`.  Raises Refused, or what the journal raises: then nothing
        was written down and the session is as before."""
        stamp = self._clock()
        fact = decide(self.session, command, stamp)
        record = self._journal.append(fact, stamp, self.session.by or self._by)
        self.session = evolve(self.session, record)
        return self.session

    def refresh(self) -> bool:
        """Nobody else writes here."""
        return False

    def close(self) -> None:
        self._journal.close()


def follow_on(journal: Journal, clock: Callable[[], Stamp], by: str, ready: Repeat) -> Recorder:
    """The test that follows another is begun."""
    recorder = Recorder(journal, clock, by)
    recorder.ask(Write(ready.opening()))
    return recorder


def begin(
    journal: Journal,
    clock: Callable[[], Stamp],
    by: str,
    plan: PlanFile,
    practice: f.Practice | None = None,
) -> Recorder:
    """A new test of `plan`."""
    recorder = Recorder(journal, clock, by)
    recorder.ask(Write(f.SessionOpened(plan=plan, checks=checks_for(plan), practice=practice)))
    return recorder
