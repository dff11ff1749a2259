"""Lines of records that prove themselves: each carries the digest of all before it and of itself.

    digest_0 = sha256(heading)      digest_n = sha256(digest_n-1 in hex + record_n)

Everything is proved on bytes as they stand; nothing is written anew in order to compare it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING, Final, NamedTuple

from store.faults import Absent, Damaged, Malformed, Newer, plain
from store.incoming import loads

if TYPE_CHECKING:
    from engine.clock import Stamp
    from engine.facts import Fact, Record

FORMAT: Final = 1
MOST_LINES: Final = 250_000
"""Of one session: what has more was not typed in a day."""
_IDENTITY: Final = re.compile(r"[a-z0-9][a-z0-9-]{0,63}")
_HEADING: Final = re.compile(rb'\{"holdwater":([0-9]{1,9}),"session":"([a-z0-9-]{1,64})"(.*)', re.S)
_BEFORE: Final = b'{"digest":"'
_AFTER: Final = b'",'
_BODY: Final = len(_BEFORE) + 64 + len(_AFTER)
_NOT_THIS_VERSION: Final = {"union_tag_invalid", "extra_forbidden", "literal_error"}


@dataclass(frozen=True, slots=True)
class Sound:
    """Records that proved themselves.

    head  the digest of all of them     torn  behind them stands a line that was never finished
    sealed  the session is closed
    """

    session: str
    records: list[Record]
    head: str
    torn: bool = False
    sealed: bool = False


class Bad(NamedTuple):
    """Where lines stop being sound, and why."""

    number: int
    why: str


def identity(text: str) -> str:
    """`text`, fit to name a session and its files; Absent where no session can have that name."""
    if not _IDENTITY.fullmatch(text):
        raise Absent(
            f'no session can be called "{plain(text)}": small letters, digits and - are expected'
        )
    return text


def heading(session: str) -> bytes:
    return b'{"holdwater":%d,"session":"%s"}' % (FORMAT, identity(session).encode())


def start(session: str) -> str:
    """The digest before the first record."""
    return sha256(heading(session)).hexdigest()


def link(head: str, body: bytes) -> bytes:
    """The line that adds the record `body` to everything up to the digest `head`."""
    return _BEFORE + _following(head.encode(), body) + _AFTER + body[1:]


def _following(head: bytes, body: bytes) -> bytes:
    return sha256(head + body).hexdigest().encode()


def digest(line: bytes) -> str:
    return line[len(_BEFORE) : len(_BEFORE) + 64].decode("ascii", "replace")


def body(line: bytes) -> bytes:
    return b"{" + line[_BODY:]


def follows(head: str, line: bytes) -> bool:
    """`line` is whole, unchanged, and the very next after `head`."""
    return line[:_BODY] == _BEFORE + _following(head.encode(), body(line)) + _AFTER


def proved(head: str, lines: Sequence[bytes]) -> int:
    """How many lines, from the first on, prove themselves."""
    for number, line in enumerate(lines):
        if not follows(head, line):
            return number
        head = digest(line)
    return len(lines)


def overlong(data: bytes) -> Bad | None:
    """Told before it is taken apart: a hundred million lines are all there is of memory."""
    lines = data.count(b"\n")
    return (
        Bad(0, f"it has {lines} lines; {MOST_LINES} are the most") if lines > MOST_LINES else None
    )


def misheaded(found: bytes, expected: bytes, session: str, lines: Sequence[bytes]) -> Bad | None:
    """What is wrong with a heading; Newer where it says so and nothing speaks against it.

    A changed bit can make a 1 into a 3: the first record, which is proved from the heading as it
    was, tells that apart from a newer version.
    """
    if found == expected:
        return None
    says = _HEADING.match(found)
    if says and int(says[1]) > FORMAT and not (lines and follows(start(session), lines[0])):
        raise Newer(f"session {session} was written by a newer version")
    other = says[2].decode() if says else session
    fits = other != session and _IDENTITY.fullmatch(other) is not None and len(lines) > 0
    moved = fits and follows(start(other), lines[0])
    return Bad(0, "it holds another session" if moved else "it is not what was written")


def records(
    session: str,
    lines: Sequence[bytes],
    amiss: Bad | None = None,
    *,
    head: str | None = None,
    first: int = 1,
) -> list[Record]:
    """The records on `lines`, numbered from `first` on and following `head`.

    Raises Damaged, naming the first bad one and holding the sound ones before it, for `amiss` and
    for whatever is found here; Newer where a line proves itself but holds what is not known here.
    """
    count = proved(head or start(session), lines)
    if count < len(lines) and (amiss is None or amiss.number > 0):
        amiss = Bad(first + count, "it is not what was written")
    until = count if amiss is None or amiss.number == 0 else min(count, amiss.number - first)
    sound: list[Record] = []
    for number, line in enumerate(lines[:until], first):
        try:
            sound.append(_record(session, number, line))
        except Malformed as why:
            raise Damaged(session, number, str(why), sound) from None
    if amiss is not None:
        raise Damaged(session, amiss.number, amiss.why, sound)
    return sound


def _record(session: str, number: int, line: bytes) -> Record:
    # Imported where first used: the list of sessions is shown without them, and at once.
    from pydantic import ValidationError

    from engine.facts import Record

    loads(line)
    try:
        record = Record.model_validate_json(body(line))
    except ValidationError as error:
        first = error.errors(include_url=False, include_context=False, include_input=False)[0]
        if first["type"] in _NOT_THIS_VERSION:
            raise Newer(
                f"session {session} was written by a newer version (record {number})"
            ) from None
        raise Malformed(f"it says nothing that is understood ({plain(first['msg'])})") from None
    if record.seq != number:
        raise Malformed(f"it calls itself record {record.seq}")
    return record


def compose(number: int, head: str, fact: Fact, stamp: Stamp, by: str) -> bytes:
    """The line that adds `fact` to everything up to `head`."""
    from engine.facts import record

    return link(head, record(number, fact, stamp, by).model_dump_json().encode())
