"""TOML from outside: bounded in size and depth before it is parsed.

Apart from JSON, for the list of tests is drawn without it.
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any, Final

from store.faults import Malformed, plain
from store.incoming import Limits, depth
from store.paths import contents

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
    return max(names, depth(bare))


def plan_data(path: Path) -> dict[str, Any]:
    """The tables of a plan file.  Raises Malformed in one line: what is wrong, and where."""
    name, data = plain(path.name or str(path)), contents(path, PLAN.size)
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
