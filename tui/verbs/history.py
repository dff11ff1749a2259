"""`history`: where a product stands, every test of it, and what is usual of it.

`--json` prints one object, what there is not is null or empty:

    product
    proofs    make, version, alignment, procedure, edition, specimens, first, last, sessions,
              failed_since, due, overdue: one for each alignment passed under one edition
    missing   make, version, alignment, tries
    open      sessions that are going on
    tests     session, when, alignment, outcome, state, marks, by, gauge: oldest first
    trends    by figure (lost, flow, air, top_ups, seconds): unit, values as [session, value],
              and low, mean, high, word where there are eight or more
"""

from __future__ import annotations

import json
from argparse import Namespace
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import asdict
from typing import Any, Final

from engine.history import FIGURES, by_opening, chart, standing, trend
from engine.history.shown import SHOWN, figure, units_of
from engine.plain import visible
from engine.trouble import Trouble
from tui import histories
from tui.bench import Bench
from tui.outside import Outside, Row
from tui.paragraphs import COLUMNS, short

_KEYS: Final = ("session", "when", "alignment", "outcome", "state", "marks", "by", "gauge")
_TOLD: Final = 5


def run(outside: Outside, args: Namespace) -> int:
    bench = Bench(outside)
    with suppress(Trouble):  # it can be told from a store that cannot be written as well
        bench.mend()
    rows = bench.rows()
    product = _product(rows, args.product)
    if args.json:
        print(json.dumps(_as_data(bench, rows, product), indent=1, ensure_ascii=False))
        return 0
    print("\n".join(line.rstrip() for line in _told(bench, rows, product)))
    return 0


def _product(rows: Sequence[Row], asked: str) -> str:
    """The one product of that name, or with all these words in its name.  Raises Trouble."""
    names = sorted({str(row.get("product", "")) for row in rows if not row.get("practice")})
    if asked in names:
        return asked
    words = asked.casefold().split()
    found = [name for name in names if words and all(w in name.casefold() for w in words)]
    if len(found) == 1:
        return found[0]
    if not found:
        raise Trouble(f"no test of {short(asked, 60)!r} is in the store")
    more = f" and {len(found) - _TOLD} more" if len(found) > _TOLD else ""
    named = ", ".join(repr(short(name, 40)) for name in found[:_TOLD])
    raise Trouble(f"{short(asked, 60)!r} fits {len(found)} products: {named}{more}")


def _as_data(bench: Bench, rows: Sequence[Row], product: str) -> dict[str, Any]:
    found = standing(rows, product, every_days=bench.interval(), today=bench.today())
    told = asdict(found)
    mine = by_opening(_mine(rows, product))
    return {
        **{key: told[key] for key in ("product", "proofs", "missing", "open")},
        "tests": [{key: row.get(key) for key in _KEYS} for row in mine],
        "trends": {name: _trend(rows, product, name) for name in SHOWN},
    }


def _trend(rows: Sequence[Row], product: str, name: Any) -> dict[str, Any]:
    points = trend(rows, product, name)
    limits = chart(points)
    usual = {key: getattr(limits, key) if limits else None for key in ("low", "mean", "high")}
    return {
        "unit": FIGURES[name],
        "values": [[point.session, point.value] for point in points],
        **usual,
        "word": limits.word if limits else None,
    }


def _mine(rows: Sequence[Row], product: str) -> list[Row]:
    return [row for row in rows if row.get("product") == product and not row.get("practice")]


def _told(bench: Bench, rows: Sequence[Row], product: str) -> Iterator[str]:
    for spans in histories.standing_rows(rows, product, bench.today(), COLUMNS, bench.interval()):
        yield visible("".join(text for text, _ in spans))
    yield "\nTests"
    for row in by_opening(_mine(rows, product)):
        lost = figure("lost", row.get("lost"), row.get("units"))
        yield short(
            f"  {row.get('when', '')!s:<16}  {row.get('state', '')!s:<9}  "
            f"{row.get('alignment', '')!s:<9}  {row.get('marks', '')!s:<17.17}  {lost:>9}",
            COLUMNS,
        )
    yield "\nUsual"
    units = units_of(rows, product)
    for name, shown in SHOWN.items():
        limits = chart(trend(rows, product, name))
        if limits is not None:
            low, high = (figure(name, v, units) for v in (limits.low, limits.high))
            yield f"  {shown.name:<34} {low} to {high}"
            if limits.word:
                yield f"  {'':<34} {limits.word}"
        else:
            yield f"  {shown.name:<34} too few tests to say"
