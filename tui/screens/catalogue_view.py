"""What the catalogue screen shows: plain rows, made from entries and what they are checked for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any, Final, NamedTuple

from engine.entry_fields import Field, faults, shown
from engine.present.words import OUTCOME
from engine.procedures import RECALLED, open_fields
from engine.recheck import GaugeDate, Recheck, gauges_due, lost_passes
from tui.bench import Hanging
from tui.outside import Entry
from tui.outside import Row as Listed
from tui.paragraphs import short
from tui.widgets.lines import Row, hung, wrapped

KINDS: Final = {
    "joint": "joints",
    "procedure": "procedures",
    "rig": "rigs",
    "gauge": "gauges",
    "person": "people",
}
_TONES: Final = {"out of date": "bad", "due": "warn", "no date": "warn", "in date": "good"}


class Item(NamedTuple):
    """An entry as the list shows it; version 0 is one to start from, not yet in the catalogue."""

    name: str
    version: int
    values: Mapping[str, Any]
    aside: str = ""
    tone: str = "dim"


def items(kind: str, entries: Sequence[Entry], today: date) -> list[Item]:
    """The catalogue's entries of a kind; after procedures those that are there to start from."""
    if kind == "gauge":
        return list(_gauges(entries, today))
    made = [_item(kind, entry) for entry in entries]
    if kind == "procedure":
        known = {entry.name for entry in entries}
        made += [
            Item(point.name, 0, point.values, "recalled, not read: to start from", "warn")
            for point in RECALLED
            if point.name not in known
        ]
    return made


def _item(kind: str, entry: Entry) -> Item:
    values = entry.values
    wrong = faults(kind, entry.name, values)
    if kind == "procedure" and open_fields(values):
        return Item(entry.name, entry.version, values, "not confirmed", "warn")
    if wrong:
        return Item(entry.name, entry.version, values, f"to mend: {wrong[0].key}", "bad")
    aside = ""
    if kind == "procedure":
        aside = f"{values.get('alignment', 'straight')}, {values.get('pressure', '')}"
    elif kind == "person":
        aside = str(values.get("role", ""))
    return Item(entry.name, entry.version, values, aside)


def _gauges(entries: Sequence[Entry], today: date) -> Iterable[Item]:
    """The most pressing first."""
    known = {entry.name: entry for entry in entries}
    dated = gauges_due(({**e.values, "mark": e.name} for e in entries), today)
    for gauge in dated:
        entry = known[gauge.mark]
        yield Item(entry.name, entry.version, entry.values, calibration(gauge), _TONES[gauge.state])


def calibration(gauge: GaugeDate) -> str:
    if gauge.due is None or gauge.days is None:
        return "NO DATE of calibration"
    if gauge.state == "out of date":
        return f"OUT OF DATE since {gauge.due}"
    days = f"in {gauge.days} days" if gauge.days != 1 else "tomorrow"
    word = "DUE" if gauge.state == "due" else "due"
    return f"{word} {'today' if gauge.days == 0 else days}, {gauge.due}"


def item_row(item: Item) -> Row:
    version = f"v{item.version}" if item.version else ""
    return (
        (f"{item.name:<40.40} ", "plain"),
        (f"{version:<4}", "dim"),
        (item.aside, item.tone),
    )


# --- one entry ----------------------------------------------------------------------------------


def field_row(field: Field) -> Row:
    """What a field holds; what is wrong with it, else where it comes from, beside it."""
    if field.text:
        value, style = field.text, "strong"
    else:
        value, style = (f"({field.usual})" if field.usual else "-"), "dim"
    aside, tone = (f"! {field.fault}", "warn") if field.fault else (field.source, "dim")
    room = 22 if aside else 52
    return (
        (f"{field.key:<24.24} ", "plain"),
        (f"{short(value, room):<{room}} ", style),
        (aside, tone),
    )


