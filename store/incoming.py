"""JSON from outside: strict, and bounded in size and depth before it is parsed."""

from __future__ import annotations

import json
import math
import re
from dataclasses import dataclass
from typing import Any, Final

from store.faults import Malformed, plain


@dataclass(frozen=True, slots=True)
class Limits:
    """How much is looked at: bytes, and levels of lists and objects inside each other."""

    size: int = 1 << 20
    depth: int = 32


RECORD: Final = Limits()
_STRINGS: Final = re.compile(rb'"(?:[^"\\]|\\.)*"')
_HALF_CHARACTER: Final = re.compile(rb"\\u[dD][89a-fA-F]")


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise Malformed(f'the key "{plain(twice, 40)}" stands there twice')
    return made


def _constant(name: str) -> float:
    raise Malformed(f"{name} stands where a number should")


def _number(digits: str) -> float:
    number = float(digits)
    if not math.isfinite(number):
        raise Malformed("a number is too large")
    return number


_DECODER: Final = json.JSONDecoder(
    object_pairs_hook=_object, parse_constant=_constant, parse_float=_number
)


def depth(data: bytes) -> int:
    """Levels of lists and objects inside each other."""
    level = deepest = 0
    for byte in _STRINGS.sub(b"", data):
        if byte in b"[{":
            level += 1
            deepest = max(deepest, level)
        elif byte in b"]}":
            level -= 1
    return deepest


def loads(data: bytes, limits: Limits = RECORD) -> object:
    """The value that `data` holds; Malformed for anything that two readers could read differently.

    Refused are duplicate keys, NaN and infinities, half characters, and whatever passes `limits`.
    """
    if len(data) > limits.size:
        raise Malformed(f"{len(data)} bytes where {limits.size} are the most")
    # Counting is ten times as fast as measuring, and settles it for nearly everything.
    if data.count(b"{") + data.count(b"[") > limits.depth and depth(data) > limits.depth:
        raise Malformed(f"nested more than {limits.depth} deep")
    try:
        value: object = _DECODER.decode(data.decode())
        if _HALF_CHARACTER.search(data):
            json.dumps(value, ensure_ascii=False).encode()
    except (ValueError, RecursionError):
        raise Malformed("not readable as JSON") from None
    return value
