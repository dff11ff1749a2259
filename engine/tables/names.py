"""Finding a row by the name somebody wrote, and saying what is known where there is none."""

from __future__ import annotations

import re
from collections.abc import Iterable
from difflib import get_close_matches
from typing import Protocol, TypeVar

_SHOWN = 4


class UnknownRow(ValueError):  # noqa: N818 - read aloud where it is raised
    """A name no row of the table has; the text says what was found and what is known."""


class Named(Protocol):
    """A row of a table."""

    @property
    def name(self) -> str: ...


Row = TypeVar("Row", bound=Named)


def find(written: str, rows: Iterable[Row], kind: str) -> Row:
    """The row of that name, spaces, dashes and capitals apart.

    Raises UnknownRow, in one line: what was written, and the closest names that are known.
    """
    by_key = {_key(row.name): row for row in rows}
    key = _key(written)
    if key in by_key:
        return by_key[key]
    close = get_close_matches(key, by_key, n=_SHOWN, cutoff=0.5)
    known = [by_key[k].name for k in close or by_key]
    shown = ", ".join(known[: len(known) if close else 2 * _SHOWN])
    rest = "" if close or len(known) <= 2 * _SHOWN else f" and {len(known) - 2 * _SHOWN} more"
    lead = "closest" if close else "known"
    raise UnknownRow(f"{written.strip()[:40]!r} is no known {kind}; {lead}: {shown}{rest}")


def _key(name: str) -> str:
    # "1 1/8-7 UNC" and "1-1/8-7" are one name, and so are "F1554-36" and "f1554 grade 36".
    plain = name.casefold().replace("×", "x").replace('"', "").replace("no.", "")
    plain = re.sub(r"(?<=[\d.])\s*x\s*(?=[\d.])", "x", plain)
    plain = re.sub(r"\b(unc|grade|gr|no)\b\.?", " ", plain)
    return re.sub(r"[\s\-_]+", "-", plain).strip("-")
