"""What was demanded: each field of the procedure, and whose it is."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from engine.certificate.subject import noted
from engine.certificate.tree import Row
from engine.certificate.words import NOT_STATED, plain
from engine.judging.holding import levels_of
from engine.present import clock_position, duration, pressure, quantity
from engine.procedure import Procedure
from engine.session import Session
from engine.units import amount

HOUSE: Final = frozenset(
    {
        "datum",
        "reading_every",
        "longest_gap",
        "look_every",
        "look_from",
        "cap",
        "over_cap",
        "floor",
        "opening_tolerance",
        "air_limit",
        "late_readings",
    }
)
"""Fields that no published joint test was seen to set: the plant's own unless a source is given.

Breaking one of them means undecided, or hold again; never fail.
"""
STANDING: Final = {
    "contract": "as the contract demands",
    "published": "as published",
    "recalled": "recalled from memory, not held against its document",
    "house": "the plant's own rules throughout",
}


def mark(procedure: Procedure, *fields: str) -> str:
    """A source of its own, or `house rule`, or nothing where the authority answers for it."""
    named = [plain(procedure.sources[f], 80) for f in fields if procedure.sources.get(f)]
    if named:
        return "; ".join(dict.fromkeys(named))
    return "house rule" if HOUSE.intersection(fields) else ""


def authority(procedure: Procedure) -> tuple[str, bool]:
    """On whose authority the external test was accepted, and whether that was stated."""
    given = plain(procedure.authority, 300)
    stated = given.lower() not in ("", NOT_STATED)
    parts = [given if stated else NOT_STATED.upper()]
    for label in ("edition", "clause"):
        value = plain(getattr(procedure, label), 120)
        if stated or value.lower() not in ("", NOT_STATED):
            parts.append(f"{label} {value or NOT_STATED}")
    return ", ".join(parts), stated


def alignment(session: Session) -> str:
    procedure = session.plan.procedure
    if procedure.alignment == "straight":
        return "Straight"
    assert procedure.opening is not None, "a deflected joint is open on one side"
    wider = quantity(procedure.opening, session.plan.units)
    return f"Deflected, {wider} wider {clock_position(procedure.open_side)}"


def demanded(session: Session) -> str:
    """Pressure, datum and time in one phrase."""
    procedure, system = session.plan.procedure, session.plan.units
    at = {"gauge": "at the gauge"}.get(procedure.datum, f"at the {procedure.datum}")
    hold = duration(amount(procedure.hold_time, "s"))
    return f"{quantity(procedure.pressure, system)} {at} for {hold}"


def demand(session: Session) -> tuple[Row, ...]:
    return tuple(_rows(session))


def _rows(session: Session) -> Iterator[Row]:
    procedure, system = session.plan.procedure, session.plan.units
    bounds = levels_of(session)

    def row(label: str, value: str, *fields: str) -> Row:
        return Row(label, value, mark(procedure, *fields))

    if procedure.name:
        yield Row("Procedure", plain(procedure.name))
    yield Row("Standing", _standing(procedure))
    read = noted(session, "demand")
    if read is not None:
        yield Row("As read on site", read)
    yield row("Pressure", quantity(procedure.pressure, system), "pressure")
    yield row("Datum", procedure.datum, "datum")
    yield row("Needed at the gauge", needed(session), "floor")
    yield row("Hold", f"{duration(amount(procedure.hold_time, 's'))}, {procedure.continuity}",
              "hold_time", "continuity")  # fmt: skip
    yield row("Alignment", alignment(session), "alignment", "opening")
    cap = f"{quantity(procedure.limit, system)} at the datum, {pressure(bounds.cap, system)} gauge"
    over = "" if procedure.over_cap == "credited" else "; above it the time is void"
    yield row("Cap", cap + over, "cap", "over_cap")
    yield row("Leakage begins with", procedure.leak_from, "leak_from")
    yield row("A drip may stand", _may_stand(procedure), "may_stand")
    every = duration(amount(procedure.reading_every, "s"))
    yield row("Readings", f"every {every}", "reading_every")
    yield row("Longest gap", duration(amount(procedure.longest_gap, "s")), "longest_gap")
    yield row("Looks", _looks(procedure), "look_every", "look_from")
    yield row("Top-ups", "allowed" if procedure.top_ups else "forbidden", "top_ups")
    if not procedure.late_readings:
        yield row("Late readings", "do not count", "late_readings")
    if procedure.ramp is not None:
        yield row("Raised at most", quantity(procedure.ramp, system), "ramp")
    yield row("Decision rule", decision_rule(procedure), "rule")


def _standing(procedure: Procedure) -> str:
    text = STANDING[procedure.standing]
    return text if procedure.confirmed else f"{text}; not confirmed by anybody"


def needed(session: Session) -> str:
    """What a reading less its zero has to be, and what it is made of."""
    bounds, system = levels_of(session), session.plan.units
    text = pressure(bounds.good_from, system)
    if bounds.guard:
        text += f", guard band {pressure(bounds.guard, system)} included"
    if bounds.least > bounds.needed + 1e-9:
        true = pressure(bounds.needed, system)
        text += f" (by height {true}; never below the demanded figure)"
    return text


def _may_stand(procedure: Procedure) -> str:
    if procedure.may_stand is None:
        return "not at all: it counts at once"
    where = "under pressure" if procedure.stand_under_pressure else "under pressure or not"
    return f"{duration(amount(procedure.may_stand, 's'))} to dry, {where}"


def _looks(procedure: Procedure) -> str:
    every = procedure.look_every
    often = f"every {duration(amount(every, 's'))}" if every is not None else "during and at end"
    return f"{often}; from {LOOK_FROM[procedure.look_from]}"


LOOK_FROM: Final = {
    "camera": "a camera",
    "mirror": "the end, by light and mirror",
    "entry": "inside, by entry",
}


def decision_rule(procedure: Procedure) -> str:
    if procedure.rule == "guarded":
        return "guarded: the reading less its zero has to clear the guard band too"
    return "simple: the reading less its zero is taken as it is"
