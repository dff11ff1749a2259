"""A caution: a sign and a text on at most two rows.

    banner.update("Stand clear of both ends and of the rods.", tone="warn")   # "" takes it away

Its height is fixed by CSS (two by default), so that nothing below moves when it comes and goes.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from tui.theme import Tone
from tui.widgets.lines import Lines, Row, wrapped

__all__ = ["Banner"]

_SIGNS: Final[dict[Tone, str]] = {"bad": "!! ", "warn": "! ", "good": "+ "}


class Banner(Lines):
    """What must be known before going on."""

    DEFAULT_CSS = """
    Banner { height: 2; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._text = ""
        self._tone: Tone = "warn"

    def update(self, text: str, tone: Tone = "warn") -> None:
        """`text` is shown, cut with a sign where two rows do not hold it."""
        self._text, self._tone = text, tone
        self.redraw()

    def rows(self, width: int, height: int) -> Sequence[Row]:
        sign = _SIGNS.get(self._tone, "- ")
        lines = wrapped(self._text, width - len(sign), min(2, height), self.look.ascii)
        heads = [sign] + [" " * len(sign)] * len(lines)
        return [
            ((head, f"{self._tone} strong"), (line, self._tone))
            for head, line in zip(heads, lines, strict=False)
        ]
