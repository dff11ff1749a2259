"""JSON and TOML from outside: strict, and bounded in size and depth before they are parsed."""

from __future__ import annotations

import json
import math
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
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


def _depth(data: bytes) -> int:
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
    if data.count(b"{") + data.count(b"[") > limits.depth and _depth(data) > limits.depth:
        raise Malformed(f"nested more than {limits.depth} deep")
    try:
        value: object = _DECODER.decode(data.decode())
        if _HALF_CHARACTER.search(data):
            json.dumps(value, ensure_ascii=False).encode()
    except (ValueError, RecursionError):
        raise Malformed("not readable as JSON") from None
    return value


PLAN: Final = Limits(size=256 << 10, depth=24)
_TOML_TEXT: Final = re.compile(
    rb"#[^\n]*"
    rb'|"""(?:[^\\]|\\.)*?"{3,5}'
    rb"|'''.*?'{3,5}"
    rb'|"(?:[^"\\\n]|\\.)*"'
    rb"|'[^'\n]*'",
    re.S,
)
"""Comments and strings, found from the left as any reader of TOML must find them."""
_TOML_SPLIT: Final = re.compile(rb"[\n=\[\]{},]")


def _toml_depth(data: bytes) -> int:
    """Levels of tables and lists inside each other, and of names with dots between them.

    A name of a hundred thousand parts is a page of text, and takes a parser all there is of memory.
    """
    bare = _TOML_TEXT.sub(b"s", data)
    names = max((part.count(b".") for part in _TOML_SPLIT.split(bare)), default=0)
    return max(names, _depth(bare))


def plan_data(path: Path) -> dict[str, Any]:
    """The tables of a plan file.  Raises Malformed in one line: what is wrong, and where."""
    name = plain(path.name or str(path))
    try:
        if not path.is_file():
            raise Malformed(f"{name}: there is no such file")
        with path.open("rb") as file:
            data = file.read(PLAN.size + 1)
    except OSError as error:
        raise Malformed(f"{name}: {error.strerror}") from None
    if len(data) > PLAN.size:
        raise Malformed(f"{name}: larger than {PLAN.size >> 10} KiB; a plan file is a page of text")
    try:
        text = data.decode("utf-8-sig")
        if _toml_depth(data) > PLAN.depth:
            raise Malformed(f"{name}: nested more than {PLAN.depth} deep")
        return tomllib.loads(text)
    except UnicodeDecodeError as error:
        raise Malformed(f"{name}: byte {error.start} is not UTF-8 text") from None
    except tomllib.TOMLDecodeError as error:
        raise Malformed(f"{name}: {plain(str(error))}") from None
    except (RecursionError, ValueError):
        raise Malformed(f"{name}: not readable as TOML") from None
