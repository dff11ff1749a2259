"""How often the judgement of a hold is right, over practice joints of known causes.

python -m tests.bench.judging [--joints 2400] [--first-seed 100000] [--write]

Prints a page of tables, and with --write keeps it as judging.md beside this module. The same
seeds always give the same page, but for the time it took.
"""

from __future__ import annotations

import argparse
import math
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Final

from tests.bench.joints import (
    GRADUATIONS,
    HOLDS_MIN,
    MADE,
    TRUTH,
    Case,
    Judged,
    drawn,
    falls_seen,
    judged,
)

PAGE: Final = Path(__file__).with_suffix(".md")
TUNED: Final = range(2400)
LEAKS: Final = {"steady_leak", "pressure_leak"}
FLOWS: Final = tuple(0.005 * 2 ** (n / 2) for n in range(21))
"""mL/min, from a drop in ten minutes up by a factor of 1.4."""
_EACH: Final = 8
"""Joints for each flow."""

Rows = list[list[str]]


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--joints", type=int, default=2400)
    parser.add_argument("--first-seed", type=int, default=100_000)
    parser.add_argument("--write", action="store_true")
    args = parser.parse_args()
    started = time.monotonic()
    seeds = range(args.first_seed, args.first_seed + args.joints)
    with ProcessPoolExecutor(2) as pool:
        found = list(pool.map(judged, map(drawn, seeds), chunksize=20))
        places = [(r, m) for r in GRADUATIONS for m in HOLDS_MIN]
        smallest = dict(zip(places, pool.map(smallest_seen, places), strict=True))
    minutes = (time.monotonic() - started) / 60
    page = "\n".join(written(found, smallest, seeds, minutes))
    print(page)
    if args.write:
        PAGE.write_text(page + "\n", encoding="utf-8")


def smallest_seen(place: tuple[float, int]) -> float | None:
    """The smallest leak that was seen in every joint, as were all larger ones; mL/min."""
    graduation, minutes = place
    seen = None
    for flow in reversed(FLOWS):
        if not all(falls_seen(seed, graduation, minutes, flow) for seed in range(_EACH)):
            break
        seen = flow
    return seen


def written(
    found: Sequence[Judged], smallest: dict[tuple[float, int], float | None], seeds: range,
    minutes: float,
) -> Iterator[str]:  # fmt: skip
    yield "# How often the judgement of a hold is right"
    yield ""
    yield (f"Measured by `python -m tests.bench.judging --joints {len(found)} --first-seed "
           f"{seeds.start}` in {minutes:.0f} min on two processes; seeds {seeds.start} to "
           f"{seeds.stop - 1}.")  # fmt: skip
    yield _JOINTS
    yield "## Bounds"
    yield ""
    yield from _table(["", "held the truth", "of", "share"], _bounds(found))
    yield _AFTER_BOUNDS
    yield "## Causes named"
    yield ""
    yield from _table(["known", "joints", "named", "rightly", "wrongly", "wrong of named"],
                      [_naming("everything", found), *_by_knowledge(found)])  # fmt: skip
    yield ""
    yield from _sureness(found)
    yield ""
    yield "By dial and hold: named / wrongly / joints."
    yield ""
    yield from _grid(lambda r, m: _counts(_at(found, r, m)))
    yield ""
    yield "By what truly took most: named rightly / wrongly / joints."
    yield ""
    yield from _table(["truth", *(f"{m} min" for m in HOLDS_MIN)], _by_truth(found))
    yield from _mistaken(found)
    yield "## Creep told from a leak"
    yield ""
    yield _CREEP
    yield ""
    yield from _grid(lambda r, m: _apart(_at(found, r, m)))
    yield ""
    yield "## Smallest leak seen"
    yield ""
    yield _SMALLEST
    yield ""
    yield from _grid(lambda r, m: _flow(smallest[r, m]))


_JOINTS: Final = """
Each joint is the usual pocket of 3.4 L with up to 2 % of air (the plan assumes 1 %), filled, raised
to 15 psi, settled and held; a reading each minute, off by a normal error of a tenth of a graduation
before it is rounded to the mark. One cause is drawn (or none), of 0.1 to 3 psi; in a third of the
joints a second one adds 10 to 60 % of that. A thermometer is there in 7 of 10; rods are known to be
shaded unless the sun is one of the causes; points of pressure and volume were taken in 4 of 10;
in 3 of 10 nothing is known but the readings and the plan. A cause is named rightly where it is the
one that takes most by itself; the two kinds of leak count as one; not to name one is never wrong.
"""
_AFTER_BOUNDS: Final = """
"Not before" is right where the true pressure is still high enough at the earliest moment given, if
nothing changes.
"""
_CREEP: Final = """Joints with one of the two causes alone, of more than 4 graduations:
the other is no longer possible / their own is wrongly excluded / joints."""
_SMALLEST: Final = f"""mL/min at 15 psi (one drop a minute is 0.05), of a grid with steps of 1.4:
{_EACH} joints each, all of which said that the gauge falls, as did those of every larger leak."""


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    yield f"| {' | '.join(head)} |"
    yield f"|{'---|' * len(head)}"
    for row in rows:
        yield f"| {' | '.join(row)} |"


