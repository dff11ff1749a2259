"""Strings from sessions made fit for paper and terminal, and lists kept to a length."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, TypeVar

from engine.plain import visible

T = TypeVar("T")

NOT_STATED: Final = "not stated"


def plain(text: str, longest: int = 160) -> str:
    """`text` on one line, with nothing in it that is not seen; cut off with a sign where long."""
    seen = " ".join(visible(text).split())
    return seen if len(seen) <= longest else f"{seen[: longest - 5].rstrip()} [...]"


def whole_first(text: str | None, otherwise: str = NOT_STATED) -> str:
    """What somebody wrote, or that nobody did."""
    return plain(text, 140) if text and text.strip() else otherwise


def spread(items: Sequence[T], most: int) -> list[int]:
    """The places of at most `most` items, evenly spread, the first and the last among them."""
    if len(items) <= most:
        return list(range(len(items)))
    step = (len(items) - 1) / (most - 1)
    return sorted({round(n * step) for n in range(most)})


def left_out(shown: int, of: int, what: str) -> str:
    return f"{shown} of {of} {what}; all are in the session's data." if shown < of else ""