def about(item: Item, kind: str, unsaved: str) -> list[Row]:
    """Two rows above the fields: which entry, and how it stands."""
    version = f", version {item.version}" if item.version else ", not in the catalogue yet"
    head: Row = ((f"{kind}: ", "dim"), (item.name, "strong"), (version, "dim"))
    if unsaved:
        return [head, ((f"NOT KEPT YET: {unsaved}", "warn strong"),)]
    if kind == "procedure" and (open_ := open_fields(item.values)):
        told = f"recalled, not read: F to confirm against the document ({', '.join(open_)})"
        return [head, ((told, "warn"),)]
    return [head, ()]


# --- a gauge found wrong ------------------------------------------------------------------------


def recheck_rows(
    title: str,
    found: Sequence[Hanging],
    unread: Mapping[str, str],
    rows: Mapping[str, Listed],
    width: int,
) -> list[Row]:
    """The passes that no longer stand first, then every other verdict that hangs on the gauge."""
    gone = {r.session for r in lost_passes(each.recheck for each in found)}
    passes = sum(each.recheck.before == "pass" for each in found)
    count = f"{len(gone)} of {passes} passes that hang on it no longer stand"
    made: list[Row] = [((title, "strong"),), ((count, "bad strong" if gone else "good strong"),)]
    for each in found:
        if each.recheck.session in gone:
            made += [(), _turned(each.recheck, rows)]
            made += [((f"    {part}", "dim"),)
                     for part in wrapped("; ".join(each.reasons), width - 4, 4)]  # fmt: skip
    others = [each for each in found if each.recheck.session not in gone]
    if others:
        made += [(), (("The others", "strong"),)]
        made += [_turned(each.recheck, rows) for each in others]
    if unread:
        made += [(), (("Could not be read, so nothing is said of them", "warn strong"),)]
        made += [((f"  {name}: {why}", "plain"),) for name, why in unread.items()]
    if not found and not unread:
        made += [(), (("It was read in no closed test of that time.", "plain"),)]
    return [*made, (), *hung(("", "plain"), _UNWRITTEN, width, 3, "warn")]


_UNWRITTEN: Final = (
    "Nothing of this is written down. Set calibration_due in the gauge's entry to the last good "
    "day, so that no new test counts on it; take up (U, on the bench) what turns."
)


def _turned(each: Recheck, rows: Mapping[str, Listed]) -> Row:
    row = rows.get(each.session, {})
    turned = OUTCOME[each.before] + (f" -> {OUTCOME[each.after]}" if each.turns else "")
    margin = "" if each.margin is None else f"{each.margin:+.2f} psi"
    return (
        (f"  {each.session:<13.13} ", "plain"),
        (f"{row.get('product', '')!s:<18.18} {row.get('marks', '')!s:<15.15} ", "plain"),
        (f"{turned:<18} ", "bad" if each.turns else "good"),
        (margin, "dim"),
    )


# --- versions -----------------------------------------------------------------------------------


def version_rows(versions: Sequence[Entry]) -> list[Row]:
    """What each version changed, the latest first."""
    if not versions:
        return [(("Nothing of it is kept yet.", "plain"),)]
    made: list[Row] = []
    for entry, before in zip(reversed(versions), [*reversed(versions[:-1]), None], strict=True):
        made.append(((f"version {entry.version}", "strong"),))
        old = {} if before is None else _flat(before.values)
        new = _flat(entry.values)
        for key in sorted({*old, *new}):
            if old.get(key) != new.get(key):
                was = f"{old[key]} -> " if key in old else ""
                made.append(((f"  {key:<24} {was}{new.get(key, 'left out')}", "plain"),))
        made.append(())
    return made


def _flat(values: Mapping[str, Any], within: str = "") -> dict[str, str]:
    flat: dict[str, str] = {}
    for key, value in values.items():
        if isinstance(value, Mapping):
            flat |= _flat(value, f"{within}{key}.")
        else:
            flat[f"{within}{key}"] = shown(value)
    return flat
