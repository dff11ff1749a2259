"""What comes from elsewhere and is to be kept: told apart, judged, and put where it belongs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

from store import foreign
from store.catalogue import KINDS, Change
from store.chain import FORMAT
from store.disk import Disk
from store.faults import Declined, Fault, Malformed, Newer, plain
from store.incoming import Limits, loads
from store.paths import contents
from store.plans import plan_of
from store.shelf import Shelf
from store.toml import PLAN

CATALOGUE: Final = Limits(size=8 << 20, depth=16)
_MOST_ENTRIES: Final = 5_000
_STAYS: Final = "ours is another, and stays"


def arrive(disk: Disk, path: Path) -> list[str]:
    """The file's session, or its entries, are kept here too; says so, a line for each.

    Raises Trouble for what is refused, and then nothing of the file was kept.
    """
    shelf = Shelf(disk.root, disk)
    data = contents(path, foreign.MOST_BYTES)
    start = data.lstrip()[:1]
    if start != b"{":
        if len(data) > PLAN.size:
            raise Malformed(f"{plain(path.name)}: neither a session, a catalogue nor a plan file")
        return _plan(shelf, path)
    if b'"session"' in data.partition(b"\n")[0][:200]:
        return [_session(shelf, disk, data)]
    return _catalogue(shelf, data)


def _session(shelf: Shelf, disk: Disk, data: bytes) -> str:
    from engine.present.row import row

    name, session, taken = foreign.take_in(disk, data)
    unlisted = ""
    try:
        shelf.put_row(name, row(name, session))
    except Fault as why:  # nothing is lost by that: the list is made anew at the next start
        unlisted = f"; the list of sessions: {why}"
    practice = " (practice joint)" if session.checking.practice else ""
    if taken == "same":
        return f"session {name}{practice}: it is here already, the same to the byte{unlisted}"
    return f"session {name}{practice}: taken in, {session.seq} records{unlisted}"


def _plan(shelf: Shelf, path: Path) -> list[str]:
    from engine.entries import entries

    _, data = plan_of(path, shelf.catalogue)
    wanted = [(entry.kind, entry.name, entry.values) for entry in entries(data)]
    told = [
        f"{change.after.kind} {change.after.name}: {_became(change)}"
        for change in shelf.catalogue.put_all(wanted)
    ]
    return told or ["nothing in it that a catalogue keeps"]


def _became(change: Change) -> str:
    if change.before is None:
        return "new"
    return "as it was" if change.after is change.before else f"version {change.after.version}"


def _catalogue(shelf: Shelf, data: bytes) -> list[str]:
    """What is here already stays as it is: another plant's gauge is not ours of the same mark."""
    latest = _entries(data)
    _judge(latest)
    wanted = [(kind, name, values) for (kind, name), values in sorted(latest.items())]
    changes = shelf.catalogue.put_all(wanted, known_stay=True)
    told = []
    for (kind, name, values), change in zip(wanted, changes, strict=True):
        same = change.after.values == values
        became = "new" if change.before is None else "as it was" if same else _STAYS
        told.append(f"{kind} {plain(name, 120)}: {became}")
    return told or ["an empty catalogue"]


def _entries(data: bytes) -> dict[tuple[str, str], dict[str, Any]]:
    """The latest version of each, whatever it holds."""
    value = loads(data, CATALOGUE)
    number = value.get("holdwater") if isinstance(value, dict) else None
    if isinstance(number, int) and number > FORMAT:
        raise Newer("the catalogue was written by a newer version")
    tables = value.get("tables") if isinstance(value, dict) and number == FORMAT else None
    entries = tables.get("entries") if isinstance(tables, dict) else None
    if not isinstance(entries, dict):
        raise Malformed("neither a session, a catalogue nor a plan file")
    if len(entries) > _MOST_ENTRIES:
        raise Malformed(f"{len(entries)} entries, {_MOST_ENTRIES} are the most")
    found: dict[tuple[str, str], tuple[int, dict[str, Any]]] = {}
    for kind, name, version, values in map(_entry, entries.values()):
        if version > found.get((kind, name), (0, {}))[0]:
            found[kind, name] = version, values
    return {key: values for key, (_, values) in found.items()}


def _entry(document: object) -> tuple[str, str, int, dict[str, Any]]:
    if not isinstance(document, dict):
        raise Malformed("an entry of the catalogue is no table")
    kind, name, version, values = (
        document.get(key) for key in ("kind", "name", "version", "values")
    )
    if not (isinstance(kind, str) and kind in KINDS and isinstance(version, int) and version > 0):
        raise Malformed("an entry of the catalogue has no kind or version that is known")
    if not isinstance(name, str) or not name.strip() or name != plain(name, 120):
        raise Declined(f'"{plain(str(name))}" is no name for a {kind}')
    if not isinstance(values, dict):
        raise Malformed(f"{kind} {plain(name)} holds nothing that is understood")
    return kind, name, version, values


def _judge(entries: Mapping[tuple[str, str], dict[str, Any]]) -> None:
    """Each is what a plan file may say in its place.  Raises BadPlan with all that is not."""
    from engine.planfile import BadPlan, section_faults

    faults = [
        fault._replace(key=f"{kind} {plain(name)}: {fault.key}")
        for (kind, name), values in entries.items()
        for fault in _faults(section_faults, kind, values)
    ]
    if faults:
        raise BadPlan(faults)


def _faults(judge: Any, kind: str, values: dict[str, Any]) -> Iterator[Any]:
    if kind == "rig":
        for section, part in values.items():
            yield from judge(section, part)
    elif kind != "person":
        yield from judge(kind, values)
