"""Procedures to start from: recalled, not read, and not to be used before they are confirmed.

Nothing here says what a document demands. Each is a form with what is remembered of it filled in,
and where each figure comes from; what is not known, or remembered in two ways, is left open.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from engine.procedure import Procedure

MUST: Final = ("pressure", "hold")
"""Held against the document before the first use, whatever the form says."""

_NOT_STATED: Final = "not stated"

_MEMORY = "from memory, fairly sure; not read"
_UNSURE = "from memory, unsure; not read"
_QUOTED = "seen quoted second-hand; not read"
_SUMMARY = "seen in the document's own summary; the clause was not read"
_HOUSE = "house rule: no joint standard seen says at which height the pressure applies"


@dataclass(frozen=True)
class StartingPoint:
    """A procedure as the plan file writes it, said to be recalled wherever it goes."""

    name: str
    values: Mapping[str, Any]

    @property
    def asks(self) -> tuple[str, ...]:
        """The fields that a document has to fill or confirm before it can be used."""
        return open_fields(self.values)


def _point(name: str, authority: str, sources: dict[str, str], **values: Any) -> StartingPoint:
    whole = {
        "name": name,
        "authority": f"{authority}, as recalled and not read; say who accepted the external test",
        "standing": "recalled",
        "confirmed": False,
        "datum": "crown",
        **values,
        "sources": {**sources, "datum": _HOUSE},
    }
    return StartingPoint(name, whole)


_DAMP: Final = {"leak_from": _MEMORY}

RECALLED: Final = (
    _point(
        "Pipe, straight, after ASTM C443",
        "ASTM C443 (AASHTO M 315)",
        {"pressure": _SUMMARY, "hold": _QUOTED, "may_stand": _MEMORY, **_DAMP},
        pressure="13 psi",
        hold="10 min",
        leak_from="drip",
        may_stand="24 h",
    ),
    _point(
        "Pipe, deflected, after ASTM C443",
        "ASTM C443 (AASHTO M 315)",
        {
            "pressure": "left open: two figures are remembered, and they differ",
            "hold": "left open",
            "opening": _MEMORY,
            "may_stand": _MEMORY,
            **_DAMP,
        },
        alignment="deflected",
        opening="0.5 in",
        leak_from="drip",
        may_stand="24 h",
    ),
    _point(
        "Sewer pipe, straight, after ASTM C1628",
        "ASTM C1628",
        {"pressure": _SUMMARY, "hold": _MEMORY, **_DAMP},
        pressure="13 psi",
        hold="10 min",
        leak_from="drip",
    ),
    _point(
        "Sewer pipe, deflected, after ASTM C1628",
        "ASTM C1628",
        {"pressure": _MEMORY, "hold": _MEMORY, "opening": _UNSURE, **_DAMP},
        alignment="deflected",
        opening="0.5 in",
        pressure="13 psi",
        hold="10 min",
        leak_from="drip",
    ),
    _point(
        "Box, straight, after ASTM C1677",
        "ASTM C1677",
        {
            "pressure": "left open: not found; a figure for pipe is not one for boxes",
            "hold": "left open: not found",
        },
    ),
    _point(
        "Pipe, straight, after EN 1916",
        "EN 1916",
        {
            "pressure": _MEMORY,
            "hold": _MEMORY,
            "leak_from": "moisture is no leakage (from memory); beads are, by house rule",
        },
        pressure="50 kPa",
        hold="15 min",
        leak_from="beads",
    ),
)
"""Starting points for a catalogue, in the order in which they are offered."""


def open_fields(values: Mapping[str, Any]) -> tuple[str, ...]:
    """What a form that was not confirmed still has to be held against its document for."""
    if values.get("confirmed", True):
        return ()
    named = ("edition", "clause")
    missing = [key for key in named if values.get(key, _NOT_STATED) == _NOT_STATED]
    deflected = ("opening",) if values.get("alignment") == "deflected" else ()
    return (*missing, *MUST, *deflected)


def unconfirmed(procedure: Procedure) -> str | None:
    """Why no test may be opened with a procedure; None where one may."""
    if procedure.confirmed:
        return None
    called = f"procedure {procedure.name!r}" if procedure.name else "the procedure"
    return (
        f"{called} is recalled, not read: hold its pressure and time against the document, "
        "and confirm them, before its first use"
    )


def confirmed(values: Mapping[str, Any], edition: str, **figures: Any) -> dict[str, Any]:
    """The form with its figures as somebody read them in a document of that edition.

    Raises ValueError, in one line, where a figure that has to be confirmed is not among them.
    """
    wanted = [key for key in open_fields(values) if key not in ("edition", "clause")]
    missing = [key for key in wanted if key not in figures]
    if missing:
        raise ValueError(f"{missing[0]}: found nothing, expected what the document says")
    if not edition.strip() or edition.strip() == _NOT_STATED:
        raise ValueError("edition: found nothing, expected the document's edition or year")
    read = dict.fromkeys(figures, "read in the document")
    return {
        **values,
        **figures,
        "edition": edition.strip(),
        "standing": "published" if values.get("standing") == "recalled" else values["standing"],
        "confirmed": True,
        "sources": {**values.get("sources", {}), **read},
    }
