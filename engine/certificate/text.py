"""The certificate as text that fits a terminal of eighty columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap
from typing import Final

from engine.certificate import Certificate, Row, Table, Tested

WIDTH: Final = 80
_LABEL: Final = 24
_LEAST: Final = 6
"""Characters that a column of a table keeps, however long the others are."""


def text_certificate(certificate: Certificate) -> str:
    """Everything that is on the paper but the drawings; no line is longer than eighty columns."""
    return "\n".join(line.rstrip() for line in _lines(certificate)) + "\n"


def _lines(paper: Certificate) -> Iterator[str]:
    yield from _banner(paper)
    for tested in paper.tests:
        yield from _verdict(tested)
    yield ""
    yield from wrap(f"Accepted on the authority of: {paper.authority}", WIDTH)
    yield from _fields("Tested", paper.subject)
    yield from _table(paper.attempts)
    yield from _signatures(paper)
    yield from _heading("What it says and what not")
    for said in paper.statements:
        yield from _item(said)
    for tested in paper.tests:
        yield from _detail(tested)
    yield from _heading("What this paper rests on")
    for said in paper.proof:
        yield from wrap(said, WIDTH)
    yield from _heading("Cautions")
    for said in paper.cautions:
        yield from _item(said)
    yield from ("", f"Certificate {paper.number}"[:WIDTH], "End of certificate")


def _banner(paper: Certificate) -> Iterator[str]:
    yield paper.title
    yield "=" * WIDTH
    for said in (paper.practice, paper.open):
        if said:
            yield from wrap(said, WIDTH)
            yield "=" * WIDTH


def _verdict(tested: Tested) -> Iterator[str]:
    yield from ("", f"*** {tested.word} ***  {tested.alignment}", f"Session {tested.identity}")
    yield tested.when
    yield from wrap(tested.claim, WIDTH)
    yield ""
    yield from _rows(tested.glance)
    yield ""
    for said in tested.reasons:
        yield from _item(said)
    beside = (*tested.beside, *tested.doubts)
    if beside:
        yield from ("", "Waivers, doubts and what else a reader has to know:")
        for said in beside:
            yield from _item(said, "! ")
    yield ""
    yield from wrap(tested.decision, WIDTH)


def _signatures(paper: Certificate) -> Iterator[str]:
    yield from _heading("Signatures")
    for tested in paper.tests:
        for said in (tested.announced, *tested.signatures):
            yield from _item(said)
    yield "A typed name stands for no more than that.  By hand:"
    for who in ("Technician", "Witness"):
        yield from ("", f"{who + ' ':_<52}  Date {'':_<21}")


def _detail(tested: Tested) -> Iterator[str]:
    yield from ("", "-" * WIDTH, f"{tested.alignment}: {tested.word}, session {tested.identity}")
    for title, rows in (
        ("Demanded", tested.demand),
        ("Found", tested.result),
        ("Gauge", tested.gauge),
        ("Rig", tested.rig),
        ("Checks", tested.checks),
    ):
        yield from _fields(title, rows)
    for said in tested.rig_doubts:
        yield from _item(said, "? ")
    for table in (
        tested.readings,
        tested.sightings,
        tested.looks,
        tested.openings,
        tested.top_ups,
        tested.temperatures,
        tested.course,
        tested.struck,
        tested.notes,
    ):
        yield from _table(table)


def _heading(words: str) -> Iterator[str]:
    yield ""
    yield from wrap(words, WIDTH)
    yield "-" * min(len(words), WIDTH)


def _item(said: str, sign: str = "- ") -> list[str]:
    return wrap(said, WIDTH, initial_indent=sign, subsequent_indent="  ")


def _fields(title: str, rows: Sequence[Row]) -> Iterator[str]:
    yield from _heading(title)
    yield from _rows(rows)


def _rows(rows: Sequence[Row]) -> Iterator[str]:
    for row in rows:
        value = f"{row.value} ({row.mark})" if row.mark else row.value
        label = wrap(row.label, _LABEL - 2) or [""]
        beside = wrap(value, WIDTH - _LABEL) or [""]
        for n in range(max(len(label), len(beside))):
            left = label[n] if n < len(label) else ""
            yield f"{left:{_LABEL}}{beside[n] if n < len(beside) else ''}"


# --- tables -------------------------------------------------------------------------------------


def _table(table: Table) -> Iterator[str]:
    if not table:
        return
    yield from _heading(table.title)
    shown = [table.head, *table.rows] if table.rows else []
    widths = _widths(shown)
    for row in shown:
        yield from _row(row, widths)
    if table.left_out:
        yield from wrap(table.left_out, WIDTH)


def _widths(rows: Sequence[Sequence[str]]) -> list[int]:
    """As wide as what stands in them; the widest give way until all fit beside each other."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    room = WIDTH - 2 * (len(widths) - 1)
    while sum(widths) > room:
        widest = max(range(len(widths)), key=lambda n: widths[n])
        widths[widest] = max(_LEAST, widths[widest] - 1)
    return widths


def _row(row: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    cells = [wrap(cell, width) or [""] for cell, width in zip(row, widths, strict=True)]
    for n in range(max(len(cell) for cell in cells)):
        parts = [cell[n] if n < len(cell) else "" for cell in cells]
        yield "  ".join(f"{part:{width}}" for part, width in zip(parts, widths, strict=True))
