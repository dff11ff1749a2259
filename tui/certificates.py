"""Certificates: of a closed test, with what else was done to the same specimen."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from engine.certificate import Attested, Certificate, certificate
from engine.certificate.text import text_certificate
from engine.trouble import Trouble
from tui.outside import Found, Outside, Papers
from tui.sessions import folded

MOST: Final = 60
"""Sessions on the same marks that are looked through."""


def made(outside: Outside, session: str) -> Certificate:
    """Of a session by its identity, how that begins, or its file.  Raises Trouble."""
    return certificate(*_gathered(outside, _closed(outside.found(session))))


def paper(outside: Outside, of: Certificate, path: str, size: str | None = None) -> bytes:
    """As its name ends: PDF or text.  Raises Trouble for another ending."""
    pdf = ending(path) == "pdf"
    return desk(outside).pdf(of, size) if pdf else text_certificate(of).encode()


def ending(path: str) -> str:
    """`pdf` or `txt`, as the name ends.  Raises Trouble for another."""
    found = path.rpartition(".")[2].lower()
    if found not in ("pdf", "txt"):
        raise Trouble(f"{path}: expected a name that ends in .pdf or .txt")
    return found


def hand_out(outside: Outside, session: str, path: str, size: str | None = None) -> str:
    """The certificate is written to `path`; says so in one line.  Raises Trouble, for a name of no
    use before anything is read."""
    ending(path)
    of = made(outside, session)
    desk(outside).write(path, paper(outside, of, path, size))
    words = ", ".join(f"{test.alignment}: {test.word}" for test in of.tests)
    return f"{path}: {words}"


def desk(outside: Outside) -> Papers:
    if outside.papers is None:
        raise Trouble("nothing is handed out here")
    return outside.papers


def _closed(found: Found) -> Found:
    """A certificate is made of a closed session that is sound, and of nothing else."""
    if not found.sound:
        why = found.damage or found.findings[0].words
        raise Trouble(f"no certificate: {why}")
    if not found.sealed:
        raise Trouble(f"no certificate: session {found.session} is still open; close it first")
    return found


def _attested(found: Found) -> Attested:
    return Attested(
        found.session, found.head, folded(found), found.sealed, found.elsewhere, found.revisions
    )


def _gathered(outside: Outside, found: Found) -> tuple[list[Attested], list[Attested], list[str]]:
    """The chain that the session is part of, then what else was tried on its marks, and what of
    that could not be read."""
    chosen = _attested(found)
    tests, others, unread = {found.session: chosen}, [], []
    if found.elsewhere:
        return [chosen], [], []
    for name in _same_specimen(outside, chosen):
        try:
            other = outside.found(name)
            attested = _attested(other)
        except Trouble:
            unread.append(name)
            continue
        if not other.sound:
            unread.append(name)
        elif other.sealed and _linked(attested, tests):
            tests[name] = attested
        else:
            others.append(attested)
    return list(tests.values()), others, unread


def _linked(one: Attested, tests: dict[str, Attested]) -> bool:
    follows = {t.session.opened.follows for t in tests.values() if t.session.opened}
    before = one.session.opened.follows if one.session.opened else None
    return one.identity in follows or before in tests


def _same_specimen(outside: Outside, chosen: Attested) -> Iterator[str]:
    """The other sessions of the chain or on the same marks, those nearest in the chain first."""
    rows = {str(row["session"]): row for row in outside.shelf.rows()}
    practice = chosen.session.checking.practice is not None
    own = rows.get(chosen.identity)
    follows = {name: row.get("follows") for name, row in rows.items()}
    if chosen.session.opened:
        follows[chosen.identity] = chosen.session.opened.follows
    chain = list(_chain(chosen.identity, follows))
    alike = [
        name
        for name, row in rows.items()
        if own is not None and own.get("marks") and row.get("practice") == practice
        and (row.get("marks"), row.get("product")) == (own.get("marks"), own.get("product"))
    ]  # fmt: skip
    found = dict.fromkeys([*chain, *alike])
    found.pop(chosen.identity, None)
    yield from list(found)[:MOST]


def _chain(start: str, follows: dict[str, object]) -> Iterator[str]:
    """What a session follows and what follows it, and so on, nearest first."""
    known, edge = {start}, [start]
    while edge:
        one = edge.pop(0)
        before = follows.get(one)
        after = [name for name, of in follows.items() if of == one]
        for name in [*([str(before)] if before else []), *after]:
            if name not in known:
                known.add(name)
                edge.append(name)
                yield name
