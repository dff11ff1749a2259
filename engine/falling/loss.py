"""What a falling gauge can mean, and what one unit of pressure is worth. It never passes a joint.

The eye on the primary gasket comes first: the gauge is a poor finder of leaks.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from engine.falling.causes import Cause, Surroundings
from engine.falling.comparison import LEAKS, Comparison, compare
from engine.falling.fall import BINS, Fall, Run, binned, fall, split
from engine.falling.stiffness import (
    MEASURED_DOUBT,
    Bounds,
    Stiffness,
    Worth,
    bounds,
    three,
    volume_of,
    ways_to_yield,
    worth,
)
from engine.units import Quantity, amount, q

Measurement = Literal["water_temperature", "nut_movement", "bleed_volume", "longer_hold", "none"]


@dataclass(frozen=True)
class Loss:
    """What the readings say was lost, and what may have taken it."""

    fall: Fall
    stiffness: Stiffness | None
    lost: Worth | None
    """Over the time in runs, `fall.span_s`, or over the whole record where `by_volume`. None
    without two readings at different times, or without a stiffness."""
    flow: Bounds | None
    drops_per_minute: Bounds | None
    by_volume: bool
    """The flow is what was measured as it was put in, and not what the fall is worth."""
    weights: tuple[tuple[Cause, float], ...]
    """How the causes compare by AICc, heaviest first; not how likely they are on their own."""
    possible: tuple[Cause, ...]
    """Causes that alone could have given every reading of the latest run."""
    cause: Cause | None
    """Named only where no other, and no mixture of others, is left."""
    next_measurement: Measurement

    @property
    def told_apart(self) -> bool:
        return self.cause is not None

    @property
    def leaking(self) -> bool:
        """Only a leak is left, whether or not it heeds the pressure."""
        return bool(self.possible) and set(self.possible) <= LEAKS


@dataclass(frozen=True)
class TopUps:
    """Where the record was topped up: the first reading after each, and the volume put in."""

    starts: Sequence[int] = ()
    added_ml: Sequence[float | None] = ()
    """As many as there are starts; None where it was not measured."""

    def measured(self) -> float | None:
        """All that was put in; None where nothing was, or not all of it was measured."""
        known = [ml for ml in self.added_ml if ml is not None]
        return math.fsum(known) if known and len(known) == len(self.added_ml) else None

    @property
    def doubt_ml(self) -> float:
        """In all that was put in: what went in and what was let out err each by itself."""
        moved = math.fsum(abs(ml) for ml in self.added_ml if ml is not None)
        return moved * amount(MEASURED_DOUBT, "percent") / 100


def explain(
    times_s: Sequence[float],
    pressures_psi: Sequence[float],
    graduation_psi: float,
    stiffness: Stiffness | None,
    around: Surroundings | None = None,
    top_ups: TopUps | None = None,
    reader_error_psi: float = 0.0,
    area: Quantity | None = None,
    atmosphere: Quantity | None = None,
    most_points: int = BINS,
    column_psi: float = 0.0,
) -> Loss:
    """What a record of readings can mean; causes are sought in the latest run, of 600 points.

    Readings as for `fall`. `atmosphere` is of use without a stiffness, which knows its own;
    `column_psi` carries a reading to the crown, where the air is that yields. Raises ValueError, in
    one line, for readings that make no sense.
    """
    around, top_ups = around or Surroundings(), top_ups or TopUps()
    _as_long(times_s, around)
    found = fall(times_s, pressures_psi, graduation_psi, reader_error_psi, top_ups.starts)
    known = _known(around, stiffness)
    at_crown = [psi + column_psi for psi in pressures_psi]
    compared = _compared(times_s, at_crown, found, stiffness, known, top_ups.starts,
                         atmosphere or q(1, "atm"), most_points)  # fmt: skip
    volume, seconds, by_volume = _volume(times_s, pressures_psi, found, stiffness, top_ups)
    effect = None if around.per_kelvin is None else q(around.per_kelvin, "mL/K")
    lost = None if volume is None else worth(volume, area, effect)
    per_minute = 60 / seconds if seconds > 0 else 0.0
    moved = found.rate is not None or lost is not None
    return Loss(
        fall=found,
        stiffness=stiffness,
        lost=lost,
        flow=None if lost is None else bounds(three(lost.volume, "mL"), per_minute, "mL/min"),
        drops_per_minute=None if lost is None
        else bounds(three(lost.drops, "drop"), per_minute, "drop/min"),
        by_volume=by_volume,
        weights=compared.weights,
        possible=compared.possible,
        cause=compared.named,
        next_measurement=_next(compared, known, stiffness) if moved else "longer_hold",
    )  # fmt: skip


def _volume(
    times_s: Sequence[float],
    pressures: Sequence[float],
    found: Fall,
    stiffness: Stiffness | None,
    top_ups: TopUps,
) -> tuple[Bounds | None, float, bool]:
    """What was lost, over how many seconds, and whether it was measured as it was put in: over the
    whole record then, and over the time in runs where it is what the fall is worth."""
    if stiffness is None:
        return None, found.span_s, False
    measured = top_ups.measured()
    whole = times_s[-1] - times_s[0] if len(times_s) > 1 else 0.0
    if measured is not None and whole > 0:
        change = pressures[-1] - pressures[0]
        gone = _put_in_and_not_there(measured, top_ups.doubt_ml, change, found.width, stiffness)
        return gone, whole, True
    if found.rate is None:
        return None, found.span_s, False
    fallen = [-rate * found.span_s for rate in reversed(found.rate)]
    return volume_of(bounds(fallen, 1, "psi"), stiffness), found.span_s, False


def _known(around: Surroundings, stiffness: Stiffness | None) -> Surroundings:
    """What the stiffness adds to the surroundings; without it no volume means anything."""
    if stiffness is None:
        return replace(around, per_kelvin=None, air_most=None)
    known = replace(around, stiffness_factor=stiffness.factor)
    if known.air_most is None and stiffness.most_air is not None:
        known = replace(known, air_most=amount(stiffness.most_air, "mL"))
    return known


def _put_in_and_not_there(
    added_ml: float, doubt_ml: float, change_psi: float, width: float, stiffness: Stiffness
) -> Bounds:
    """Volume put in, less what a risen gauge holds of it, or with what a fallen one gave up."""
    least, value, most = three(stiffness.value, "mL/psi")
    held = [c * p for c in (least, most) for p in (change_psi - width, change_psi + width)]
    low, high = added_ml - doubt_ml - max(held), added_ml + doubt_ml - min(held)
    return bounds((low, added_ml - value * change_psi, high), 1, "mL")


def _compared(
    times_s: Sequence[float],
    pressures: Sequence[float],
    found: Fall,
    stiffness: Stiffness | None,
    around: Surroundings,
    run_starts: Sequence[int],
    atmosphere: Quantity,
    most: int,
) -> Comparison:
    """The comparison over the latest run that spans any time, binned."""
    start = 0
    latest: tuple[int, Run] | None = None
    for run in split(times_s, pressures, run_starts):
        if run.span_s > 0:
            latest = start, run
        start += len(run.times_s)
    if latest is None:
        return Comparison((), (), None)
    first, run = latest
    part = slice(first, first + len(run.times_s))
    times, readings = run.binned(most)
    if times[0] == times[-1]:
        return Comparison((), (), None)
    if stiffness is None:
        middle = math.fsum(readings) / len(readings)
        yieldings = ways_to_yield(q(max(middle, 0.0), "psi"), atmosphere)
    else:
        yieldings = stiffness.yieldings()
    later = times[0] - times_s[0]
    return compare(times, readings, found.width, yieldings, _during(around, part, later, most))


def _during(around: Surroundings, part: slice, later_s: float, most: int) -> Surroundings:
    """The surroundings of a part of the record, that much later."""

    def moved(since: float | None) -> float | None:
        return None if since is None else since + later_s

    def column(values: Sequence[float] | None) -> Sequence[float] | None:
        return None if values is None else binned(values[part], most)

    return replace(
        around,
        loaded_s=moved(around.loaded_s),
        wetted_s=moved(around.wetted_s),
        overshot_s=moved(around.overshot_s),
        water_degc=column(around.water_degc),
        rods_degc=column(around.rods_degc),
    )


def _next(compared: Comparison, around: Surroundings, stiffness: Stiffness | None) -> Measurement:
    """The one measurement that would tell most, the cheapest first.

    Nothing where a cause is named or nothing moved; a thermometer while water temperature is
    unmeasured and possible; the nuts while creep or sun is possible; a bleed while dissolving air
    is possible and how much air there is, is not known; else a longer hold.
    """
    possible = compared.possible
    if compared.named is not None or "none" in possible:
        return "none"
    if around.water_degc is None and (not possible or "temperature" in possible):
        return "water_temperature"
    if {"creep", "sun"} & set(possible):
        return "nut_movement"
    planned = stiffness is None or stiffness.basis == "planned"
    if "air_dissolving" in possible and (around.air_most is None or planned):
        return "bleed_volume"
    return "longer_hold"


def _as_long(times_s: Sequence[float], around: Surroundings) -> None:
    for name, column in (("water", around.water_degc), ("rods", around.rods_degc)):
        if column is not None and len(column) != len(times_s):
            raise ValueError(
                f"{len(column)} temperatures of the {name} and {len(times_s)} readings; "
                "expected as many"
            )
