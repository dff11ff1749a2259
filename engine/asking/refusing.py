"""No, and why: how a command or an observation is refused."""

from __future__ import annotations

from pydantic import ValidationError

from engine.trouble import Trouble


class Refused(Trouble):
    """No, and why, in one line for people."""


def must(condition: bool, why: str) -> None:
    """Refused with `why` unless the condition holds."""
    if not condition:
        raise Refused(why)


def said(text: str, what: str) -> str:
    """The text without stray blanks; refused where nothing was said."""
    kept = " ".join(text.split())
    must(bool(kept), f"say {what}")
    return kept


def unfit(error: ValidationError) -> Refused:
    """What does not fit into a record: too long, too large, not a number."""
    first = error.errors(include_url=False)[0]
    where = ".".join(str(part) for part in first["loc"])
    return Refused(f"{where}: {first['msg']}".removeprefix(": "))
