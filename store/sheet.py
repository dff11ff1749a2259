"""Readings as CSV, made so that no spreadsheet takes a cell for a command."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from typing import Final, Literal

from engine.certificate import Logged, log
from engine.session import Session
from engine.units import amount, q
from store.faults import plain

_UNIT: Final = {"us": "psi", "si": "kPa"}


def columns(units: Literal["us", "si"]) -> tuple[str, ...]:
    """`seconds` after the hold was started, else after the session was opened; `corrected_` is
    `as_read` less the gauge's zero, `needed_` and `cap_` are those of that gauge: all three in the
    units of the plan, `psi` or `kpa`, as the name says."""
    unit = _UNIT[units].lower()
    return (
        "session", "record", "read_at", "seconds", "as_read", "unit", "gauge", f"corrected_{unit}",
        f"needed_{unit}", f"cap_{unit}", "counts_as", "top_up", "late", "read_by", "read_from",
    )  # fmt: skip


_COMMANDS: Final = re.compile(r"\s*[=+\-@\uff1d\uff0b\uff0d\uff20|%]")


def readings_csv(identity: str, session: Session) -> bytes:
    """All readings that were not struck, in order of time; UTF-8, one line each."""
    page = io.StringIO()
    writer = csv.writer(page, lineterminator="\r\n")
    writer.writerow(columns(session.plan.units))
    writer.writerows(_cells(identity, row, session) for row in log(session))
    return page.getvalue().encode()


def _cells(identity: str, row: Logged, session: Session) -> Iterator[str | int | float]:
    reading, unit = row.reading, _UNIT[session.plan.units]
    yield from (defused(identity), reading.seq, row.at.isoformat(timespec="milliseconds"))
    yield from (_number(row.seconds), float(reading.written.magnitude), defused(row.unit))
    yield defused(reading.mark or session.plan.gauge.mark)
    yield from (
        _number(amount(q(psi, "psi"), unit)) for psi in (row.corrected, row.needed, row.cap)
    )
    yield row.how
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
