"""What is written beside a session and never in it: a trainer's remarks, rounds of questions."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping, Sequence
from typing import Any, Final

from store.chain import FORMAT, identity
from store.disk import Disk
from store.faults import Declined, Malformed
from store.incoming import Limits, loads

PATIENCE: Final = 5.0
"""Seconds to wait for another program that is writing."""
MOST: Final = 1000
"""Remarks, or rounds, beside one session."""
LONGEST: Final = 400
"""Signs of one text."""
_SIZE: Final = Limits(size=16 << 20, depth=8)
_KINDS: Final = ("remarks", "rounds")
_HALF_CHARACTER: Final = re.compile("[\ud800-\udfff]")
_PARTS: Final = {"remarks": ("t", "seq", "by", "text"), "rounds": ("by", "at", "answers")}

Written = Mapping[str, Any]


class Margin:
    """One small file a session; losing it loses nothing of the session."""

    def __init__(self, disk: Disk) -> None:
        self._disk = disk

    def written(self, session: str, kind: str) -> list[Written]:
        """In the order in which it was written; nothing where there is no such file.

        Raises Malformed where the file is not one of ours.
        """
        return list(self._read(session)[kind])

    def write(self, session: str, kind: str, what: Written) -> None:
        """`what` stands behind what was there, and nobody else's is lost.

        Raises Declined where it does not fit, NotWritten, Malformed.
        """
        if not _fits(kind, what):
            raise Declined(f"not kept: {kind} beside a session are short texts and plain figures")
        name = identity(session)
        with self._disk.lock(f"margins/{name}.lock", wait=PATIENCE):
            held = self._read(session)
            if len(held[kind]) >= MOST:
                raise Declined(f"not kept: {MOST} {kind} are the most beside one session")
            held[kind].append(dict(what))
            whole = {"holdwater": FORMAT, "session": name, **held}
            data = json.dumps(whole, ensure_ascii=False, allow_nan=False, indent=1).encode()
            if len(data) > _SIZE.size:
                raise Declined("not kept: there is too much beside this session already")
            self._disk.replace(f"margins/{name}.json", data)

    def _read(self, session: str) -> dict[str, list[Written]]:
        data = self._disk.read(f"margins/{identity(session)}.json")
        if data is None:
            return {kind: [] for kind in _KINDS}
        try:
            whole: Any = loads(data, _SIZE)
            found = {kind: list(whole[kind]) for kind in _KINDS}
        except (Malformed, TypeError, KeyError):
            found = {kind: [{}] for kind in _KINDS}
        if not all(_fits(kind, each) for kind in _KINDS for each in found[kind]):
            raise Malformed(f"what was written beside session {session} cannot be read")
        return found


def _fits(kind: str, what: object) -> bool:
    if not isinstance(what, Mapping) or set(what) != set(_PARTS[kind]):
        return False
    if kind == "rounds":
        answers = what["answers"]
        return _texts(what["by"], what["at"]) and isinstance(answers, Sequence) and all(
            isinstance(each, Mapping) and all(map(_plain, each.values())) for each in answers
        )  # fmt: skip
    return _texts(what["by"], what["text"]) and _number(what["t"]) and _number(what["seq"])


def _texts(*values: object) -> bool:
    return all(isinstance(v, str) and v and _plain(v) for v in values)


def _number(value: object) -> bool:
    return isinstance(value, int | float) and math.isfinite(value) and abs(value) < 1e9


def _plain(value: object) -> bool:
    if isinstance(value, str):
        return len(value) <= LONGEST and not _HALF_CHARACTER.search(value)
    return _number(value)
