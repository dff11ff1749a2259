"""A product's standing and a specimen's story: rows of text and tones, for screens and prints."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import Final

from engine.history import Missing, Proof, standing, story
from engine.history.shown import figure
from tui.outside import Row as Listed

Row = tuple[tuple[str, str], ...]
Interval = Callable[[str, str], int | None]
"""Days after which a procedure is to be passed again, by its name and alignment, if anybody set
them."""

TONES: Final = {"PASS": "good", "FAIL": "bad", "DAMAGED": "bad", "INVALID": "bad"}


def tone(row: Listed) -> str:
    return "accent" if row.get("open") else TONES.get(str(row.get("state", "")), "warn")


# --- a product's standing -----------------------------------------------------------------------


def standing_rows(
    rows: Sequence[Listed], product: str, today: date, width: int, interval: Interval | None = None
) -> list[Row]:
    """Which alignments have passed, on what, when and under what; and which are missing."""
    found = standing(rows, product, every_days=interval, today=today)
    made: list[Row] = [((product, "strong"),)]
    parts: list[Proof | Missing] = [*found.proofs, *found.missing]
    for version in range(found.latest, 0, -1):
        mine = [part for part in parts if part.version == version]
        if found.latest > 1:
            older = "" if version == found.latest else ", older: what it passed counts for it alone"
            made += [(), ((f"Version {version} ({mine[0].make}){older}", "strong"),)]
        for part in mine:
            made.append(())
            made += _proof(part, width) if isinstance(part, Proof) else [_missing(part)]
    if found.open:
        made += [(), ((f"  going on: {', '.join(found.open)}", "accent"),)]
    if not parts:
        made += [(), (("  No test of it is closed yet.", "plain"),)]
    return made


def _proof(proof: Proof, width: int) -> list[Row]:
    count = len(proof.specimens)
    days = proof.last if proof.first == proof.last else f"{proof.first} to {proof.last}"
    edition = f", edition {proof.edition}" if proof.edition else ""
    lines: list[tuple[str, str]] = [(f"under {proof.procedure or 'not stated'}{edition}", "plain")]
    named = "; ".join(marks or "without marks" for marks in proof.specimens)
    lines.append((f"specimens: {named}", "dim"))
    if proof.failed_since:
        lines.append((f"FAILED, and not passed since: {', '.join(proof.failed_since)}", "bad"))
    if proof.due:
        due = f"to be tested again by {proof.due}"
        lines.append((f"OVERDUE: {due}", "bad") if proof.overdue else (due, "plain"))
    specimens = f"{count} specimen{'' if count == 1 else 's'}"
    head: Row = (
        (f"  {proof.alignment:<10} ", "plain"),
        ("PASSED ", "good strong"),
        (f"on {specimens}, {days}", "plain"),
    )
    return [
        head,
        *(((f"{'':13}{part}", style),) for text, style in lines
          for part in textwrap.wrap(text, width - 13)),
    ]  # fmt: skip


def _missing(missing: Missing) -> Row:
    tries = len(missing.tries)
    told = f", {tries} tr{'y' if tries == 1 else 'ies'} without a pass" if tries else ""
    return (
        (f"  {missing.alignment:<10} ", "plain"),
        ("MISSING", "warn strong"),
        (told, "plain"),
    )


# --- the story of a specimen --------------------------------------------------------------------


def story_rows(rows: Sequence[Listed], name: str) -> list[Row]:
    """Every try on the specimen, in order."""
    return list(_told(story(rows, name), name))


def _told(found: Sequence[Listed], name: str) -> Iterator[Row]:
    if not found:
        yield (("Nothing is known of it.", "plain"),)
        return
    marks = next((str(row["marks"]) for row in reversed(found) if row.get("marks")), "no marks")
    tries = f"{len(found)} tr{'y' if len(found) == 1 else 'ies'}"
    yield ((f"{marks}", "strong"), (f"   {found[0].get('product', '')}, {tries}", "dim"))
    for number, row in enumerate(found, 1):
        here = str(row["session"]) == name
        yield ()
        yield (
            ("> " if here else "  ", "accent strong"),
            (f"{number}. {row.get('when', '')}  ", "plain"),
            (f"{row.get('alignment', '')!s:<10}", "plain"),
            (str(row.get("state", "")), f"{tone(row)} strong"),
            (f"  {row['session']}", "dim"),
        )
        yield ((f"     {_course(row)}", "dim"),)
        follows = row.get("follows")
        if follows:
            yield ((f"     follows {follows}", "dim"),)


def _course(row: Listed) -> str:
    """What happened in a session, as far as its row says."""
    parts = [f"by {row['by']}"] if row.get("by") else []
    parts += [f"gauge {row['gauge']}"] if row.get("gauge") else []
    if row.get("lost") is not None:
        parts.append(f"lost {figure('lost', row['lost'], row.get('units'))}")
    if row.get("top_ups"):
        parts.append(f"{row['top_ups']:g} top-ups")
    if row.get("seconds") is not None:
        parts.append(f"took {figure('seconds', row['seconds'], row.get('units'))}")
    return ", ".join(parts)
