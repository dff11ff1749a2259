"""What is wrong with a session file, told from its bytes: edited, moved, taken out, put in."""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from operator import eq
from typing import Final, Literal

from store import chain, journal, sealed
from store.disk import LARGEST
from store.faults import Fault, Malformed
from store.incoming import loads

Kind = Literal["edited", "missing", "reordered", "spliced", "shortened", "unreadable", "heading"]

_MOST: Final = 200
"""Findings: behind so many nothing more is to be learnt."""
_DIGEST: Final = b'{"digest":"'
_NAMED: Final = re.compile(rb'\{"holdwater":[0-9]{1,9},"session":"([a-z0-9][a-z0-9-]{0,63})"')


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is wrong, at a record (0 for the heading)."""

    kind: Kind
    number: int
    words: str


@dataclass(frozen=True, slots=True)
class Audit:
    """What a session file's bytes prove.

    session   as its heading says, None where it says nothing      records  how many lines there are
    digests   of the sound records, from the first on              torn  an unfinished line follows
    """

    session: str | None
    records: int
    digests: tuple[str, ...]
    torn: bool
    findings: tuple[Finding, ...]

    @property
    def sound(self) -> bool:
        return not self.findings

    @property
    def head(self) -> str | None:
        return self.digests[-1] if self.digests else None

    def bears_out(self, number: int, digest: str) -> bool:
        """A paper that names this record and (the beginning of) its digest tells of these records.

        At least 8 hex digits, else any file would do.
        """
        digest = "".join(digest.lower().split())
        return (
            1 <= number <= len(self.digests)
            and len(digest) >= 8
            and self.digests[number - 1].startswith(digest)
        )


def audit(data: bytes) -> Audit:
    """Everything that is wrong with a journal or a sealed document.

    A whole chain written anew, head included, can only be told by an earlier paper: `bears_out`.
    Raises Newer, and Malformed for what is no session file at all.
    """
    if len(data) > LARGEST:
        raise Malformed(f"{len(data)} bytes where {LARGEST} are the most")
    if not data:
        raise Malformed("the file is empty")
    if overlong := chain.overlong(data):
        raise Malformed(overlong.why)
    named = _NAMED.match(data)
    session = named[1].decode() if named else None
    # Where the heading names no session the lines can still be held against each other.
    lines, tail, amiss = _lines(data, session or "unnamed")
    if named is None and not any(line.startswith(_DIGEST) for line in lines):
        raise Malformed("this is not a session file")
    findings = _walk(session, lines)
    if amiss is not None and amiss.number == 0:
        findings.insert(0, Finding("heading", 0, f"the heading is wrong: {amiss.why}"))
    if amiss is not None and amiss.number > len(lines):
        words = f"the file does not end with record {len(lines)} as it was written: cut off"
        findings.append(Finding("shortened", len(lines), words))
    proved = chain.proved(chain.start(session), lines) if session else 0
    digests = tuple(chain.digest(line) for line in lines[:proved])
    return Audit(session, len(lines), digests, bool(tail), tuple(findings))


def side_by_side(session: str, closed: bytes, live: bytes) -> Audit:
    """Everything that is wrong with a sealed document and a journal that does not go on from it.

    The digests are those of the longer of the two as far as the shorter does not contradict it.
    Raises Newer.
    """
    parts = {"closed file": _either(session, closed), "journal": _either(session, live)}
    findings = [
        Finding(found.kind, found.number, f"{name}: {found.words}")
        for name, part in parts.items()
        for found in part.findings
    ]
    shorter, longer = sorted(parts.values(), key=lambda part: len(part.digests))
    common = sum(map(eq, shorter.digests, longer.digests))
    if not findings or common < len(shorter.digests):
        words = f"the journal and the closed file part ways at record {common + 1}"
        findings.append(Finding("spliced", common + 1, words))
    proved = longer.digests if common == len(shorter.digests) else longer.digests[:common]
    records = max(part.records for part in parts.values())
    return Audit(session, records, proved, parts["journal"].torn, tuple(findings))


def _either(session: str, data: bytes) -> Audit:
    try:
        told = audit(data)
    except Malformed as why:
        return Audit(session, 0, (), False, (Finding("unreadable", 0, str(why)),))
    if told.session in (None, session):
        return told
    moved = Finding("heading", 0, "it holds another session")
    return Audit(session, told.records, (), told.torn, (moved, *told.findings))


def _lines(data: bytes, session: str) -> tuple[list[bytes], bytes, chain.Bad | None]:
    """The lines of either form, an unfinished one behind them, and what is wrong around them."""
    if not data.partition(b"\n")[0].endswith(b'"records":['):
        paper = journal.apart(data, session)
        return paper.lines, paper.tail, paper.amiss
    lines, amiss = sealed.apart(data, session)
    if amiss is None or 0 < amiss.number <= len(lines):
        return lines, b"", amiss
    while lines and not lines[-1].startswith(_DIGEST):  # an ending that is not one
        lines.pop()
    return lines, b"", amiss if amiss.number == 0 else chain.Bad(len(lines) + 1, amiss.why)


def _walk(session: str | None, lines: Sequence[bytes]) -> list[Finding]:
    """Each line against the digest on the line before it, as that stands, so that one change
    makes one finding and not one for every record behind it."""
    numbers = [_number(line) for line in lines]
    known = frozenset(numbers)
    found: list[Finding] = []
    head = chain.start(session) if session else None
    for at, line in enumerate(lines):
        if len(found) == _MOST:
            found.append(Finding("unreadable", at + 1, f"from record {at + 1} on: no more is told"))
            break
        after = lines[at + 1] if at + 1 < len(lines) else None
        if head is not None and not chain.follows(head, line):
            found.append(_judge(at + 1, numbers, known, line, after))
        elif (why := _unreadable(line)) is not None:
            found.append(Finding("unreadable", at + 1, f"record {at + 1}: {why}"))
        head = chain.digest(line)
    return found


def _judge(
    place: int,
    numbers: Sequence[int | None],
    known: Collection[int | None],
    line: bytes,
    after: bytes | None,
) -> Finding:
    number, before = numbers[place - 1], numbers[place - 2] if place > 1 else 0
    if number is None:
        return Finding("unreadable", place, f"record {place} is not readable as a record")
    if before is not None and number != before + 1:
        return _out_of_turn(place, before + 1, number, known)
    if after is None or chain.follows(chain.digest(line), after):
        either = f" (or record {place - 1}, and given a new digest)" if place > 1 else ""
        words = f"record {place} was changed after it was written{either}"
        return Finding("edited", place, words)
    words = f"record {place} does not follow from record {place - 1}: one of them is from elsewhere"
    return Finding("spliced", place, words)


def _out_of_turn(place: int, due: int, number: int, known: Collection[int | None]) -> Finding:
    if number > due and due not in known:
        gone = f"record {due} is" if number == due + 1 else f"records {due} to {number - 1} are"
        return Finding("missing", place, f"{gone} missing")
    return Finding("reordered", place, f"record {number} stands where record {due} should")


def _number(line: bytes) -> int | None:
    try:
        value = json.loads(chain.body(line))
    except (ValueError, RecursionError):
        return None
    number = value.get("seq") if isinstance(value, dict) else None
    return number if isinstance(number, int) else None


def _unreadable(line: bytes) -> str | None:
    try:
        loads(line)
    except Fault as why:
        return str(why)
    return None
