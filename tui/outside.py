"""What the shell gets from outside: clock, store, plans, papers.  Wired in one place."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from engine.clock import Stamp
    from engine.facts import Fact, Record
    from engine.planfile import PlanFile

Row = Mapping[str, Any]
"""One session in a list: display strings and figures, as `engine.present.row` makes them."""


class Journal(Protocol):
    """One session's records, and the one writer of them."""

    @property
    def session(self) -> str: ...
    def records(self) -> list[Record]: ...
    def append(self, fact: Fact, stamp: Stamp, by: str) -> Record: ...
    def close(self) -> None: ...


class Trail(Protocol):
    """Records that another process appended since the last look."""

    def new(self) -> list[Record]: ...


class Kept(Protocol):
    """A session as it is kept."""

    @property
    def records(self) -> Sequence[Record]: ...
    @property
    def head(self) -> str: ...


class Shelf(Protocol):
    """Everything that is kept."""

    def begin(self, session: str) -> Journal: ...
    def open(self, session: str) -> Journal: ...
    def amend(self, session: str) -> Journal: ...
    def seal(self, session: str) -> str: ...
    def read(self, session: str) -> Kept: ...
    def trail(self, session: str) -> Trail: ...
    def live(self) -> list[str]: ...
    def sealed(self) -> list[str]: ...
    def resolve(self, beginning: str) -> str: ...
    def rows(self) -> Sequence[Row]: ...
    def put_row(self, session: str, row: Row) -> None: ...
    def remarks(self, session: str) -> Sequence[Row]:
        """What a trainer said about its moments, kept beside it: t, seq, by, text."""
        ...

    def remark(self, session: str, what: Row) -> None: ...
    def rounds(self, session: str) -> Sequence[Row]:
        """What people answered to questions about it, kept beside it: by, at, answers."""
        ...

    def add_round(self, session: str, what: Row) -> None: ...


@dataclass(frozen=True)
class Outside:
    """All that reaches the shell."""

    clock: Callable[[], Stamp]
    shelf: Shelf
    by: str
    """Who writes; empty where nobody said."""
    read_plan: Callable[[str], PlanFile]
    """A plan file by its path; raises Trouble."""
    identity: Callable[[], str]
    """A name for a new session that no other has."""
    decimal_comma: bool = False
    store: str = ""
    """Where sessions are kept, for people; empty where nothing is."""
