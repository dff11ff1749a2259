"""Finding past sessions: by what is typed, by product, date, verdict, gauge and person."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

Row = Mapping[str, Any]

_SEARCHED: Final = (
    "session", "product", "marks", "alignment", "state", "when", "by", "gauge", "procedure",
    "edition",
)  # fmt: skip


def by_opening(rows: Iterable[Row]) -> list[Row]:
    """Oldest first."""
    return sorted(rows, key=_opening)


def _opening(row: Row) -> tuple[str, str]:
    return _text(row, "when"), _text(row, "session")


def _text(row: Row, key: str) -> str:
    value = row.get(key)
    return value if isinstance(value, str) else ""


class Search:
    """Rows that hold every word typed so far, as it is typed; newest first."""

    def __init__(self, rows: Iterable[Row]) -> None:
        ordered = by_opening(rows)
        ordered.reverse()
        self._all = [(_searched(row), row) for row in ordered]
        self._typed, self._found = "", self._all

    def found(self, typed: str) -> list[Row]:
        """Capitals do not matter, nor does the order of the words."""
        words = typed.casefold().split()
        # One letter more can only leave fewer: go on from what was found.
        start = self._found if self._typed and typed.startswith(self._typed) else self._all
        for word in sorted(words, key=len, reverse=True):
            start = [each for each in start if word in each[0]]
        self._typed, self._found = typed, start
        return [row for _, row in start]


def _searched(row: Row) -> str:
    practice = " practice" if row.get("practice") else ""
    return " ".join(_text(row, key) for key in _SEARCHED).casefold() + practice


@dataclass(frozen=True)
class Filter:
    """What rows have to be; None where it does not matter.  Dates as in 2027-03-31, inclusive."""

    product: str | None = None
    alignment: str | None = None
    outcome: str | None = None
    gauge: str | None = None
    by: str | None = None
    since: str | None = None
    until: str | None = None
    practice: bool | None = None
    open: bool | None = None

    def of(self, rows: Iterable[Row]) -> list[Row]:
        return [row for row in rows if self._fits(row)]

    def _fits(self, row: Row) -> bool:
        day = _text(row, "when")[:10]
        return (
            all(
                wanted is None or row.get(key) == wanted
                for key, wanted in (
                    ("product", self.product),
                    ("alignment", self.alignment),
                    ("outcome", self.outcome),
                    ("by", self.by),
                    ("practice", self.practice),
                    ("open", self.open),
                )
            )
            and (self.gauge is None or self.gauge in _text(row, "gauge").split(", "))
            and (self.since is None or day >= self.since)
            and (self.until is None or day <= self.until)
        )


def story(rows: Sequence[Row], session: str) -> list[Row]:
    """Every try on the specimen of a session, in order, abandoned and invalid ones included.

    They hang together by what each follows; and by product and marks, where there are marks, so
    that a try that nobody repeated from is not left out.
    """
    known = {_text(row, "session"): row for row in rows}
    if session not in known:
        return []
    mine = known[session]
    linked = _linked(rows, session)
    return _in_order(
        [row for row in rows if _text(row, "session") in linked or _same_specimen(row, mine)]
    )


def _same_specimen(row: Row, other: Row) -> bool:
    keys = ("product", "marks", "practice")
    return bool(other.get("marks")) and all(row.get(key) == other.get(key) for key in keys)


def _linked(rows: Sequence[Row], session: str) -> set[str]:
    """All that a session follows, and all that follow any of those."""
    beside: dict[str, set[str]] = {}
    for row in rows:
        one, other = _text(row, "session"), _text(row, "follows")
        if other:
            beside.setdefault(one, set()).add(other)
            beside.setdefault(other, set()).add(one)
    found, next_ones = {session}, [session]
    while next_ones:
        new = beside.get(next_ones.pop(), set()) - found
        found |= new
        next_ones += new
    return found


def _in_order(rows: list[Row]) -> list[Row]:
    """By opening, but none before the one that it follows, whatever the clocks said."""
    known = {_text(row, "session"): row for row in rows}
    links = {name: _text(row, "follows") for name, row in known.items()}
    ordered = sorted(known, key=lambda name: _opening(known[name]))
    return [known[name] for name in told_in_order(ordered, links)]


def told_in_order(by_time: Sequence[str], follows: Mapping[str, str | None]) -> list[str]:
    """Names in the order given, but none before the one that it follows."""
    told: dict[str, None] = {}
    for name in by_time:
        before: list[str] = []
        each = name
        while each in follows and each not in told and each not in before:
            before.append(each)
            each = follows[each] or ""
        told |= dict.fromkeys(reversed(before))
    return list(told)
