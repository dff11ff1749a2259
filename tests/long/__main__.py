"""The full counts of what the tests of faults try a little of.

    python -m tests.long                  all of it: half an hour
    python -m tests.long kill flip        only these parts
    python -m tests.long --share 0.1      a tenth of each

Prints, by kind of fault: how many were tried, how many records had been acknowledged, how many of
those were lost, and how long it took.  Ends with status 1 where anything was lost or went wrong.
"""

from __future__ import annotations

import argparse
import os
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Final

from tests.long.counting import Long, Row, Rows
from tests.long.disks import disks
from tests.long.files import cut, flip
from tests.long.inputs import fuzz, monkey
from tests.long.killed import kill
from tests.long.links import link, whole
from tests.processes import marked

MARK: Final = f"LONG_RUN={os.getpid()}"
PARTS: Final[dict[str, Callable[[Long], Rows]]] = {
    "kill": kill, "cut": cut, "flip": flip, "disks": disks, "link": link, "whole": whole,
    "fuzz": fuzz, "monkey": monkey,
}  # fmt: skip


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.long", description=__doc__)
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("parts", nargs="*", help=f"of {', '.join(PARTS)}; all where none is named")
    parser.add_argument("--share", type=float, default=1.0, help="of the full counts")
    given = parser.parse_args()
    if unknown := set(given.parts) - PARTS.keys():
        parser.error(f"no part is called {', '.join(sorted(unknown))}: {', '.join(PARTS)} are")
    name, _, value = MARK.partition("=")
    os.environ[name] = value
    # Under nohup every child would ignore it too, and an ssh client outlive its terminal.
    signal.signal(signal.SIGHUP, signal.SIG_DFL)
    place = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
    with tempfile.TemporaryDirectory(dir=place) as memory, tempfile.TemporaryDirectory() as folder:
        lost = _run(given.parts or list(PARTS), Long(Path(memory), Path(folder), given.share))
    left = marked(MARK) - {os.getpid()}
    _say(f"processes left: {len(left)}")
    return 1 if lost or left else 0


def _run(parts: list[str], long: Long) -> int:
    _say(f"{'fault':58}{'tried':>9}{'acknowledged':>14}{'lost':>6}{'seconds':>9}")
    total = Row("all", 0, 0)
    for part in parts:
        start = time.monotonic()
        for row in PARTS[part](long):
            _say(f"{row.kind:58}{row.tried:9,}{row.acknowledged:14,}{row.lost:6}"
                 f"{time.monotonic() - start:9.1f}")  # fmt: skip
            total = Row("all", *(a + b for a, b in zip(total[1:], row[1:], strict=True)))
            start = time.monotonic()
    _say(f"{total.kind:58}{total.tried:9,}{total.acknowledged:14,}{total.lost:6}")
    return total.lost


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
