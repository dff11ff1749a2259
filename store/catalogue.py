"""What is used again: joints, procedures, rigs, gauges, people; and the index of sessions.

Two files on a storage that replaces atomically and keeps the last good copy.  Reading parses a
file once, and again only when it has changed; writing reads, changes and writes under a lock, so
that two programs lose nothing of each other's.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from store.chain import FORMAT, identity
from store.disk import Disk, Mark
from store.faults import Declined, Malformed, Newer, NotRead, NotWritten, plain

if TYPE_CHECKING:
    from tinydb.table import Table

KINDS: Final = ("joint", "procedure", "rig", "gauge", "person")
PATIENCE: Final = 5.0
"""Seconds to wait for another program that is writing."""

Tables = dict[str, dict[str, Any]]
Row = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Entry:
    """One version of one thing."""

    kind: str
    name: str
    version: int
    values: Mapping[str, Any]


class Change(NamedTuple):
    """What putting did: `after` is the latest version now, `before` the one until then."""

    before: Entry | None
    after: Entry


Wanted = tuple[str, str, Mapping[str, Any]]
"""Kind, name and values of an entry."""


class Kept:
    """One file of tables, as TinyDB wants its storage.

    fits    what every document in it must look like
    spare   it can be made anew from elsewhere: where it cannot be read at all, it counts as damaged
    notice  one line where the file could not be read and the copy before it stands in for it
    """

    def __init__(
        self,
        disk: Disk,
        name: str,
        fits: Callable[[dict[str, Any]], bool],
        spare: bool = False,
    ) -> None:
        self._disk = disk
        self._spare = spare
        self._name = name
        self._fits = fits
        self._mark: Mark | None = None
        self._tables: Tables | None = None
        self._damaged = False
        self.notice: str | None = None

    def read(self) -> Tables:
        """As the file stands now; parsed only if it is not the one parsed last."""
        mark = self._disk.mark(f"{self._name}.json")
        if self._tables is None or mark is None or mark != self._mark:
            self._tables = self._current()
            self._mark = mark
        return self._tables

    def write(self, data: Tables) -> None:
        """The file holds `data`, and the one before is kept, unless it was unreadable."""
        # TinyDB changes what it was given to read; should writing fail, that must be forgotten.
        self._tables = None
        try:
            packed = json.dumps(
                {"holdwater": FORMAT, "tables": data},
                ensure_ascii=False,
                allow_nan=False,
                separators=(",", ":"),
            ).encode()
        except (TypeError, ValueError, RecursionError):
            raise NotWritten("not written down: it holds what JSON cannot") from None
        kept = "damaged" if self._damaged else "last"
        self._disk.replace(f"{self._name}.json", packed, keep=f"{self._name}.{kept}.json")

    def close(self) -> None:
        """Nothing is held open."""

    def change(self, table: str, how: Callable[[Table], None]) -> None:
        """`how` was done to the table as it stands, and nobody else changed it meanwhile.

        TinyDB is opened anew each time: it counts documents in memory, and would give out a number
        that another program has given out since.
        """
        from tinydb import TinyDB

        with self._disk.lock(f"{self._name}.lock", wait=PATIENCE):
            self._tables = None
            how(TinyDB(storage=lambda: self).table(table, cache_size=0))

    def replace(self, made: Callable[[Tables], Tables]) -> None:
        """The file holds what is made of what it held, and nobody else changed it meanwhile."""
        with self._disk.lock(f"{self._name}.lock", wait=PATIENCE):
            self.write(made(self._current()))

    def _current(self) -> Tables:
        self._damaged, self.notice = False, None
        found = self._held(f"{self._name}.json")
        if found is not None:
            try:
                return self._parsed(found)
            except Malformed:
                self._damaged = True
        before = self._held(f"{self._name}.last.json")
        stands_in = "it begins empty"
        tables: Tables = {}
        if before is not None:
            # Where only the file itself is missing, its last writer died between two renames.
            with suppress(Malformed):
                tables = self._parsed(before)
                stands_in = "the copy before it is used"
        if self._damaged:
            self.notice = f"the {self._name} could not be read; {stands_in}"
        return tables

    def _held(self, name: str) -> bytes | None:
        try:
            return self._disk.read(name)
        except NotRead:
            if not self._spare:
                raise
            self._damaged = True
            return None

    def _parsed(self, data: bytes) -> Tables:
        try:
            value = json.loads(data.decode(), parse_constant=_no_number)
        except (ValueError, RecursionError):
            raise Malformed(f"the {self._name} is not readable as JSON") from None
        number = value.get("holdwater") if isinstance(value, dict) else None
        if isinstance(number, int) and number > FORMAT:
            raise Newer(f"the {self._name} was written by a newer version")
        tables = value.get("tables") if number == FORMAT else None
        if not isinstance(tables, dict) or not all(self._table(each) for each in tables.values()):
            raise Malformed(f"the {self._name} does not hold what it should")
        return tables

    def _table(self, table: object) -> bool:
        return isinstance(table, dict) and all(
            key.isdecimal() and isinstance(document, dict) and self._fits(document)
            for key, document in table.items()
        )


def _no_number(name: str) -> float:
    raise ValueError(name)


def _is_entry(document: dict[str, Any]) -> bool:
    return (
        isinstance(document.get("kind"), str)
        and isinstance(document.get("name"), str)
        and isinstance(document.get("version"), int)
        and isinstance(document.get("values"), dict)
    )


def _is_row(document: dict[str, Any]) -> bool:
    return isinstance(document.get("session"), str)


def _admit(kind: str, name: str) -> None:
    if kind not in KINDS:
        raise Declined(f'"{plain(kind)}" is no kind of entry: {", ".join(KINDS)} are')
    if name != plain(name, 120) or not name.strip():
        raise Declined(f'"{plain(name)}" is no name for a {kind}: 1 to 120 visible characters')


class Catalogue:
    """Entries by kind, name and version.  A version is never changed: editing adds one."""

    def __init__(self, disk: Disk) -> None:
        self._kept = Kept(disk, "catalogue", _is_entry)

    @property
    def notice(self) -> str | None:
        """One line where what was read last is an older copy."""
        return self._kept.notice

    def names(self, kind: str) -> list[str]:
        return sorted({entry.name for entry in self._entries() if entry.kind == kind})

    def versions(self, kind: str, name: str) -> list[Entry]:
        """Oldest first; none where there is no such thing."""
        found = (entry for entry in self._entries() if (entry.kind, entry.name) == (kind, name))
        return sorted(found, key=lambda entry: entry.version)

    def latest(self, kind: str, name: str) -> Entry | None:
        return next(reversed(self.versions(kind, name)), None)

    def every(self, kind: str) -> list[Entry]:
        """The latest version of each, by name."""
        latest: dict[str, Entry] = {}
        for entry in self._entries():
            if entry.kind == kind:
                known = latest.get(entry.name)
                latest[entry.name] = max(known or entry, entry, key=lambda each: each.version)
        return [latest[name] for name in sorted(latest)]

    def values(self, kind: str, name: str) -> Mapping[str, Any] | None:
        """What the latest version of `name` holds; None where there is no such thing."""
        found = self.latest(kind, name)
        return found.values if found else None

    def put(self, kind: str, name: str, values: Mapping[str, Any]) -> Entry:
        """The latest version of `name` holds `values`; a new one only where they differ."""
        [change] = self.put_all([(kind, name, values)])
        return change.after

    def put_all(self, wanted: Sequence[Wanted], *, known_stay: bool = False) -> list[Change]:
        """As `put`, for all of them or for none: what is refused, or fails, leaves all as it was.

        `known_stay`: only what is not known yet is put; the others stay as they are.
        """
        for kind, name, _ in wanted:
            _admit(kind, name)
        changes: list[Change] = []

        def add(table: Table) -> None:
            latest = {
                (entry.kind, entry.name): entry for kind in KINDS for entry in self.every(kind)
            }
            for kind, name, values in wanted:
                before = after = latest.get((kind, name))
                if after is None or not (known_stay or after.values == values):
                    after = Entry(kind, name, after.version + 1 if after else 1, dict(values))
                latest[kind, name] = after
                changes.append(Change(before, after))
            if new := [asdict(each.after) for each in changes if each.after is not each.before]:
                table.insert_multiple(new)

        self._kept.change("entries", add)
        return changes

    def _entries(self) -> Iterable[Entry]:
        for document in self._kept.read().get("entries", {}).values():
            yield Entry(document["kind"], document["name"], document["version"], document["values"])


class Index:
    """One small row a session, as it is shown.  Made anew from the sessions, it is the same."""

    def __init__(self, disk: Disk) -> None:
        self._kept = Kept(disk, "index", _is_row, spare=True)

    @property
    def notice(self) -> str | None:
        """One line where the index is an older copy, and ought to be rebuilt."""
        return self._kept.notice

    def rows(self) -> list[Row]:
        """Each with its `session`, in the order in which they came.  Not to be changed."""
        return list(self._kept.read().get("rows", {}).values())

    def put(self, session: str, row: Row) -> None:
        """The row of the session is `row`, whatever it was."""
        document = {**row, "session": identity(session)}

        def put(table: Table) -> None:
            found = table.get(lambda each: each["session"] == session)
            if isinstance(found, Mapping):
                table.update(lambda old: _become(old, document), doc_ids=[found.doc_id])
            else:
                table.insert(document)

        self._kept.change("rows", put)

    def rebuild(self, rows: Mapping[str, Row], before: Iterable[Row] | None = None) -> None:
        """The index holds these rows, by session, and no others.

        Where `before` is given, the rows as they were when making anew was begun: then a row that
        somebody has put since is newer than what was made, and stays.
        """
        documents = {name: {**row, "session": identity(name)} for name, row in rows.items()}
        known = None if before is None else {row["session"]: row for row in before}

        def made(tables: Tables) -> Tables:
            held = tables.get("rows", {}).values() if known is not None else ()
            newer = {r["session"]: r for r in held if r != (known or {}).get(r["session"])}
            every = {**documents, **newer}.values()
            return {"rows": {str(n): each for n, each in enumerate(every, 1)}}

        self._kept.replace(made)


def _become(old: Any, new: Mapping[str, Any]) -> None:
    old.clear()
    old.update(new)
