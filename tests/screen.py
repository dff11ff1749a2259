"""What a terminal would show for the bytes a program wrote: pyte, with its gaps closed."""

from __future__ import annotations

import re
from typing import Any, Final

import pyte
import pyte.modes

__all__ = ["Screen"]

# Questions and switches that pyte would print as text or trip over: CSI with one of < > = in
# front (keyboard protocols), or with an intermediate sign (mode reports, cursor shapes).
_PASSED_OVER: Final = re.compile(rb"\x1b\[(?:[<>=][0-9;]*[@-~]|[?0-9;]*[ !\"$'][@-~])")
_UNFINISHED: Final = re.compile(rb"\x1b(?:\[[<>=?0-9; !\"$']*)?$")
_ALTERNATE: Final = 1049 << 5  # pyte's own numbering of private modes


class Screen(pyte.Screen):
    """A screen of characters that knows the alternate screen, which pyte does not."""

    def __init__(self, columns: int, rows: int) -> None:
        self.alternate = False
        self._kept: dict[int, Any] = {}
        self._held = b""
        super().__init__(columns, rows)
        self._stream = pyte.ByteStream(self)

    def show(self, data: bytes) -> None:
        """Draw what was received; a sequence cut in two waits for its second half."""
        data = self._held + data
        cut = _UNFINISHED.search(data)
        self._held = data[cut.start() :] if cut else b""
        self._stream.feed(_PASSED_OVER.sub(b"", data[: cut.start()] if cut else data))

    def picture(self) -> list[str]:
        """The rows from the top, without the blanks at their ends."""
        return [line.rstrip() for line in self.display]

    @property
    def cursor_shown(self) -> bool:
        return pyte.modes.DECTCEM in self.mode

    def set_mode(self, *modes: int, **kwargs: Any) -> None:
        super().set_mode(*modes, **kwargs)
        if kwargs.get("private") and 1049 in modes and not self.alternate:
            self.alternate = True
            self._kept = {row: dict(cells) for row, cells in self.buffer.items()}
            self.erase_in_display(2)

    def reset_mode(self, *modes: int, **kwargs: Any) -> None:
        super().reset_mode(*modes, **kwargs)
        if kwargs.get("private") and 1049 in modes and self.alternate:
            self.alternate = False
            self.erase_in_display(2)
            for row, cells in self._kept.items():
                self.buffer[row].update(cells)