def _grid(cell: Callable[[float, int], str]) -> Iterator[str]:
    head = ["graduation", *(f"{m} min" for m in HOLDS_MIN)]
    rows = [[f"{r:g} psi", *(cell(r, m) for m in HOLDS_MIN)] for r in GRADUATIONS]
    yield from _table(head, rows)


def _at(found: Sequence[Judged], graduation: float, minutes: int) -> list[Judged]:
    return [j for j in found if (j.case.graduation, j.case.minutes) == (graduation, minutes)]


def _bounds(found: Sequence[Judged]) -> Rows:
    crossing = [j for j in found if j.spare < float("inf")]
    rows = [("rate", [j.rate[0] <= j.fell <= j.rate[2] for j in found])]
    for points, words in (
        (False, "flow, stiffness planned"),
        (True, "flow, stiffness from points"),
    ):
        rows.append((words, [j.flow[0] <= j.worth <= j.flow[2]
                             for j in found if j.case.points == points]))  # fmt: skip
    rows.append(("not before", [j.spare >= 0 for j in crossing]))
    return [[what, f"{sum(held)}", f"{len(held)}", _percent(sum(held), len(held))]
            for what, held in rows]  # fmt: skip


def _right(one: Judged) -> bool:
    return one.named in TRUTH[one.truth]


def _naming(words: str, some: Sequence[Judged]) -> list[str]:
    named = [j for j in some if j.named]
    wrong = sum(not _right(j) for j in named)
    figures = (len(some), len(named), len(named) - wrong, wrong)
    return [words, *map(str, figures), _percent(wrong, len(named))]


def _by_knowledge(found: Sequence[Judged]) -> Rows:
    kinds: list[tuple[str, Callable[[Case], bool]]] = [
        ("points and thermometer", lambda c: c.points and c.thermometer),
        ("thermometer", lambda c: c.thermometer and not c.points and not c.log_only),
        ("points", lambda c: c.points and not c.thermometer),
        ("neither", lambda c: not (c.thermometer or c.points or c.log_only)),
        ("a log and a thermometer", lambda c: c.log_only and c.thermometer),
        ("a log alone", lambda c: c.log_only and not c.thermometer),
    ]
    return [_naming(words, [j for j in found if fits(j.case)]) for words, fits in kinds]


def _sureness(found: Sequence[Judged]) -> Iterator[str]:
    """Wilson's interval for the share that was wrong."""
    named = [j for j in found if j.named]
    if not named:
        return
    n, z = len(named), 1.96
    share = sum(not _right(j) for j in named) / n
    middle = (share + z**2 / 2 / n) / (1 + z**2 / n)
    reach = z * math.sqrt(share * (1 - share) / n + z**2 / 4 / n**2) / (1 + z**2 / n)
    yield (f"Of {n} named that is wrong in {100 * (middle - reach):.0f} to "
           f"{100 * (middle + reach):.0f} % (95 %, Wilson). The limits of the comparison were set "
           f"on seeds {TUNED.start} to {TUNED.stop - 1}: other seeds show what they are "
           "worth.")  # fmt: skip


def _counts(some: Sequence[Judged]) -> str:
    named = [j for j in some if j.named]
    return f"{len(named)} / {sum(not _right(j) for j in named)} / {len(some)}"


def _by_truth(found: Sequence[Judged]) -> Rows:
    rows = []
    for made in MADE:
        row = [made.replace("_", " ")]
        for minutes in HOLDS_MIN:
            some = [j for j in found if j.truth == made and j.case.minutes == minutes]
            right = sum(_right(j) for j in some if j.named)
            wrong = sum(not _right(j) for j in some if j.named)
            row.append(f"{right} / {wrong} / {len(some)}")
        rows.append(row)
    return rows


def _mistaken(found: Sequence[Judged]) -> Iterator[str]:
    wrong = [j for j in found if j.named and not _right(j)]
    pairs = {(j.truth, str(j.named)): 0 for j in wrong}
    for j in wrong:
        pairs[j.truth, str(j.named)] += 1
    listed = sorted(pairs.items(), key=lambda item: -item[1])
    said = ", ".join(f"{made} as {named} {count}" for (made, named), count in listed) or "none"
    yield ""
    yield f"Named wrongly: {said}."
    yield ""


def _apart(some: Sequence[Judged]) -> str:
    apart = wrong = joints = 0
    for j in some:
        if j.case.second != "nothing" or j.case.size <= 4 * j.case.graduation:
            continue
        if j.truth not in ("creep", "leak"):
            continue
        joints += 1
        own, other = ({"creep"}, LEAKS) if j.truth == "creep" else (LEAKS, {"creep"})
        apart += not other & set(j.possible)
        wrong += not own & set(j.possible)
    return f"{apart} / {wrong} / {joints}"


def _flow(flow: float | None) -> str:
    return "-" if flow is None else f"{flow:.2g}"


def _percent(part: int, whole: int) -> str:
    return f"{100 * part / whole:.1f} %" if whole else "-"


if __name__ == "__main__":
    main()
