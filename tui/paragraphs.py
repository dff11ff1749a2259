"""Text for plain terminals: lines that fit, harmless whatever they are made of."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Final

from engine.plain import visible

COLUMNS: Final = 80


def lines(text: str, before: str = "") -> Iterator[str]:
    """`text` behind `before`, as many lines as it takes, the further ones indented alike."""
    found = textwrap.wrap(visible(text), COLUMNS - len(before) - 1, break_on_hyphens=False)
    for number, line in enumerate(found or [""]):
        yield f"{before if number == 0 else ' ' * len(before)}{line}"


def short(text: str, longest: int) -> str:
    """`text` on one line, no longer than that."""
    seen = visible(text)
    return seen if len(seen) <= longest else f"{seen[: max(longest - 3, 0)]}..."
