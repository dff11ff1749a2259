"""The checks of a stage, with a cursor that stays on its check when the rows change.

checklist.update([CheckRow("relief", "open", "Prove the relief valve", "2 min left"), ...])
checklist.take(event)              # from a screen that routes its keys: True if it was used
checklist.chosen                   # the check under the cursor; `Checklist.Moved` follows it

A check stands on one row, and its sentence is cut where there is no room for more.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Final, Literal, NamedTuple

from rich.cells import cell_len
from textual import events
from textual.message import Message

from tui.theme import Tone
from tui.widgets.cursor import goal, kept, window
from tui.widgets.lines import Lines, Row, cut, wrapped

__all__ = ["SIGNS", "CheckRow", "Checklist", "Sign"]

Sign = Literal["settled", "open", "waiting", "blocked", "waived", "carried"]

SIGNS: Final[dict[Sign, tuple[str, Tone]]] = {
    "settled": ("[x]", "good"),
    "open": ("[ ]", "plain"),
    "waiting": ("[~]", "accent"),
    "blocked": ("[!]", "bad"),
    "waived": ("[w]", "warn"),
    "carried": ("[=]", "good"),
}
"""How each state is drawn, and its tone.  `carried` is settled, and taken over from before."""

_HEAD: Final = 6
"""Columns of the cursor and the sign."""
_MOST: Final = 3
"""Rows of one sentence, where there is room for every one."""
_LONGEST_WAIT: Final = 15
"""Columns kept for what is left of a wait: no sentence breaks anew while it runs down."""
_LETS_GO: Final[frozenset[Sign]] = frozenset({"settled", "waived", "carried"})


class CheckRow(NamedTuple):
    """One check as it stands; `aside` is the short word at the right: time left, a measure."""

    id: str
    sign: Sign
    sentence: str
    aside: str = ""


class Checklist(Lines):
    """The checks of a stage."""

    class Moved(Message):
        """The cursor is now on the check `id`."""

        def __init__(self, id: str) -> None:
            super().__init__()
            self.id = id

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._checks: tuple[CheckRow, ...] = ()
        self._at = 0
        self._top = 0

    @property
    def chosen(self) -> str | None:
        """The check under the cursor."""
        return self._checks[self._at].id if self._checks else None

    def update(self, checks: Iterable[CheckRow]) -> None:
        """These are the checks.  The cursor stays on its check, or else where it was."""
        before = self.chosen
        self._checks = tuple(checks)
        places = {check.id: place for place, check in enumerate(self._checks)}
        self._at = places.get(before or "", kept(self._at, len(self._checks)))
        self._show_cursor(before)

    def move_to(self, id: str) -> None:
        """The cursor is on the check `id`, if there is one."""
        for place, check in enumerate(self._checks):
            if check.id == id:
                self._move(place)

    def take(self, event: events.Key) -> bool:
        """The key moved the cursor, or it means nothing here."""
        page = max(1, self.size.height - 1)
        place = goal(event.key, self._at, len(self._checks), page)
        if place is None:
            return False
        self._move(place)
        return True

    def wanted(self, width: int) -> int:
        """The rows in which every sentence is whole."""
        return sum(len(self._drawn(place, width, _MOST)) for place in range(len(self._checks)))

    def rows(self, width: int, height: int) -> Sequence[Row]:
        count = len(self._checks)
        first, last = window(count, height, self._at, self._top)
        self._top = first
        most = self._whole(width, height)
        rows = [row for n in range(first, last) for row in self._drawn(n, width, most[n])]
        if height > 1 and last - first < count:
            rows.append((("      " + self._hidden(first, last), "dim"),))
        return rows

    def _whole(self, width: int, height: int) -> list[int]:
        """How many rows each may take: what is not settled comes first where not all have room."""
        most = [1] * len(self._checks)
        spare = height - len(self._checks)
        for n in sorted(range(len(most)), key=lambda n: self._checks[n].sign in _LETS_GO):
            more = len(self._drawn(n, width, _MOST)) - 1
            if more <= spare:
                most[n], spare = _MOST, spare - more
        return most

    def _drawn(self, place: int, width: int, most: int) -> tuple[Row, ...]:
        return _rows(self._checks[place], place == self._at, width, most, self.look.ascii)

    def _hidden(self, first: int, last: int) -> str:
        """What is out of sight, and how much of it is not settled."""
        above, below = self._checks[:first], self._checks[last:]
        parts = [f"{len(above)} more above"] if above else []
        parts += [f"{len(below)} more below"] if below else []
        unsettled = sum(check.sign not in _LETS_GO for check in (*above, *below))
        parts += [f"{unsettled} of them not settled"] if unsettled else []
        return f"({', '.join(parts)})"

    def _move(self, place: int) -> None:
        before = self.chosen
        self._at = kept(place, len(self._checks))
        self._show_cursor(before)

    def _show_cursor(self, before: str | None) -> None:
        self.redraw()
        if self.chosen is not None and self.chosen != before:
            self.post_message(self.Moved(self.chosen))


@lru_cache(maxsize=256)
def _rows(check: CheckRow, chosen: bool, width: int, most: int, ascii: bool) -> tuple[Row, ...]:
    """The sentence on at most `most` rows; the aside stands on the first.

    Kept: while a second goes by most checks stay as they are.
    """
    sign, tone = SIGNS[check.sign]
    style = "plain" if check.sign != "blocked" else "strong"
    aside = cut(check.aside, width // 2, ascii)
    room = max(0, width - _HEAD - (cell_len(aside) + 1 if aside else 0))
    kept_free = _LONGEST_WAIT - cell_len(aside) if check.sign == "waiting" and most > 1 else 0
    first, *more = wrapped(check.sentence, room - max(0, kept_free), most, ascii) or [""]
    return (
        (
            ("> " if chosen else "  ", "accent strong"),
            (sign, f"{tone} chosen" if chosen else tone),
            (" ", "plain"),
            (first, style),
            (" " * (room - cell_len(first) + bool(aside)), "plain"),
            (aside, tone if check.sign in ("waiting", "blocked") else "dim"),
        ),
        *(((" " * _HEAD, "plain"), (line, style)) for line in more),
    )
