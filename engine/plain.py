"""Text that is harmless to show: nothing in it moves a cursor, hides, or turns other text about."""

from __future__ import annotations

import unicodedata
from typing import Final

_HIDDEN: Final = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
_BREAKS: Final = "\t\n\v\f\r\x1c\x1d\x1e\x1f\x85\u2028\u2029"
_AS_SPACES: Final = str.maketrans(_BREAKS, " " * len(_BREAKS))


def visible(text: str) -> str:
    """`text` on one line; whatever is not seen as itself becomes `?`, line breaks become spaces."""
    return text if text.isprintable() else _seen(text.translate(_AS_SPACES))


def plain(text: str, longest: int = 80) -> str:
    """`text` on one line and no longer than that; whatever is not seen as itself becomes `?`."""
    seen = _seen(text[: longest + 1])
    return seen if len(text) <= longest else seen[: longest - 3] + "..."


def _seen(text: str) -> str:
    return "".join("?" if unicodedata.category(c) in _HIDDEN else c for c in text)
