"""A session that somebody else writes, or that is past: read only, and always caught up."""

from __future__ import annotations

from collections.abc import Callable

from engine.asking.commands import Command, Refused
from engine.clock import Stamp
from engine.session import Session, fold
from engine.trouble import Trouble
from tui.outside import Trail


class Follower:
    """Folds what another process appended; never writes and never repairs."""

    writable = False

    def __init__(
        self, name: str, trail: Trail, clock: Callable[[], Stamp], label: str = "WATCHING"
    ) -> None:
        self.name, self.label = name, label
        self._trail, self._clock = trail, clock
        self.session: Session = fold(trail.new())
        if self.session.opened is None:
            raise Trouble(f"session {name} holds nothing yet")

    def now(self) -> float:
        """The session's own time; a closed one stands still at its last record."""
        if self.session.closed:
            return self.session.t
        return self.session.now(self._clock())

    def ask(self, command: Command) -> Session:
        raise Refused("read only: another program writes this test")

    def refresh(self) -> bool:
        """Raises Trouble where it cannot be read now; the session stays as it was last."""
        found = self._trail.new()
        if found:
            # A record that was seen and then refused to its writer is gone: all of it anew.
            self.session = fold(found, Session() if found[0].seq == 1 else self.session)
        return bool(found)

    def close(self) -> None:
        """Nothing is held."""
