"""A log of readings from elsewhere: strict, bounded, and faulted by line and column."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from engine.conversions import KPA_PER_PSI
from engine.falling.logged import Log
from engine.falling.loss import TopUps
from store.faults import Malformed, plain
from store.paths import contents

SIZE: Final = 16 << 20
ROWS: Final = 250_000
_LONGEST_LINE: Final = 4096

_PRESSURES: Final = {"pressure_psi": 1.0, "pressure_kpa": 1 / KPA_PER_PSI}
_WITHIN: Final = {
    "seconds": (-1e12, 1e12),
    "pressure_psi": (-15.0, 1000.0),
    "pressure_kpa": (-103.0, 6900.0),
    "temperature_c": (-40.0, 120.0),
    "added_ml": (-1e6, 1e6),
}
"""The columns there may be, and what each may hold."""
_EXPECTED: Final = (
    "a header like seconds,pressure_psi (or pressure_kpa; temperature_c and added_ml as well)"
)
_UNMEASURED: Final = ("?", "unknown")


def read_log(path: Path) -> Log:
    """The readings in a file of values with commas, semicolons or tabs between them.

    Raises Malformed in one line: which file, line and column, what was found, what was expected.
    """
    data = contents(path, SIZE)
    try:
        return _log(_text(data))
    except Malformed as fault:
        raise Malformed(f"{plain(path.name)}: {fault}") from None


def _text(data: bytes) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\0" in data:
        raise Malformed("UTF-16, or no text at all; expected UTF-8 text: save it as CSV UTF-8")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise Malformed(f"line {line}: not UTF-8 text; save it as CSV UTF-8") from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _log(text: str) -> Log:
    lines = [(n, line) for n, line in enumerate(text.split("\n"), 1) if line.strip()]
    if not lines:
        raise Malformed(f"empty; expected {_EXPECTED}")
    if len(lines) - 1 > ROWS:
        raise Malformed(f"{len(lines) - 1} readings; {ROWS} are the most")
    mark = next((m for m in ";\t" if m in lines[0][1]), ",")
    [(number, cells)] = _cells(lines[:1], mark)
    table = _Table(_columns(number, cells), mark)
    for number, cells in _cells(lines[1:], mark):
        table.add(number, cells)
    if not table.lines:
        raise Malformed("a header and no readings; expected one or more")
    return table.log()


def _cells(lines: Sequence[tuple[int, str]], mark: str) -> Iterator[tuple[int, list[str]]]:
    for number, line in lines:
        if len(line) > _LONGEST_LINE:
            raise Malformed(f"line {number}: {len(line)} characters; expected a few dozen")
        if '"' not in line:
            yield number, line.split(mark)
            continue
        try:
            yield number, next(csv.reader([line], delimiter=mark, strict=True))
        except (csv.Error, StopIteration):
            raise Malformed(f"line {number}: quotation marks that do not close") from None


def _columns(number: int, cells: Sequence[str]) -> list[str]:
    names = [cell.strip().lower() for cell in cells]
    for name in names:
        if name == "pressure":
            raise Malformed(f"line {number}: pressure has no unit; expected pressure_psi or "
                            "pressure_kpa")  # fmt: skip
        if name not in _WITHIN:
            raise Malformed(f"line {number}: column {plain(name, 30)!r}; expected {_EXPECTED}")
        if names.count(name) > 1:
            raise Malformed(f"line {number}: column {name} stands there twice")
    if "seconds" not in names or sum(name in _PRESSURES for name in names) != 1:
        shown = plain(",".join(names), 60)
        raise Malformed(f"line {number}: {shown}; expected {_EXPECTED}")
    return names


class _Table:
    """Readings as they come in, each row held against the one before it."""

    def __init__(self, columns: Sequence[str], mark: str) -> None:
        self._columns, self._mark = columns, mark
        self._pressure = next(name for name in columns if name in _PRESSURES)
        self.lines: list[int] = []
        self._times: list[float] = []
        self._psi: list[float] = []
        self._warm: list[float | None] = []
        self._starts: list[int] = []
        self._added: list[float | None] = []

    def add(self, line: int, cells: Sequence[str]) -> None:
        if len(cells) != len(self._columns):
            hint = " (is a comma the decimal sign?)" if self._mark == "," else ""
            expected = len(self._columns)
            raise Malformed(f"line {line}: {len(cells)} values; expected {expected}{hint}")
        for column, cell in zip(self._columns, cells, strict=True):
            self._take(line, column, cell.strip())
        self.lines.append(line)

    def _take(self, line: int, column: str, cell: str) -> None:
        if column == "temperature_c":
            self._warm.append(self._number(line, column, cell) if cell else None)
        elif column == "added_ml":
            ml = None
            if cell.lower() not in _UNMEASURED:
                ml = self._number(line, column, cell) if cell else 0.0
            if ml != 0.0:
                self._starts.append(len(self.lines))
                self._added.append(ml)
        elif column == "seconds":
            time = self._number(line, column, cell)
            if self._times and time < self._times[-1]:
                raise Malformed(f"line {line}, seconds: {time:g} after {self._times[-1]:g}; "
                                "expected time to go on")  # fmt: skip
            self._times.append(time)
        else:
            self._psi.append(self._number(line, column, cell) * _PRESSURES[column])

    def _number(self, line: int, column: str, cell: str) -> float:
        """A decimal comma is read only where commas part no values, and could part no thousands."""
        text = cell
        if self._mark != "," and cell.count(",") == 1 and "." not in cell:
            whole, _, rest = cell.partition(",")
            if len(rest) == 3 and whole.lstrip("-") != "0":
                raise Malformed(f"line {line}, {column}: {plain(cell, 30)!r} can be read in two "
                                "ways; expected a point before decimals")  # fmt: skip
            text = f"{whole}.{rest}"
        low, high = _WITHIN[column]
        try:
            value = float(text) if text.isascii() and "_" not in text else math.nan
        except ValueError:
            value = math.nan
        if low <= value <= high:
            return value
        found = repr(plain(cell, 30)) if cell else "nothing"
        raise Malformed(f"line {line}, {column}: {found}; expected a number from {low:g} to "
                        f"{high:g}")  # fmt: skip

    def log(self) -> Log:
        return Log(
            times_s=tuple(self._times),
            psi=tuple(self._psi),
            lines=tuple(self.lines),
            written="psi" if self._pressure == "pressure_psi" else "kPa",
            water_degc=tuple(self._warm) if "temperature_c" in self._columns else None,
            top_ups=TopUps(tuple(self._starts), tuple(self._added)),
        )
