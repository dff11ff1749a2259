"""The fields of a catalogue's entries: what each holds, as text, and what text does to it."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import UnionType
from typing import Annotated, Any, Final, Literal, Union, get_args, get_origin

import pint
from pydantic import ValidationError
from pydantic.fields import FieldInfo

from engine.fields import Fault, Section, spellings
from engine.joint import Joint
from engine.plain import visible
from engine.planfile import section_faults
from engine.present import number
from engine.procedure import Procedure
from engine.rig import Gauge, Ports, Position, Restraint, Supply, Waits
from engine.trouble import Trouble
from engine.units import (
    DURATION,
    FLOW,
    FORCE,
    FRACTION,
    LENGTH,
    PRESSURE,
    RAMP,
    TEMPERATURE,
    Dimension,
    Unreadable,
    parse,
    symbol,
)

Form = Literal["quantity", "text", "choice", "yes", "day", "number", "span", "places"]

_SECTIONS: Final[dict[str, dict[str, type[Section]]]] = {
    "joint": {"": Joint},
    "procedure": {"": Procedure},
    "rig": {"supply": Supply, "restraint": Restraint, "ports": Ports, "waits": Waits},
    "gauge": {"": Gauge},
    "person": {},
}
CALLED: Final = {"joint": "name", "procedure": "name", "gauge": "mark"}
"""The field that is the entry's own name."""
_NOT_HERE: Final = frozenset({"name", "mark", "sources", "confirmed", "governs"})
_PERSON: Final = ("role", "note")
_UNITS: Final = {PRESSURE: "psi", LENGTH: "in", DURATION: "min", TEMPERATURE: "degF",
                 FORCE: "kip", FLOW: "gal/min", RAMP: "psi/s", FRACTION: "percent"}  # fmt: skip
"""What a bare number is taken to be in, where the field has no unit yet."""
_LONGEST: Final = 400


class Mistyped(Trouble, ValueError):  # noqa: N818 - read aloud where it is raised
    """Text that this field cannot be; one line says what was expected."""


@dataclass(frozen=True)
class Field:
    """One field of an entry, as a list shows it."""

    key: str
    """As a plan file writes it; a rig's with its section, like `supply.relief`."""
    form: Form
    text: str
    """What stands there; empty where nothing does."""
    usual: str = ""
    """What is taken where nothing stands there."""
    source: str = ""
    fault: str = ""
    choices: tuple[str, ...] = ()
    required: bool = False


# --- looking ------------------------------------------------------------------------------------


def fields(kind: str, name: str, values: Mapping[str, Any]) -> tuple[Field, ...]:
    """Every field the entry can have, with what it holds and what is wrong with it."""
    if kind == "person":
        return tuple(Field(key, "text", shown(values.get(key))) for key in _PERSON)
    wrong = {fault.key: fault for fault in reversed(faults(kind, name, values))}
    sources = values.get("sources")
    return tuple(
        _field(key, info, values, wrong, sources if isinstance(sources, Mapping) else {})
        for key, info in _known(kind)
    )


def faults(kind: str, name: str, values: Mapping[str, Any]) -> list[Fault]:
    """What is wrong with the entry as it stands; none where a test may be planned with it."""
    if kind == "rig":
        return [
            fault._replace(key=f"{section}.{fault.key}")
            for section in ("supply", "restraint", "ports", "waits")
            if section in values or section in ("supply", "restraint")
            for fault in section_faults(section, values.get(section, {}))
        ]
    if kind not in CALLED:
        return []
    return section_faults(kind, {CALLED[kind]: name, **values})


def _known(kind: str) -> Iterator[tuple[str, FieldInfo]]:
    for section, model in _SECTIONS[kind].items():
        for name, info in model.model_fields.items():
            if name not in _NOT_HERE:
                key = spellings(name, info)[0]
                yield (f"{section}.{key}" if section else key), info


def _field(
    key: str,
    info: FieldInfo,
    values: Mapping[str, Any],
    wrong: Mapping[str, Fault],
    sources: Mapping[str, Any],
) -> Field:
    value, fault = _value(key, info, values), wrong.get(key) or wrong.get(f"{key}_time")
    usual = "" if info.is_required() else shown(info.get_default(call_default_factory=True))
    return Field(
        key,
        _form(info),
        shown(value),
        usual,
        str(sources.get(key, "")),
        f"found {fault.found}, expected {fault.expected}" if fault else "",
        _choices(info),
        info.is_required(),
    )


def _value(key: str, info: FieldInfo, values: Mapping[str, Any]) -> Any:
    section, _, last = key.rpartition(".")
    part = values.get(section, {}) if section else values
    spelled = spellings(last if last != "hold" else "hold_time", info)
    return next((part[each] for each in spelled if each in part), None)


def shown(value: object) -> str:
    """A value of an entry as it is typed; empty for nothing."""
    match value:
        case None | ():
            return ""
        case bool():
            return "yes" if value else "no"
        case pint.Quantity():
            return f"{number(float(value.magnitude), 6)} {symbol(value)}"
        case [float() | int() as size, str(unit)] if not isinstance(size, bool):
            return f"{number(float(size), 6)} {unit}"
        case list() | tuple():
            pairs = any(isinstance(each, list | tuple) and not _stored(each) for each in value)
            return ("; " if pairs else ", ").join(shown(each) for each in value)
        case Mapping():
            return "; ".join(f"{k}: {shown(v)}" for k, v in value.items())
        case float():
            return number(value, 6)
        case _:
            return str(value)


