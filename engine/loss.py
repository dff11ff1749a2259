"""What a falling gauge can mean, and what one unit of pressure is worth. It never passes a joint.

The eye on the primary gasket comes first: the gauge is a poor finder of leaks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from engine.causes import Cause, Surroundings
from engine.comparison import compare
from engine.fall import Fall, Run, binned, fall, split
from engine.formulas.leak import DROP
from engine.stiffness import Bounds, Stiffness, Worth, bounds, three, worth
from engine.units import Quantity, amount, q

Measurement = Literal["water_temperature", "nut_movement", "bleed_volume", "longer_hold", "none"]


@dataclass(frozen=True)
class Loss:
    """What the readings say was lost, and what may have taken it."""

    fall: Fall
    stiffness: Stiffness
    lost: Worth | None
    """Over the time in runs, `fall.span_s`; None without two readings at different times."""
    flow: Bounds | None
    drops_per_minute: Bounds | None
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


def explain(
    times_s: Sequence[float],
    pressures_psi: Sequence[float],
    graduation_psi: float,
    stiffness: Stiffness,
    around: Surroundings | None = None,
    run_starts: Sequence[int] = (),
    reader_error_psi: float = 0.0,
    area: Quantity | None = None,
    drop: Quantity = DROP,
) -> Loss:
    """What a record of readings can mean; causes are sought in the latest run, of 600 points.

    Readings as for `fall`. Raises ValueError, in one line, for readings that make no sense.
    """
    around = around or Surroundings()
    _as_long(times_s, around)
    found = fall(times_s, pressures_psi, graduation_psi, reader_error_psi, run_starts)
    known = replace(around, stiffness_factor=stiffness.factor)
    if known.air_most is None and stiffness.most_air is not None:
        known = replace(known, air_most=amount(stiffness.most_air, "mL"))
    weights, possible, cause = _compared(
        times_s, pressures_psi, found, stiffness, known, run_starts
    )
    lost, flow, drops = None, None, None
    if found.rate is not None:
        fallen = [-rate * found.span_s for rate in reversed(found.rate)]
        effect = None if around.per_kelvin is None else q(around.per_kelvin, "mL/K")
        lost = worth(bounds(fallen, 1, "psi"), stiffness, area, effect, drop)
        per_minute = 60 / found.span_s
        flow = bounds(three(lost.volume, "mL"), per_minute, "mL/min")
        drops = bounds(three(lost.drops, "drop"), per_minute, "drop/min")
    return Loss(
        found, stiffness, lost, flow, drops, weights, possible, cause,
        "longer_hold" if lost is None else _next(possible, cause, known, stiffness),
    )  # fmt: skip


def _compared(
    times_s: Sequence[float],
    pressures: Sequence[float],
    found: Fall,
    stiffness: Stiffness,
    around: Surroundings,
    run_starts: Sequence[int],
) -> tuple[tuple[tuple[Cause, float], ...], tuple[Cause, ...], Cause | None]:
    """The comparison over the latest run that spans any time, binned."""
    start = 0
    latest: tuple[int, Run] | None = None
    for run in split(times_s, pressures, run_starts):
        if run.span_s > 0:
            latest = start, run
        start += len(run.times_s)
    if latest is None:
        return (), (), None
    first, run = latest
    part = slice(first, first + len(run.times_s))
    times, readings = run.binned()
    if times[0] == times[-1]:
        return (), (), None
    compared = compare(
        times, readings, found.width, stiffness.yieldings(),
        _during(around, part, times[0] - times_s[0]),
    )  # fmt: skip
    return compared.weights, compared.possible, compared.named


def _during(around: Surroundings, part: slice, later_s: float) -> Surroundings:
    """The surroundings of a part of the record, that much later."""

    def moved(since: float | None) -> float | None:
        return None if since is None else since + later_s

    def column(values: Sequence[float] | None) -> Sequence[float] | None:
        return None if values is None else binned(values[part])

    return replace(
        around,
        loaded_s=moved(around.loaded_s),
        wetted_s=moved(around.wetted_s),
        overshot_s=moved(around.overshot_s),
        water_degc=column(around.water_degc),
        rods_degc=column(around.rods_degc),
    )


def _next(
    possible: Sequence[Cause], cause: Cause | None, around: Surroundings, stiffness: Stiffness
) -> Measurement:
    """The one measurement that would tell most, the cheapest first.

    Nothing where a cause is named or nothing moved; a thermometer while water temperature is
    unmeasured and possible; the nuts while creep or sun is possible; a bleed while dissolving air
    is possible and how much air there is, is not known; else a longer hold.
    """
    if cause is not None or "none" in possible:
        return "none"
    if around.water_degc is None and (not possible or "temperature" in possible):
        return "water_temperature"
    if {"creep", "sun"} & set(possible):
        return "nut_movement"
    if "air_dissolving" in possible and (around.air_most is None or stiffness.basis == "planned"):
        return "bleed_volume"
    return "longer_hold"


def _as_long(times_s: Sequence[float], around: Surroundings) -> None:
    for name, column in (("water", around.water_degc), ("rods", around.rods_degc)):
        if column is not None and len(column) != len(times_s):
            raise ValueError(
                f"{len(column)} temperatures of the {name} and {len(times_s)} readings; "
                "expected as many"
            )
