"""The conversation that says which past tests are to be shown."""

from __future__ import annotations

from collections.abc import Generator, Iterable, Sequence
from dataclasses import replace
from typing import Any

from engine.history import Filter
from engine.present.words import OUTCOME
from tui.outside import Row
from tui.talk.asking import Ask, Pick, day
from tui.talk.opening import Find, Named

Narrowing = Generator[Ask | Pick | Find, str, Filter]

_ANY = "any"


def narrowed(chosen: Filter, rows: Sequence[Row]) -> Narrowing:
    """What is asked of past tests after one more thing was said."""
    key = yield Pick(
        "Show only",
        (("p", "product"), ("v", "verdict"), ("a", "alignment"), ("d", "dates"), ("g", "gauge"),
         ("b", "person"), ("x", "all again")),
    )  # fmt: skip
    match key:
        case "x":
            return Filter()
        case "v":
            outcome = yield from _one("Verdict", OUTCOME)
            return replace(chosen, outcome=outcome)
        case "a":
            alignment = yield from _one("Alignment", ("straight", "deflected"))
            return replace(chosen, alignment=alignment)
        case "d":
            since = yield from _day("Since (like 2026-06-03; Enter: any day)", chosen.since)
            until = yield from _day("Until (Enter: any day)", chosen.until)
            return replace(chosen, since=since, until=until)
        case "g":
            marks = {mark for row in rows for mark in _text(row, "gauge").split(", ")}
            return replace(chosen, gauge=(yield from _one("Gauge", sorted(marks))))
        case "b":
            people = {_text(row, "by") for row in rows}
            return replace(chosen, by=(yield from _one("By", sorted(people))))
        case _:
            products = {_text(row, "product") for row in rows}
            return replace(chosen, product=(yield from _one("Product", sorted(products))))


def _text(row: Row, key: str) -> str:
    return str(row.get(key) or "")


def _one(prompt: str, names: Iterable[str]) -> Generator[Any, str, str | None]:
    found = yield Find(prompt, (*(Named(name) for name in names if name), Named(_ANY)))
    return None if found == _ANY else str(found)


def _day(prompt: str, before: str | None) -> Generator[Any, str, str | None]:
    found = yield from day(prompt, before or "")
    return None if found is None else found.isoformat()
