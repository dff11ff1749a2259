"""What the shell gets from outside: clock, store, plans, papers.  Wired in one place."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from engine.certificate import Certificate, Plot
    from engine.clock import Stamp
    from engine.facts import Fact, Record
    from engine.falling.logged import Log
    from engine.planfile import PlanFile
    from engine.session import Session

Row = Mapping[str, Any]
"""One session in a list: display strings and figures, as `engine.present.row` makes them."""


MakeRow = Callable[[str, "Sequence[Record]", bool], Row]
"""The row of a session from its records; True where they are damaged and end too soon."""


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


class Finding(Protocol):
    """One thing that is wrong with a file, at a record; 0 is the heading."""

    @property
    def kind(self) -> str: ...
    @property
    def number(self) -> int: ...
    @property
    def words(self) -> str: ...


class Found(Protocol):
    """A session as its file holds it: what proved itself, and everything that did not."""

    @property
    def session(self) -> str: ...
    @property
    def records(self) -> Sequence[Record]: ...
    @property
    def head(self) -> str: ...
    @property
    def sealed(self) -> bool: ...
    @property
    def torn(self) -> bool: ...
    @property
    def elsewhere(self) -> bool: ...
    @property
    def revisions(self) -> Sequence[int]:
        """How many records each earlier closing of it held, where that is kept as it was closed."""
        ...

    @property
    def sound(self) -> bool: ...
    @property
    def damage(self) -> str | None: ...
    @property
    def findings(self) -> Sequence[Finding]: ...
    def bears_out(self, number: int, digest: str) -> bool: ...


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


class Entry(Protocol):
    """One version of one thing in the catalogue."""

    @property
    def kind(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def version(self) -> int: ...
    @property
    def values(self) -> Mapping[str, Any]: ...


class Catalogue(Protocol):
    """What is used again: joints, procedures, rigs, gauges, people; a version is never changed."""

    @property
    def notice(self) -> str | None: ...
    def names(self, kind: str) -> list[str]: ...
    def versions(self, kind: str, name: str) -> Sequence[Entry]: ...
    def every(self, kind: str) -> Sequence[Entry]: ...
    def values(self, kind: str, name: str) -> Mapping[str, Any] | None: ...
    def put(self, kind: str, name: str, values: Mapping[str, Any]) -> Entry: ...


class Index(Protocol):
    """The list of sessions, held against the sessions themselves."""

    def unlisted(self) -> Sequence[str]:
        """Sessions that have no row."""
        ...

    def mend(self, make_row: MakeRow) -> Mapping[str, str]:
        """Every session has a row again; why some could not, by session.  May be called from
        another thread, and take its time."""
        ...


class Papers(Protocol):
    """What is handed out of sessions, as bytes, and the way it is written; raises Trouble."""

    def pdf(self, certificate: Certificate, size: str | None = None) -> bytes: ...
    def svg(self, plot: Plot) -> bytes: ...
    def csv(self, identity: str, session: Session) -> bytes: ...
    def json(self, identity: str) -> bytes: ...
    def write(self, path: str, data: bytes) -> None: ...


@dataclass(frozen=True)
class Outside:
    """All that reaches the shell."""

    clock: Callable[[], Stamp]
    shelf: Shelf
    by: str
    """Who writes; empty where nobody said."""
    read_plan: Callable[[str], PlanFile]
    """A plan file by its path; raises Trouble."""
    read_log: Callable[[str], Log]
    """A log of readings by its path; raises Trouble."""
    identity: Callable[[], str]
    """A name for a new session that no other has."""
    found: Callable[[str], Found]
    """A session by its identity, how that begins, or the path of a file; raises Trouble."""
    take_in: Callable[[str], Sequence[str]]
    """A file from elsewhere is kept here too; what became of it, a line for each thing."""
    catalogue: Catalogue
    index: Index
    papers: Papers | None = None
    """None where nothing is handed out."""
    decimal_comma: bool = False
    store: str = ""
    """Where sessions are kept, for people; empty where nothing is."""
