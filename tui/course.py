"""What the run screen shows: a session that is live, watched, or gone through again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from engine.asking.commands import Command
    from engine.session import Session


class Course(Protocol):
    """A session and its moment, wherever they come from."""

    @property
    def name(self) -> str: ...
    @property
    def label(self) -> str:
        """What kind of course, where it is not an ordinary live test: PRACTICE, WATCHING."""
        ...

    @property
    def session(self) -> Session: ...
    @property
    def writable(self) -> bool: ...
    def now(self) -> float: ...
    def ask(self, command: Command) -> Session: ...
    def refresh(self) -> bool:
        """Take in what others wrote; True where something changed."""
        ...

    def close(self) -> None: ...
