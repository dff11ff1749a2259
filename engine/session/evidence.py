"""What was read, seen and noted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Final, Literal, NamedTuple, assert_never

from engine.facts import (
    Evidence,
    HandedOver,
    Looked,
    Noted,
    PressureRead,
    Sighted,
    Struck,
    TemperatureRead,
)
from engine.grades import Grade, Place
from engine.prefix import Prefix
from engine.session.checking import Dial
from engine.units import Quantity, amount

AT_ONCE: Final = 60.0
"""Seconds within which a reading may be typed and is not yet late (house rule)."""


class Reading(NamedTuple):
    """A gauge pressure as read, in psi, and when, in seconds since the session was opened."""

    seq: int
    t: float
    psi: float
    written: Quantity
    """In the unit it was typed in."""
    mark: str | None
    boot: str
    """Empty where it was read before a restart and written down after it: its time is doubtful."""
    late: bool = False
    topping: Literal["before", "after", "added"] | None = None
    """An end of a top-up, or what was read once a measured volume was in or out."""
    governs: bool = True
    """Its gauge was one that counts when it was read."""


class Warmth(NamedTuple):
    seq: int
    t: float
    what: Literal["water", "air", "concrete", "rod"]
    degc: float


class Sighting(NamedTuple):
    seq: int
    t: float
    place: Place
    clock: float | None
    grade: Grade
    returns: bool
    wets: bool


class Look(NamedTuple):
    seq: int
    t: float
    dry: bool
    wiped: bool
    look_from: Literal["camera", "mirror", "entry"]


class Note(NamedTuple):
    seq: int
    t: float
    text: str


class Strike(NamedTuple):
    seq: int
    t: float
    of: int
    reason: str


def _moment(entry: Reading | Sighting | Look | Warmth) -> float:
    return entry.t


@dataclass(frozen=True)
class EvidencePart:
    """Readings, sightings and looks are in the order in which they were made."""

    readings: Prefix[Reading] = field(default_factory=Prefix)
    temperatures: Prefix[Warmth] = field(default_factory=Prefix)
    sightings: Prefix[Sighting] = field(default_factory=Prefix)
    looks: Prefix[Look] = field(default_factory=Prefix)
    notes: tuple[Note, ...] = ()
    strikes: Mapping[int, Strike] = field(default_factory=lambda: MappingProxyType({}))
    """By the number of the record that was struck."""
    handed_to: str | None = None

    def read(self, reading: Reading) -> EvidencePart:
        return replace(self, readings=self.readings.placed(reading, _moment))


def pressure_read(fact: PressureRead, seq: int, t: float, boot: str, dial: Dial) -> Reading:
    late = fact.read_from is not None or fact.ago > AT_ONCE
    governs = fact.mark is None or not dial.alone or fact.mark == dial.mark
    psi, mark = amount(fact.pressure, "psi"), fact.mark or dial.mark
    return Reading(seq, t - fact.ago, psi, fact.pressure, mark, boot, late, None, governs)


def evolve_evidence(part: EvidencePart, fact: Evidence, seq: int, t: float, boot: str, dial: Dial
                    ) -> EvidencePart:  # fmt: skip
    match fact:
        case PressureRead():
            return part.read(pressure_read(fact, seq, t, boot, dial))
        case TemperatureRead(what=what, temperature=temperature, ago=ago):
            warmth = Warmth(seq, t - ago, what, amount(temperature, "degC"))
            return replace(part, temperatures=part.temperatures.placed(warmth, _moment))
        case Sighted(place=place, clock=clock, grade=grade, returns=returns, wets=wets, ago=ago):
            seen = Sighting(seq, t - ago, place, clock, grade, returns, wets)
            return replace(part, sightings=part.sightings.placed(seen, _moment))
        case Looked(dry=dry, wiped=wiped, look_from=look_from, ago=ago):
            look = Look(seq, t - ago, dry, wiped, look_from)
            return replace(part, looks=part.looks.placed(look, _moment))
        case Noted(text=text):
            return replace(part, notes=(*part.notes, Note(seq, t, text)))
        case HandedOver(to=to):
            return replace(part, handed_to=to)
        case Struck(of=of, reason=reason):
            strikes = {**part.strikes, of: Strike(seq, t, of, reason)}
            return replace(part, strikes=MappingProxyType(strikes))
        case _:
            assert_never(fact)
