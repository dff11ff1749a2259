"""Readings as CSV, made so that no spreadsheet takes a cell for a command."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from typing import Final

from engine.certificate import Logged, log
from engine.session import Session
from store.faults import plain

COLUMNS: Final = (
    "session", "record", "read_at", "seconds", "as_read", "unit", "gauge", "corrected_psi",
    "needed_psi", "cap_psi", "counts_as", "top_up", "late", "read_by", "read_from",
)  # fmt: skip
"""`seconds` after the hold was started, else after the session was opened; `corrected_psi` is
`as_read` less the gauge's zero; `needed_psi` and `cap_psi` are those of that gauge."""

_COMMANDS: Final = re.compile(r"\s*[=+\-@\uff1d\uff0b\uff0d\uff20|%]")


def readings_csv(identity: str, session: Session) -> bytes:
    """All readings that were not struck, in order of time; UTF-8, one line each."""
    page = io.StringIO()
    writer = csv.writer(page, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    writer.writerows(_cells(identity, row, session) for row in log(session))
    return page.getvalue().encode()


def _cells(identity: str, row: Logged, session: Session) -> Iterator[str | int | float]:
    reading = row.reading
    yield from (defused(identity), reading.seq, row.at.isoformat(timespec="milliseconds"))
    yield from (_number(row.seconds), float(reading.written.magnitude), defused(row.unit))
    yield defused(reading.mark or session.plan.gauge.mark)
    yield from (_number(row.corrected), _number(row.needed), _number(row.cap), row.how)
    yield from (reading.topping or "", "late" if reading.late else "")
    yield from (defused(row.read_by or ""), row.read_from or "")


def _number(value: float) -> float:
    """To a millionth: nothing finer was ever read."""
    return round(value, 6) + 0.0


def defused(text: str) -> str:
    """`text` on one line that a spreadsheet shows and does not carry out.

    What begins like a formula, after blanks or tabs too, gets an apostrophe in front.
    """
    begins = _COMMANDS.match(text) is not None or text[:1] in ("\t", "\r", "\n")
    line = plain(text, 2000)
    return f"'{line}" if begins else line
