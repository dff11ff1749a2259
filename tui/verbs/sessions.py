"""`sessions`: what is in the store, open tests first, practice apart.

`--json` prints a list of objects, what there is not is null:

    session, open, state (the stage of an open test, else the outcome), when (it was opened),
    product, marks, alignment, gauge, by (who wrote last), follows (the session before it), practice
"""

from __future__ import annotations

import json
from argparse import Namespace
from collections.abc import Iterator, Sequence

from tui.outside import Outside, Row
from tui.paragraphs import COLUMNS, short
from tui.sessions import listed

KEYS = (
    *("session", "open", "state", "when", "product", "marks", "alignment", "gauge", "by"),
    *("follows", "practice"),
)
_WIDEST = 20
"""Columns for an identity in line with the rest; a longer one has a line to itself."""


def run(outside: Outside, args: Namespace) -> int:
    rows = listed(outside)
    if args.json:
        print(json.dumps([{key: row.get(key) for key in KEYS} for row in rows], indent=1,
                         ensure_ascii=False))  # fmt: skip
        return 0
    print("\n".join(_told(rows)) if rows else f"No sessions in {short(outside.store, 60)}")
    return 0


def _told(rows: Sequence[Row]) -> Iterator[str]:
    parts = (
        ("Open", [r for r in rows if r.get("open") and not r.get("practice")]),
        ("Past", [r for r in rows if not r.get("open") and not r.get("practice")]),
        ("Practice joint: none of these is a real test", [r for r in rows if r.get("practice")]),
    )
    between = ""
    for heading, found in parts:
        if found:
            yield f"{between}{heading}"
            yield from _lines(found)
            between = "\n"


def _lines(rows: Sequence[Row]) -> Iterator[str]:
    names = [short(str(row["session"]), 64) for row in rows]
    width = max((len(name) for name in names if len(name) <= _WIDEST), default=0)
    for name, row in zip(names, rows, strict=True):
        long = len(name) > _WIDEST
        if long:
            yield f"  {name}"
        yield f"  {'' if long else name:<{width}}  {_said(row, COLUMNS - width - 5)}"


def _said(row: Row, columns: int) -> str:
    when, state = _text(row, "when") or "-", _text(row, "state") or "-"
    going_on = " open" if row.get("practice") and row.get("open") else ""
    what = ", ".join(filter(None, (_text(row, key) for key in ("marks", "product", "alignment"))))
    told = f"{when:<16}  {state + going_on:<9}  {what or _text(row, 'why')}"
    return short(told.rstrip(), columns)


def _text(row: Row, key: str) -> str:
    return str(row.get(key) or "")
