"""What was done with the water: zeros, valves, volumes, holds, releases."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, NamedTuple, assert_never

from engine.facts import (
    GaugeZeroed,
    HoldStarted,
    Mended,
    PressureReleased,
    SupplySet,
    ToppedUp,
    ValveTurned,
    VolumeAdded,
    Water,
)
from engine.units import amount


class Zero(NamedTuple):
    """What a gauge showed, in psi, with no pressure on it."""

    seq: int
    t: float
    mark: str
    psi: float


class Turn(NamedTuple):
    seq: int
    t: float
    which: Literal["inlet", "vent", "cock"]
    share: float


class Supplied(NamedTuple):
    seq: int
    t: float
    psi: float


class Added(NamedTuple):
    """A measured volume, in mL, and the pressure, in psi as read, after it."""

    seq: int
    t: float
    ml: float
    psi: float


class TopUp(NamedTuple):
    seq: int
    t: float
    before: float
    after: float
    ml: float | None


class Started(NamedTuple):
    seq: int
    t: float
    boot: str


class Release(NamedTuple):
    """Gauge, in psi as read, at the end of a release; and whether the open vent was quiet."""

    seq: int
    t: float
    psi: float
    quiet: bool


class Mend(NamedTuple):
    seq: int
    t: float
    what: str


@dataclass(frozen=True)
class WaterPart:
    zeros: tuple[Zero, ...] = ()
    turns: tuple[Turn, ...] = ()
    """Of inlet and vent, which move water."""
    cock: tuple[Turn, ...] = ()
    """Of the gauge's own, which cuts it off from the pocket."""
    supplied: tuple[Supplied, ...] = ()
    added: tuple[Added, ...] = ()
    top_ups: tuple[TopUp, ...] = ()
    started: tuple[Started, ...] = ()
    released: tuple[Release, ...] = ()
    mended: tuple[Mend, ...] = ()

    def valve(self, which: Literal["inlet", "vent"]) -> Turn | None:
        """How a valve was last turned."""
        return next((v for v in reversed(self.turns) if v.which == which), None)


def evolve_water(part: WaterPart, fact: Water, seq: int, t: float, boot: str) -> WaterPart:
    match fact:
        case GaugeZeroed(mark=mark, reading=reading):
            return replace(part, zeros=(*part.zeros, Zero(seq, t, mark, amount(reading, "psi"))))
        case ValveTurned(which=which, share=share):
            turn = Turn(seq, t, which, share)
            if which == "cock":
                return replace(part, cock=(*part.cock, turn))
            return replace(part, turns=(*part.turns, turn))
        case SupplySet(pressure=pressure):
            supplied = Supplied(seq, t, amount(pressure, "psi"))
            return replace(part, supplied=(*part.supplied, supplied))
        case VolumeAdded(volume=volume, after=after):
            added = Added(seq, t, amount(volume, "mL"), amount(after, "psi"))
            return replace(part, added=(*part.added, added))
        case HoldStarted():
            return replace(part, started=(*part.started, Started(seq, t, boot)))
        case ToppedUp(before=before, after=after, volume=volume):
            ml = None if volume is None else amount(volume, "mL")
            top_up = TopUp(seq, t, amount(before, "psi"), amount(after, "psi"), ml)
            return replace(part, top_ups=(*part.top_ups, top_up))
        case PressureReleased(gauge=gauge, vent_quiet=quiet):
            release = Release(seq, t, amount(gauge, "psi"), quiet)
            return replace(part, released=(*part.released, release))
        case Mended(what=what):
            return replace(part, mended=(*part.mended, Mend(seq, t, what)))
        case _:
            assert_never(fact)