def _stored(value: object) -> bool:
    return isinstance(value, list | tuple) and len(value) == 2 and isinstance(value[0], int | float)


# --- what a field can hold ----------------------------------------------------------------------


def _form(info: FieldInfo) -> Form:
    inner = _inner(info)
    if get_origin(inner) is tuple:
        return "places" if get_args(inner)[0] == Position else "span"
    if _dimension(info) is not None:
        return "quantity"
    if _choices(info):
        return "yes" if inner is bool else "choice"
    if inner is dt.date:
        return "day"
    if inner in (int, float):
        return "number"
    return "text"


def _inner(info: FieldInfo) -> Any:
    """The type without `| None` and without what is annotated to it."""
    kind: Any = info.annotation
    if get_origin(kind) in (Union, UnionType):
        kind = next(each for each in get_args(kind) if each is not type(None))
    return get_args(kind)[0] if get_origin(kind) is Annotated else kind


def _dimension(info: FieldInfo) -> Dimension | None:
    marks = [*info.metadata]
    for each in get_args(info.annotation):
        marks += get_args(each)[1:] if get_origin(each) is Annotated else []
    return next((mark for mark in marks if isinstance(mark, Dimension)), None)


def _choices(info: FieldInfo) -> tuple[str, ...]:
    inner = _inner(info)
    if inner is bool:
        return ("yes", "no")
    return tuple(str(each) for each in get_args(inner)) if get_origin(inner) is Literal else ()


# --- writing ------------------------------------------------------------------------------------


def with_field(kind: str, values: Mapping[str, Any], key: str, text: str) -> dict[str, Any]:
    """The entry's values after `text` was typed for a field; nothing typed takes it out.

    Raises Mistyped where the text cannot be that; what only other fields contradict is written,
    and `faults` says so.
    """
    text = " ".join(text.split())
    if len(text) > _LONGEST or visible(text) != text:
        raise Mistyped(f"expected at most {_LONGEST} visible characters")
    if kind == "person":
        rest = {k: v for k, v in values.items() if k != key}
        return {**rest, key: text} if text else rest
    info = dict(_known(kind))[key]
    section, _, last = key.rpartition(".")
    part = dict(values.get(section, {})) if section else dict(values)
    before = shown(_value(key, info, values))
    for spelled in spellings("hold_time" if last == "hold" else last, info):
        part.pop(spelled, None)
    if text:
        part[last] = read(info, text, before)
        _must_fit(kind, section, last, part)
    return {**values, section: part} if section else part


def taken_for(kind: str, values: Mapping[str, Any], key: str, text: str) -> str:
    """How the text would be written down.  Raises Mistyped."""
    after = with_field(kind, values, key, text)
    field = next(f for f in fields(kind, "x", after) if f.key == key)
    return field.text or (f"nothing: {field.usual} is taken" if field.usual else "nothing")


def read(info: FieldInfo, text: str, before: str = "") -> Any:
    """What was typed as a plan file holds it."""
    form = _form(info)
    if text == "unknown" and form not in ("choice", "yes"):
        return text
    try:
        match form:
            case "quantity":
                return _quantity(text, _dimension(info) or LENGTH, before)
            case "yes":
                return {"yes": True, "no": False}[text]
            case "day":
                return dt.date.fromisoformat(text).isoformat()
            case "number":
                return float(text) if "." in text else int(text)
            case "span":
                return _span(text, before)
            case "places":
                pairs = (pair.split(",") for pair in text.split(";") if pair.strip())
                return [[_quantity(each, LENGTH) for each in pair] for pair in pairs]
            case _:
                return text
    except Unreadable as problem:
        raise Mistyped(str(problem)) from None
    except (KeyError, ValueError):
        expected = {"yes": "yes or no", "day": "a day, like 2027-03-31"}.get(form, "a number")
        raise Mistyped(f"{text[:30]!r}: expected {expected}") from None


def _quantity(text: str, dimension: Dimension, before: str = "") -> str:
    """As typed, with its unit; a bare number takes the unit that stood there."""
    unit = _unit_of(before, dimension) or _UNITS.get(dimension)
    quantity = parse(text, dimension, unit)
    bare = re.fullmatch(r"\s*[-+]?[\d./ ]+\s*", text)
    return shown(quantity) if bare else " ".join(text.split())


def _unit_of(text: str, dimension: Dimension) -> str | None:
    try:
        return symbol(parse(text.split(", ")[0], dimension))
    except Unreadable:
        return None


def _span(text: str, before: str) -> list[str]:
    """`0 to 30 psi`, or both ends with their units."""
    parts = re.split(r"\s*(?:,| to )\s*", text)
    if len(parts) != 2:
        raise Mistyped(f"{text[:30]!r}: expected both ends, like 0 to 30 psi")
    unit = _unit_of(parts[1], PRESSURE) or _unit_of(before, PRESSURE)
    ends = (parse(part, PRESSURE, unit) for part in parts)
    return [shown(end) for end in ends]


def _must_fit(kind: str, section: str, key: str, part: Mapping[str, Any]) -> None:
    """What the field itself cannot hold is refused, whatever the other fields say."""
    model = _SECTIONS[kind][section]
    try:
        model.model_validate({**part, **({CALLED[kind]: "x"} if kind in CALLED else {})})
    except ValidationError:
        for fault in section_faults(section or kind, part):
            if fault.key.split(".")[0] in (key, f"{key}_time"):
                raise Mistyped(f"found {fault.found}, expected {fault.expected}") from None
