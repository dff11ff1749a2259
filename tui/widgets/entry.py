"""One line to type on, and beneath it what the text will be taken for.

    entry.ask("Gauge reads", echo=lambda text: ("13.2 psi", True), text="1")
    entry.ask("Gauge reads", text="13.2", stands=True)   # the first sign typed begins anew
    entry.take(event)                  # from a screen that routes its keys: True if it was used
    entry.paste(event.text)
    entry.text                         # at Enter: then entry.refuse("why"), or entry.close("hint")

The screen routes the keys and gives nothing the focus: on a bad link `13.2`, Enter arrive in one
piece, and a focus that moves at the `1` leaves the rest with the widget that had it.

A text that stands there from before is drawn as chosen.  A sign typed takes its place; Backspace
and the keys that move in the line keep it, to be mended.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Sequence

from rich.cells import cell_len
from textual import events
from textual.geometry import Size

from tui.theme import sanitise
from tui.widgets.lines import Lines, Row, wrapped

__all__ = ["Echo", "Entry"]

_MOST_ROWS = 5
_LEAST_ROOM = 24  # columns to type in; a prompt that leaves fewer has rows of its own

Echo = Callable[[str], tuple[str, bool]]
"""What a text will be taken for, and whether it can be."""


class Entry(Lines):
    """A line of text being typed.  What was typed goes only when `close` or `ask` is called."""

    DEFAULT_CSS = """
    Entry { height: auto; min-height: 2; max-height: 5; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._open = False
        self._prompt, self._text, self._at = "", "", 0
        self._echo: Echo | None = None
        self._limit = 60
        self._refusal = ""
        self._stands = False
        self._taken = 0

    @property
    def is_open(self) -> bool:
        """Keys are taken."""
        return self._open

    @property
    def text(self) -> str:
        return self._text

    def ask(
        self,
        prompt: str,
        echo: Echo | None = None,
        text: str = "",
        limit: int = 60,
        stands: bool = False,
    ) -> None:
        """Open, with `text` typed already, or standing there from before; at most `limit` signs
        are taken."""
        self._open, self._prompt, self._echo, self._limit = True, prompt, echo, limit
        self._text, self._refusal = text[:limit], ""
        self._at, self._stands = len(self._text), stands and bool(text)
        self.redraw()

    def refuse(self, message: str) -> None:
        """`message` is shown until the next change; the text stays."""
        self._refusal = message
        self.redraw()

    def close(self, hint: str = "") -> None:
        """No keys are taken, the text is gone, and `hint` stands in its place."""
        self._open, self._prompt, self._text, self._at, self._refusal = False, hint, "", 0, ""
        self._stands = False
        self.redraw()

    def take(self, event: events.Key) -> bool:
        """The key was used, or it means nothing here: every printable one is used while open."""
        if not self._open:
            return False
        if event.is_printable and event.character:
            self._insert(event.character)
            return True
        return self._edit(event.key)

    def paste(self, text: str) -> bool:
        """The first line is typed, without what cannot be printed; what is left out is said."""
        if not self._open:
            return False
        lines = [line for line in text.splitlines() if line.strip()]
        if lines:
            self._insert("".join(map(_printable, lines[0])))
        if len(lines) > 1 and not self._refusal:
            self.refuse("only the first line was taken")
        return True

    def rows(self, width: int, height: int) -> Sequence[Row]:
        ascii = self.look.ascii
        if not self._open:
            least = min(height, 2)
            return [((line, "dim"),) for line in wrapped(self._prompt, width, least, ascii)]
        *above, last = self._head(width, ascii)
        rows: list[Row] = [((line, "plain"),) for line in above[: height - 1]]
        before, under, after = self._around_cursor(max(3, width - cell_len(last)), ascii)
        tone = "strong chosen" if self._stands else "strong"
        rows.append(
            (
                (last, "plain"),
                (before, tone),
                (under or "_", "strong chosen" if under else "strong"),
                (after, "strong"),
            )
        )
        return [*rows, *self._answers(width, height - len(rows), ascii)]

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(self.rows(width, _MOST_ROWS))

    def redraw(self) -> None:
        """A row more or less moves what is above; else only the cells that differ are sent."""
        wanted = len(self.rows(self.size.width, _MOST_ROWS)) if self.size else 0
        if wanted != self._taken:
            self._taken = wanted
            self.refresh(layout=True)
        super().redraw()

    def _head(self, width: int, ascii: bool) -> list[str]:
        """The prompt; what is typed stands on the last of its rows, with room enough."""
        prompt = sanitise(self._prompt, ascii)
        room = min(_LEAST_ROOM, width // 3)
        if cell_len(prompt) + room < width:
            return [f"{prompt} "]
        lines = wrapped(prompt, width, 2, ascii)
        roomy = cell_len(lines[-1]) + room < width
        return [*lines[:-1], f"{lines[-1]} "] if roomy else [*lines, ""]

    def _answers(self, width: int, most: int, ascii: bool) -> list[Row]:
        sign, text, tone = self._answer()
        lines = wrapped(text, width - len(sign), most, ascii) if most > 0 else []
        return [((sign if place == 0 else "  ", tone), (line, tone))
                for place, line in enumerate(lines)]  # fmt: skip

    def _around_cursor(self, room: int, ascii: bool) -> tuple[str, str, str]:
        """The text in sight: before the cursor, under it and after it."""
        text, at, start = self._text, self._at, 0
        under = text[at : at + 1]
        room -= max(1, cell_len(sanitise(under, ascii)))
        while cell_len(sanitise(text[start:at], ascii)) > room:
            start += 1
        return ("<" if start else "") + text[start + bool(start) : at], under, text[at + 1 :]

    def _answer(self) -> tuple[str, str, str]:
        """The sign, the text and the tone of the line beneath."""
        if self._refusal:
            return "! ", self._refusal, "warn"
        if self._echo is None or not self._text.strip():
            return "", "", "plain"
        taken_for, understood = self._echo(self._text)
        return ("= ", taken_for, "plain") if understood else ("? ", taken_for, "warn")

    def _insert(self, signs: str) -> None:
        if self._stands:
            self._text, self._at = "", 0
        room = self._limit - len(self._text)
        fits = signs[:room]
        self._change(self._text[: self._at] + fits + self._text[self._at :], self._at + len(fits))
        if len(signs) > room:
            self.refuse(f"no more than {self._limit} signs fit here")

    def _edit(self, key: str) -> bool:
        text, at = self._text, self._at
        match key:
            case "backspace" | "ctrl+h" if at:
                self._change(text[: at - 1] + text[at:], at - 1)
            case "delete":
                self._change(text[:at] + text[at + 1 :], at)
            case "ctrl+u":
                self._change(text[at:], 0)
            case "left" | "right":
                self._go(at + (1 if key == "right" else -1))
            case "home" | "ctrl+a":
                self._go(0)
            case "end" | "ctrl+e":
                self._go(len(text))
            case _:
                return key in ("backspace", "ctrl+h")
        return True

    def _change(self, text: str, at: int) -> None:
        self._text, self._at, self._refusal, self._stands = text, at, "", False
        self.redraw()

    def _go(self, at: int) -> None:
        self._stands = False
        self._at = max(0, min(at, len(self._text)))
        self.redraw()


def _printable(sign: str) -> str:
    if sign == "\t" or unicodedata.category(sign) == "Zs":
        return " "
    return sign if sign.isprintable() else ""
