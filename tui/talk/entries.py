"""Conversations about the catalogue: a field, a new entry, a procedure confirmed, a gauge wrong."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Generator, Mapping
from typing import Any, Final, NamedTuple

from engine.entry_fields import CALLED, Field, Mistyped, taken_for, with_field
from engine.plain import visible
from engine.procedures import confirmed, open_fields
from engine.units import PRESSURE, Quantity, Unreadable, parse
from tui.talk.asking import Ask, Echo, Pick, day, pointed
from tui.talk.opening import Find, Named

_NOTHING: Final = "(nothing)"
_OF_ONE_GAUGE: Final = ("calibrated", "calibration_due", "certificate")
_LONGEST_NAME: Final = 120


def field(
    kind: str, values: Mapping[str, Any], asked: Field, decimal_comma: bool = False
) -> Generator[Ask | Find, str, str]:
    """The text for a field, one that it can hold."""
    if asked.choices:
        names = tuple(Named(each) for each in asked.choices)
        usual = f"{asked.usual} is taken" if asked.usual else ""
        left_out = () if asked.required else (Named(_NOTHING, usual),)
        found = yield Find(asked.key, (*names, *left_out))
        return "" if found == _NOTHING else found
    text, refusal = asked.text, ""
    while True:
        text = yield Ask(asked.key, _echo(kind, values, asked, decimal_comma), text, refusal)
        try:
            typed = _pointed(text, asked, decimal_comma)
            with_field(kind, values, asked.key, typed)
            return typed
        except Mistyped as problem:
            refusal = str(problem)


def _echo(kind: str, values: Mapping[str, Any], asked: Field, decimal_comma: bool) -> Echo:
    def said(text: str) -> tuple[str, bool]:
        try:
            return taken_for(kind, values, asked.key, _pointed(text, asked, decimal_comma)), True
        except Mistyped as problem:
            return str(problem), False

    return said


def _pointed(text: str, asked: Field, decimal_comma: bool) -> str:
    """Of a figure; in words a comma is a comma."""
    return pointed(text, decimal_comma and asked.form in ("quantity", "number"))


# --- new entries --------------------------------------------------------------------------------


class New(NamedTuple):
    name: str
    values: dict[str, Any]


def new(
    kind: str, taken: Collection[str], like: str, values: Mapping[str, Any]
) -> Generator[Ask | Pick, str, New]:
    """A name, and what to start from: nothing, or the entry under the cursor."""
    called = {"gauge": "Mark of the new gauge", "person": "Name"}.get(
        kind, f"Name of the new {kind}"
    )
    name = yield from _name(called, taken)
    if kind == "person" or not like:
        return New(name, {})
    key = yield Pick(f"{name}: start from", (("l", f"what {like[:40]} says"), ("e", "nothing")))
    if key == "e":
        return New(name, {})
    own = (CALLED.get(kind, ""), *(_OF_ONE_GAUGE if kind == "gauge" else ()))
    return New(name, {k: v for k, v in values.items() if k not in own})


def _name(prompt: str, taken: Collection[str]) -> Generator[Ask, str, str]:
    text = refusal = ""
    while True:
        text = yield Ask(prompt, None, text, refusal, prose=True)
        name = " ".join(text.split())
        if not name or len(name) > _LONGEST_NAME or visible(name) != name:
            refusal = f"expected a name of 1 to {_LONGEST_NAME} visible characters"
        elif name in taken:
            refusal = f"there is one called {name[:40]!r} already: open it to edit it"
        else:
            return name


# --- procedures held against their documents ----------------------------------------------------


def confirming(
    values: Mapping[str, Any], all_fields: Collection[Field], decimal_comma: bool = False
) -> Generator[Ask | Find, str, dict[str, Any]]:
    """The procedure with its figures as somebody read them in the document, typed one by one.

    What is recalled is shown beside the question and never typed in beforehand.
    """
    document = str(values.get("authority", "")).partition(", as recalled")[0]
    authority = yield from _said("Authority: the document, and who ordered it", document)
    edition = yield from _said("Edition or year, as printed on the document", "", stated=True)
    clause = yield from _said("Clause (`not stated` where there is none)", "")
    by_key = {each.key: each for each in all_fields}
    read: dict[str, Any] = {"authority": authority, "clause": clause}
    for key in open_fields(values):
        if key in ("edition", "clause"):
            continue
        recalled = f" (recalled: {by_key[key].text})" if by_key[key].text else ""
        empty = Field(f"{key} in the document{recalled}", by_key[key].form, "")
        read[key] = yield from _figure(values, key, empty, decimal_comma)
    return confirmed(values, edition, **read)


def _said(prompt: str, text: str, stated: bool = False) -> Generator[Ask, str, str]:
    """What the document says, in one line; where it has to, that it says nothing is refused."""
    refusal = ""
    while True:
        text = yield Ask(prompt, None, text, refusal, prose=True)
        words = " ".join(text.split())
        if words and visible(words) == words and not (stated and words == "not stated"):
            return words
        refusal = "expected what the document says"


def _figure(
    values: Mapping[str, Any], key: str, asked: Field, decimal_comma: bool
) -> Generator[Ask, str, Any]:
    at = Field(key, asked.form, "")
    text = refusal = ""
    while True:
        text = yield Ask(asked.key, _echo("procedure", values, at, decimal_comma), text, refusal)
        try:
            if not text.strip() or text.strip() == "unknown":
                raise Mistyped("expected what the document says")
            return with_field("procedure", values, key, _pointed(text, at, decimal_comma))[key]
        except Mistyped as problem:
            refusal = str(problem)


# --- a gauge found wrong ------------------------------------------------------------------------


class Wrong(NamedTuple):
    reads_high_by: Quantity
    since: dt.date | None


def found_wrong(mark: str, decimal_comma: bool = False) -> Generator[Ask, str, Wrong]:
    """By how much the gauge reads high at the test's pressure, and when it was right last."""

    def read(text: str) -> Quantity:
        return parse(pointed(text, decimal_comma), PRESSURE, "psi")

    def echo(text: str) -> tuple[str, bool]:
        try:
            found = read(text)
        except Unreadable as problem:
            return str(problem), False
        way = "low" if found.magnitude < 0 else "high"
        return f"it reads {way} by {abs(found):~P}, its zero apart", True

    text = refusal = ""
    while True:
        text = yield Ask(f"{mark} reads high by (- where it reads low)", echo, text, refusal)
        try:
            high = read(text)
            break
        except Unreadable as problem:
            refusal = str(problem)
    return Wrong(high, (yield from day("Known to be right last on (Enter: not known)")))
