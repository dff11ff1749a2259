"""What a terminal sends for each key, by the names Textual uses for them."""

from __future__ import annotations

from typing import Final

__all__ = ["ESCAPE", "sent"]

ESCAPE: Final = b"\x1b"

_NAMED: Final[dict[str, bytes]] = {
    "enter": b"\r",
    "escape": ESCAPE,
    "tab": b"\t",
    "shift+tab": b"\x1b[Z",
    "space": b" ",
    "backspace": b"\x7f",
    "up": b"\x1b[A",
    "down": b"\x1b[B",
    "right": b"\x1b[C",
    "left": b"\x1b[D",
    "home": b"\x1b[H",
    "end": b"\x1b[F",
    "insert": b"\x1b[2~",
    "delete": b"\x1b[3~",
    "pageup": b"\x1b[5~",
    "pagedown": b"\x1b[6~",
    "f1": b"\x1bOP",
    "f2": b"\x1bOQ",
    "f3": b"\x1bOR",
    "f4": b"\x1bOS",
    "f5": b"\x1b[15~",
    "f6": b"\x1b[17~",
    "f7": b"\x1b[18~",
    "f8": b"\x1b[19~",
    "f9": b"\x1b[20~",
    "f10": b"\x1b[21~",
    "f11": b"\x1b[23~",
    "f12": b"\x1b[24~",
}


def sent(key: str) -> bytes:
    """The bytes of one key: a name, `ctrl+a` to `ctrl+z`, or a single character."""
    if key in _NAMED:
        return _NAMED[key]
    if len(key) == 1:
        return key.encode()
    stem, _, letter = key.rpartition("+")
    if stem == "ctrl" and len(letter) == 1 and letter.isalpha():
        return bytes([ord(letter.lower()) & 0x1F])
    raise ValueError(f"no key is called {key!r}; whole words are for type()")
