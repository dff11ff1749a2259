"""Hostile input, made from a seed: bytes turned, cut and repeated, values put where none belong."""

from __future__ import annotations

import copy
import json
import signal
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from random import Random
from typing import Any, Final

from engine.trouble import Trouble
from engine.units import Unreadable
from store import chain, sealed
from tests.story import Story

LONGEST: Final = 5.0
"""Seconds for any one input; the longest takes a small part of that."""

Body = dict[str, Any]

PIECES: Final[tuple[bytes, ...]] = (
    *(b"\x00", b"\x1b[2J", b"\xff\xfe", b"\xc3", b"\xed\xa0\x80", "\u202e".encode(), b"\r", b"\n"),
    *(
        b"NaN",
        b"-Infinity",
        b"1e999",
        b"1" * 400,
        b"0x" + b"f" * 5000,
        b"-0",
        b"1e-400",
        b"\\ud800",
    ),
    *(
        b"[" * 60,
        b"]" * 60,
        b'{"a":' * 60,
        b"a." * 60,
        b'"',
        b"'''",
        b'"""',
        b"\\",
        b"#",
        b"=",
        b",",
    ),
    *(b"null", b"true", b"{}", b"[]", b'""', b"../../etc/passwd", b"[[check]]", b"\xef\xbb\xbf"),
)
VALUES: Final[tuple[Any, ...]] = (
    *(None, True, False, 0, -1, 1, 2**63, 10**400, 1e308, -1e308, 1e-300, 5e-324, 0.1, -0.0),
    *(
        "",
        " ",
        "unknown",
        "nan",
        "inf",
        "-inf",
        "1e999",
        "\x1b[2J",
        "\u202e",
        "a" * 130,
        "x" * 2500,
    ),
    *(
        "0 in",
        "-1 in",
        "1e15 in",
        "999999999999999 in",
        "13 psi",
        "0 psi",
        "1/0 in",
        "9 d",
        "1 deg",
    ),
    *([], [[]], {}, {"a": {}}, [1, 2], ["1 in", "2 in"], [1, "psi"], [0, "psi"], [-5, "psi"]),
    *(
        [1e15, "m"],
        [1, "9**9**9"],
        [1, "degF"],
        [5, "delta_degF"],
        [1, "m**9*m**9"],
        [1, ""],
        [1, "%"],
    ),
    *([True, "psi"], ["1", "psi"], [10**400, "psi"], [1, "psi" * 99], [1e-300, "in"], [None, "in"]),
    *("circle", "box", "steep", "C 6 x 1.9 x 0.2 in", "C 9999 x 9999 x 9999 in", "1-8 UNC", "3 in"),
    *("2027-03-31", "9999-12-31", "0001-01-01", "2026-06-03T08:00:00+23:59", 12.0, 4.5, 24, 10**9),
)


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """TimeoutError where it takes longer; for the main thread."""

    def ring(signum: int, frame: object) -> None:
        raise TimeoutError(f"not done after {seconds} s")

    before = signal.signal(signal.SIGALRM, ring)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def spoiled(data: bytes, chance: Random) -> bytes:
    """`data` with one to four things done to it."""
    found = bytearray(data)
    for _ in range(chance.choice((1, 1, 1, 2, 4))):
        at = chance.randrange(len(found) + 1)
        until = min(len(found), at + chance.choice((1, 2, 8, 40)))
        match chance.randrange(5):
            case 0 if at < len(found):
                found[at] ^= 1 << chance.randrange(8)
            case 1:
                found[at:until] = chance.choice(PIECES)
            case 2:
                found[at:at] = chance.choice(PIECES)
            case 3:
                del found[at:until]
            case _:
                found[at:at] = found[at:until] * chance.choice((1, 3, 50))
    return bytes(found)


def places(tree: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every place in a tree of lists and dicts."""
    inside = tree.items() if isinstance(tree, dict) else enumerate(tree)
    for key, value in inside:
        yield (*path, key)
        if isinstance(value, dict | list):
            yield from places(value, (*path, key))


def disturbed(tree: dict[str, Any], chance: Random) -> dict[str, Any]:
    """A copy in which values are others, are gone, or have company."""
    made = copy.deepcopy(tree)
    for _ in range(chance.choice((1, 1, 2, 3))):
        found = list(places(made))
        *way, last = chance.choice(found)
        inner: Any = made
        for key in way:
            inner = inner[key]
        match chance.randrange(6):
            case 0:
                del inner[last]
            case 1 if isinstance(inner, dict):
                inner[chance.choice(("x", "kind", "name", "\x1b", "at", "a" * 300))] = inner[last]
            case 2 if found:
                inner[last] = copy.deepcopy(_at(made, chance.choice(list(places(made)))))
            case _:
                inner[last] = copy.deepcopy(chance.choice(VALUES))
    return made


def _at(tree: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        tree = tree[key]
    return tree


def packed(session: str, bodies: list[dict[str, Any]]) -> bytes:
    """A sealed document of these records, whose digests are all in order."""
    head, lines = chain.start(session), []
    for body in bodies:
        written = json.dumps(body, separators=(",", ":"), ensure_ascii=False)
        lines.append(chain.link(head, written.encode("utf-8", "surrogatepass")))
        head = chain.digest(lines[-1])
    return sealed.pack(session, lines)


def bodies() -> list[Body]:
    """The records of a whole test, as they stand in its file."""
    story = Story().to("verdict").end()
    return [json.loads(record.model_dump_json()) for record in story.records]


def refusals(read: Callable[[Any], object], inputs: Iterable[Any]) -> list[str]:
    """What each refused input was refused for.  Fails where anything but Trouble comes, or late."""
    told = []
    for each in inputs:
        try:
            with within(LONGEST):
                read(each)
        except (Trouble, Unreadable) as refusal:
            told.append(str(refusal))
        except Exception as error:
            raise AssertionError(f"{type(error).__name__} on {each!r:.500}") from error
    assert all(line.isprintable() for text in told for line in text.split("\n"))
    return told


def made(seed: int, count: int, make: Callable[[Random], Any]) -> Iterator[Any]:
    chance = Random(seed)
    return (make(chance) for _ in range(count))
