"""What ten thousand past tests cost: the bench, the history and the search, beside plain JSON.

    python -m tests.bench.past
    python -m tests.bench.past --count 10000 --runs 7

The measure of all is parsing the index file with the json module, in the same run and by turns.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Final

from engine.history import Filter, Search
from store.shelf import Shelf
from tests.again import many
from tests.benched import outside
from tests.terminal import Terminal
from tui.bench import Bench
from tui.screens import bench as bench_screen
from tui.screens import history_view
from tui.widgets.lines import Row
from tui.widgets.picker import Picker

_WIDTH, _HEIGHT = 80, 19
_TYPED: Final = "54 fail g-0"
_PATIENCE: Final = 30.0


def seconds(do: Callable[[], object]) -> float:
    started = perf_counter()
    do()
    return perf_counter() - started


def parsed(path: Path) -> object:
    """The measure: the file read and parsed, and nothing done with it."""
    return json.loads(path.read_bytes().decode())


def bench(folder: Path) -> None:
    """What the bench screen does before it draws, on a shelf that knows nothing yet."""
    rows = Bench(outside(folder)).rows()
    listed: Picker = Picker()
    listed._things, listed._row = rows, bench_screen._line
    listed.rows(_WIDTH, _HEIGHT)


def history(folder: Path) -> None:
    """What the history screen does before it draws, on a shelf that knows nothing yet."""
    rows = Bench(outside(folder)).rows()
    shown = Filter().of(rows)
    made: list[Row] = [history_view.session(row) for row in shown[:_HEIGHT]]
    assert len(made) == _HEIGHT


def letters(folder: Path) -> list[float]:
    """Seconds from each letter to what is found; the first one makes the search as well."""
    rows = Bench(outside(folder)).rows()
    search: list[Search] = []

    def letter(typed: str) -> None:
        if not search:
            search.append(Search(rows))
        search[0].found(typed)

    return [seconds(lambda n=n: letter(_TYPED[:n])) for n in range(1, len(_TYPED) + 1)]  # type: ignore[misc]


def held(folder: Path) -> int:
    """Bytes that rows and search hold on to."""
    tracemalloc.start()
    rows = Bench(outside(folder)).rows()
    kept = rows, Search(rows)
    size, _ = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert kept
    return size


def first_frame(store: Path, marker: str) -> float:
    command = ("-m", "tui", "--store", str(store), "--by", "R. Example")
    with Terminal.python(*command) as terminal:
        return terminal.wait_for(marker, timeout=_PATIENCE)


def measure(count: int, runs: int) -> list[str]:
    with tempfile.TemporaryDirectory() as name:
        full, empty = Path(name) / "full", Path(name) / "empty"
        rows = many(count)
        Shelf(full / "store").index.rebuild({str(row["session"]): row for row in rows})
        index = full / "store" / "index.json"
        took: dict[str, list[float]] = {"json": [], "bench": [], "history": []}
        for _ in range(runs + 1):
            took["json"].append(seconds(lambda: parsed(index)))
            took["bench"].append(seconds(lambda: bench(full)))
            took["history"].append(seconds(lambda: history(full)))
        typed = letters(full)
        frames: dict[str, list[float]] = {"full": [], "empty": []}
        for _ in range(max(2, runs // 2) + 1):
            frames["full"].append(first_frame(full / "store", f"{count} past"))
            frames["empty"].append(first_frame(empty / "store", "0 past"))
        size, memory = index.stat().st_size, held(full)
    base = median(took["json"][1:])
    told = [f"{count} past tests, index of {size / 1e6:.1f} MB; json alone {base * 1000:.0f} ms"]
    for each in ("bench", "history"):
        mine = median(took[each][1:])
        told.append(f"{each:10}{mine * 1000:6.0f} ms  {mine / base:5.2f} x json (budget 2)")
    more = median(frames["full"][1:]) - median(frames["empty"][1:])
    told.append(f"{'frame':10}{more * 1000:6.0f} ms  {more / base:5.2f} x json more than empty")
    told.append(
        f"{'search':10}{typed[0] * 1000:6.0f} ms the first letter, "
        f"then at most {max(typed[1:]) * 1000:.0f} ms"
    )
    told.append(f"{'memory':10}{memory / 1e6:6.1f} MB, {memory / size:.1f} x the file")
    return told


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.past", description=__doc__)
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("--count", type=int, default=10_000, help="past tests")
    parser.add_argument("--runs", type=int, default=7, help="runs counted of each")
    given = parser.parse_args()
    sys.stdout.write("\n".join(measure(given.count, given.runs)) + "\n")


if __name__ == "__main__":
    main()
