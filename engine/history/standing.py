"""A product's standing: which alignments have passed, and which are missing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final

from engine.history.finding import Row, by_opening

Interval = int | Callable[[str, str], int | None]
"""Days after which a proof is to be given again: for all, or by procedure and alignment."""

ALIGNMENTS: Final = ("straight", "deflected")


@dataclass(frozen=True)
class Proof:
    """One alignment of one version of a product, passed under one edition of one procedure."""

    version: int
    """Versions are numbered in the order in which they were first tested."""
    make: str
    alignment: str
    procedure: str
    edition: str
    specimens: tuple[str, ...]
    """Marks, in order; sections without marks count as one specimen together."""
    first: str
    last: str
    """Days of the first and the last pass."""
    sessions: tuple[str, ...]
    failed_since: tuple[str, ...]
    """Sessions that failed, whatever they were held under, on a specimen that has not passed
    since."""
    due: str | None = None
    """The day from which it is to be tested again, where an interval was set."""
    overdue: bool = False


@dataclass(frozen=True)
class Missing:
    """An alignment that a version of the product has not passed."""

    version: int
    make: str
    alignment: str
    tries: tuple[str, ...]
    """Sessions that were closed without a pass."""


@dataclass(frozen=True)
class Standing:
    product: str
    proofs: tuple[Proof, ...]
    missing: tuple[Missing, ...]
    open: tuple[str, ...]
    """Sessions that are going on."""

    @property
    def latest(self) -> int:
        """The version that was first tested last; 0 where none was."""
        versions = [*(p.version for p in self.proofs), *(m.version for m in self.missing)]
        return max(versions, default=0)


def standing(
    rows: Iterable[Row],
    product: str,
    wanted: Sequence[str] = ALIGNMENTS,
    every_days: Interval | None = None,
    today: dt.date | None = None,
) -> Standing:
    """Where a product stands; practice counts for nothing.

    A retest is due only where somebody set an interval: no document known says how long a proof
    is good for. Overdue needs `today`.
    """
    mine = by_opening(
        row for row in rows if row.get("product") == product and not row.get("practice")
    )
    closed = [row for row in mine if not row.get("open")]
    makes = list(dict.fromkeys(str(row.get("make", "")) for row in mine))
    proofs: list[Proof] = []
    missing: list[Missing] = []
    for version, make in enumerate(makes, 1):
        of_make = [row for row in closed if row.get("make") == make]
        for alignment in dict.fromkeys([*wanted, *(str(r.get("alignment")) for r in of_make)]):
            here = [row for row in of_make if row.get("alignment") == alignment]
            found = list(_proofs(version, here, every_days, today))
            proofs += found
            if not found and alignment in wanted:
                tries = tuple(str(row["session"]) for row in here)
                missing.append(Missing(version, make, alignment, tries))
    going_on = tuple(str(row["session"]) for row in mine if row.get("open"))
    return Standing(product, tuple(proofs), tuple(missing), going_on)


def _proofs(
    version: int, rows: Sequence[Row], every_days: Interval | None, today: dt.date | None
) -> Iterable[Proof]:
    passes = sorted(
        (row for row in rows if row.get("outcome") == "pass" and row.get("state") != "DAMAGED"),
        key=_under,
    )
    for (procedure, edition), group in groupby(passes, key=_under):
        passed = by_opening(group)
        last = passed[-1]
        due = _due(last, every_days)
        yield Proof(
            version=version,
            make=str(last.get("make", "")),
            alignment=str(last.get("alignment", "")),
            procedure=procedure,
            edition=edition,
            specimens=tuple(dict.fromkeys(str(row.get("marks") or "") for row in passed)),
            first=_day(passed[0]),
            last=_day(last),
            sessions=tuple(str(row["session"]) for row in passed),
            failed_since=_failed(rows),
            due=due.isoformat() if due else None,
            overdue=due is not None and today is not None and today > due,
        )


def _failed(rows: Sequence[Row]) -> tuple[str, ...]:
    """Failures that no later pass of the same marks has answered."""

    def answered(place: int, marks: object) -> bool:
        later = rows[place + 1 :]
        return bool(marks) and any(
            r.get("outcome") == "pass" and r.get("marks") == marks for r in later
        )

    return tuple(
        str(row["session"])
        for place, row in enumerate(rows)
        if row.get("outcome") == "fail" and not answered(place, row.get("marks"))
    )


def _under(row: Mapping[str, Any]) -> tuple[str, str]:
    return str(row.get("procedure", "")), str(row.get("edition", ""))


def _day(row: Mapping[str, Any]) -> str:
    return str(row.get("when", ""))[:10]


def _due(row: Mapping[str, Any], interval: Interval | None) -> dt.date | None:
    under, held = _under(row)[0], str(row.get("alignment"))
    days = interval(under, held) if callable(interval) else interval
    if days is None:
        return None
    try:
        return dt.date.fromisoformat(_day(row)) + dt.timedelta(days=days)
    except (ValueError, OverflowError):
        return None
