"""A plan file's sections as entries of a catalogue, and entries in place of sections."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from typing import Any, Final, NamedTuple

from engine.fields import Fault
from engine.planfile import BadPlan

Lookup = Callable[[str, str], Mapping[str, Any] | None]
"""The latest values of an entry, by kind and name; None where there is none by that name."""

RIG: Final = ("supply", "restraint", "ports", "waits")
"""The sections that a rig's entry holds together."""


class Entry(NamedTuple):
    """One section of a plan file, as it is put into a catalogue."""

    kind: str
    name: str
    values: dict[str, Any]


# --- names in place of sections -----------------------------------------------------------------


def resolve(data: Mapping[str, Any], lookup: Lookup) -> dict[str, Any]:
    """The plan with each name in place of a section replaced by what the catalogue holds.

    `joint`, `procedure` and `gauge` may be a name; `gauges` may hold names; `rig` brings supply,
    restraint, ports and waits, of which the plan may still write its own; `supply = "name"` takes
    that section alone out of the rig of that name. Raises BadPlan with all names that are unknown.
    """
    faults: list[Fault] = []
    named = _Named(lookup, faults)
    whole: dict[str, Any] = {}
    rig = data.get("rig")
    if isinstance(rig, str):
        entry = named.entry("rig", rig, "rig")
        whole |= {key: entry[key] for key in RIG if key in entry}
    for key, value in data.items():
        if key == "rig" and isinstance(rig, str):
            continue
        whole[key] = named.section(key, value)
    if faults:
        raise BadPlan(faults)
    return whole


class _Named:
    """The catalogue, and what was asked of it in vain."""

    def __init__(self, lookup: Lookup, faults: list[Fault]) -> None:
        self._lookup, self._faults = lookup, faults

    def section(self, key: str, value: Any) -> Any:
        if key in ("gauge", "gauges") and isinstance(value, list):
            return [self._whole("gauge", each, key) for each in value]
        if key in ("joint", "procedure", "gauge"):
            return self._whole(key, value, key)
        if key in RIG and isinstance(value, str):
            entry = self.entry("rig", value, key)
            if entry and key not in entry:
                self._faults.append(Fault(key, repr(value), f"a rig that has its {key} written"))
            return entry.get(key)
        return value

    def _whole(self, kind: str, value: Any, key: str) -> Any:
        if not isinstance(value, str):
            return value
        called = {"gauge": "mark"}.get(kind, "name")
        return {called: value, **self.entry(kind, value, key)}

    def entry(self, kind: str, name: str, key: str) -> Mapping[str, Any]:
        found = self._lookup(kind, name)
        if found is None:
            expected = f"a [{key}] section, or the name of a {kind} in the catalogue"
            self._faults.append(Fault(key, repr(name), expected))
            return {}
        return found


# --- sections as entries ------------------------------------------------------------------------


def entries(data: Mapping[str, Any], rig: str | None = None) -> Iterator[Entry]:
    """What a plan file has to put into a catalogue; sections that are names already are there.

    The rig is called as given, else as the joint it was planned for.
    """
    joint, procedure = data.get("joint"), data.get("procedure")
    product = str(joint.get("name", "")) if isinstance(joint, Mapping) else str(joint or "")
    if isinstance(joint, Mapping) and product:
        yield Entry("joint", product, _kept(joint))
    if isinstance(procedure, Mapping):
        yield Entry("procedure", _procedure_name(procedure, product), _kept(procedure))
    written = data.get("gauges", data.get("gauge"))
    for gauge in written if isinstance(written, list | tuple) else [written]:
        if isinstance(gauge, Mapping) and gauge.get("mark"):
            yield Entry("gauge", str(gauge["mark"]), _kept(gauge, but=("governs",)))
    parts = {key: _kept(data[key]) for key in RIG if isinstance(data.get(key), Mapping)}
    if parts and (rig or product):
        yield Entry("rig", _short(rig or f"rig for {product}"), parts)


def _procedure_name(procedure: Mapping[str, Any], product: str) -> str:
    if procedure.get("name"):
        return _short(str(procedure["name"]))
    alignment = procedure.get("alignment", "straight")
    return _short(f"{procedure.get('authority') or product or 'procedure'}, {alignment}")


def _short(name: str) -> str:
    line = " ".join(name.split())
    return line if len(line) <= _LONGEST else f"{line[: _LONGEST - 3]}..."


_LONGEST: Final = 120


def _kept(section: Mapping[str, Any], but: tuple[str, ...] = ()) -> dict[str, Any]:
    """As it is written, with dates as text: a catalogue is plain JSON."""
    return {key: _plain(value) for key, value in section.items() if key not in but}


def _plain(value: Any) -> Any:
    match value:
        case dt.date():
            return value.isoformat()
        case Mapping():
            return {str(key): _plain(each) for key, each in value.items()}
        case list() | tuple():
            return [_plain(each) for each in value]
        case _:
            return value
