"""The checks of a stage, one a row, with a cursor that stays on its check when the rows change.

checklist.update([CheckRow("relief", "open", "Prove the relief valve", "2 min left"), ...])
checklist.take(event)              # from a screen that routes its keys: True if it was used
checklist.chosen                   # the check under the cursor; `Checklist.Moved` follows it
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final, Literal, NamedTuple

from rich.cells import cell_len
from textual import events
from textual.message import Message

from tui.theme import Tone
from tui.widgets.cursor import goal, kept, window
from tui.widgets.lines import Lines, Row, cut

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

    def rows(self, width: int, height: int) -> Sequence[Row]:
        first, last = window(len(self._checks), height, self._at, self._top)
        self._top = first
        ascii = self.look.ascii
        rows = [
            _row(check, place == self._at, width, ascii)
            for place, check in enumerate(self._checks[first:last], first)
        ]
        if height > 1 and last - first < len(self._checks):
            rows.append((("      " + self._hidden(first, last), "dim"),))
        return rows

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


def _row(check: CheckRow, chosen: bool, width: int, ascii: bool) -> Row:
    sign, tone = SIGNS[check.sign]
    aside = cut(check.aside, width // 2, ascii)
    room = max(0, width - 6 - (cell_len(aside) + 1 if aside else 0))
    sentence = cut(check.sentence, room, ascii)
    return (
        ("> " if chosen else "  ", "accent strong"),
        (sign, f"{tone} chosen" if chosen else tone),
        (" ", "plain"),
        (sentence, "plain" if check.sign != "blocked" else "strong"),
        (" " * (room - cell_len(sentence) + bool(aside)), "plain"),
        (aside, tone if check.sign in ("waiting", "blocked") else "dim"),
    )
