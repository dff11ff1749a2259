"""What can move a gauge, each as a shape of volume against time.

Pressures in psi, volumes in mL, times in seconds, temperatures in degC: plain numbers, because a
comparison is thousands of sums. Every cause is a shape of volume against time; what the gauge
shows is turned into volume by the stiffness, so that causes add up.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal, get_args

Cause = Literal[
    "steady_leak", "pressure_leak", "creep", "absorption", "temperature", "sun",
    "air_dissolving", "recovery", "none",
]  # fmt: skip
CAUSES: Final[tuple[Cause, ...]] = get_args(Cause)

# Where the time since something began is not known, these are tried, in seconds. A hold begins
# within the hour after the load came on; the concrete may have been wet since yesterday.
_LOADED: Final = (1.0, 10.0, 60.0, 300.0, 1800.0, 3600.0)
_WETTED: Final = (*_LOADED, 86400.0)
_ROUGHLY: Final = (0.7, 1.0, 1.4)
_OPENS_BELOW: Final = (0.1, 0.5, 2.0)
_DISSOLVING: Final = (7200.0, 21600.0, 86400.0)
_WARMING: Final = (150.0, 300.0, 600.0, 1200.0, 2400.0, 4800.0)
# House figures: how far an unmeasured temperature may move in a hold, what a thermometer in the
# pocket's outflow may miss, and how far the worked-out effect of a degree may be off.
_UNMEASURED_KELVIN: Final = 5.0
_MISSED_KELVIN: Final = 0.5
_EFFECT_DOUBT: Final = 1.3

Limits = tuple[float, float]
_ANY: Final[Limits] = (-math.inf, math.inf)
_LOSS: Final[Limits] = (-math.inf, 0.0)
_GAIN: Final[Limits] = (0.0, math.inf)


@dataclass(frozen=True)
class Yielding:
    """How volume follows pressure: V = C P + V0 P / (P + Pa)."""

    linear: float
    air: float
    atmosphere: float

    def volume(self, pressure: float) -> float:
        absolute = self._absolute(pressure)
        return self.linear * pressure + self.air * (absolute - self.atmosphere) / absolute

    def stiffness(self, pressure: float) -> float:
        return self.linear + self.air * self.atmosphere / self._absolute(pressure) ** 2

    def _absolute(self, pressure: float) -> float:
        """A reading may be nonsense: nothing is emptier than a tenth of the air outside here."""
        return max(pressure + self.atmosphere, self.atmosphere / 10)


@dataclass(frozen=True)
class Surroundings:
    """What was known beside the gauge; what was not leaves more open."""

    loaded_s: float | None = None
    """From the load coming on to the first reading."""
    wetted_s: float | None = None
    """From the concrete being wetted to the first reading."""
    overshot_s: float | None = None
    """From bleeding down from a higher pressure to the first reading; None without overshoot."""
    water_degc: Sequence[float] | None = None
    """Temperature of the water at each reading."""
    rods_degc: Sequence[float] | None = None
    """Temperature of the rods at each reading."""
    shaded: bool = False
    """The rods are out of the sun, or hard stops make their length not matter."""
    per_kelvin: float | None = None
    """Volume by which the contents outgrow the pocket for each degree."""
    stiffness_factor: float = 1.0
    """By how many times the stiffness may be off."""
    air_most: float | None = None
    """The most air there can be, as squeezed now."""


@dataclass(frozen=True)
class Shape:
    """Volume against time, but for level and size; the size lies within limits."""

    cause: Cause
    column: Sequence[float]
    limits: Limits
    spare: float = 0.0
    """Volume that a coarse thermometer may hide, either way."""
    chosen: bool = False
    """One of several that were tried, which counts as a parameter."""
    imagined: bool = False
    """Nobody measured it: it keeps other causes from being named, and is not named itself."""


def shapes(
    times_s: Sequence[float], pressures: Sequence[float], around: Surroundings
) -> Iterator[Shape]:
    """Every shape worth trying; a cause that can have no part in it is left out."""
    since = [t - times_s[0] for t in times_s]
    yield Shape("steady_leak", since, _LOSS)
    for power in (0.5, 1.0):
        yield Shape("pressure_leak", _running_total(since, pressures, power), _LOSS)
    least, span = min(pressures), max(pressures) - min(pressures)
    for further in _OPENS_BELOW if span > 0 else ():
        opens = least - further * span
        if opens > 0:  # a leak that shuts at a pressure the gauge has not yet come down to
            above = [p - opens for p in pressures]
            yield Shape("pressure_leak", _running_total(since, above, 1.0), _LOSS, chosen=True)
    for start, chosen in _starts(around.loaded_s, _LOADED):
        yield Shape("creep", [math.log10(t + start) for t in since], _LOSS, chosen=chosen)
    for start, chosen in _starts(around.wetted_s, _WETTED):
        yield Shape("absorption", [math.sqrt(t + start) for t in since], _LOSS, chosen=chosen)
    yield from _temperature(since, around)
    if not around.shaded:
        if around.rods_degc is not None and varies(around.rods_degc):
            yield Shape("sun", around.rods_degc, _LOSS)
        for column in _drifts(since):
            yield Shape("sun", column, _ANY, chosen=True, imagined=True)
    most = math.inf if around.air_most is None else around.air_most * around.stiffness_factor
    for lasting in _DISSOLVING:
        column = [-math.expm1(-t / lasting) for t in since]
        yield Shape("air_dissolving", column, (-most, 0.0), chosen=True)
    if around.overshot_s is not None:
        column = [math.log10(t + max(1.0, around.overshot_s)) for t in since]
        yield Shape("recovery", column, _GAIN)


def _temperature(since: Sequence[float], around: Surroundings) -> Iterator[Shape]:
    """The measured column where there is one, and what could have moved without being measured."""
    effect = around.per_kelvin
    factor = around.stiffness_factor * _EFFECT_DOUBT
    measured = around.water_degc is not None
    if around.water_degc is not None and varies(around.water_degc):
        sizes = _ANY if effect is None else _ordered(effect / factor, effect * factor)
        spare = 0.0 if effect is None else abs(effect) * factor * _MISSED_KELVIN / 2
        yield Shape("temperature", around.water_degc, sizes, spare)
    kelvin = _MISSED_KELVIN if measured else _UNMEASURED_KELVIN
    most = math.inf if effect is None else abs(effect) * factor * kelvin
    for column in _drifts(since):
        yield Shape("temperature", column, (-most, most), chosen=True, imagined=True)


def _drifts(since: Sequence[float]) -> Iterator[Sequence[float]]:
    """From 0 to 1: evenly, or levelling out."""
    span = since[-1]
    yield [t / span for t in since]
    for lasting in _WARMING:
        whole = math.expm1(-span / lasting)
        yield [math.expm1(-t / lasting) / whole for t in since]


def _starts(known: float | None, otherwise: Sequence[float]) -> list[tuple[float, bool]]:
    """A known time is taken as roughly known."""
    if known is None:
        return [(start, True) for start in otherwise]
    return [(max(1.0, known) * factor, False) for factor in _ROUGHLY]


def _running_total(since: Sequence[float], pressures: Sequence[float], power: float) -> list[float]:
    """What has leaked through an opening that heeds the pressure, in seconds at the first."""
    most = max(pressures)
    drive = [(max(0.0, p) / most) ** power if most > 0 else 0.0 for p in pressures]
    total = [0.0]
    for i in range(1, len(since)):
        total.append(total[-1] + (since[i] - since[i - 1]) * (drive[i] + drive[i - 1]) / 2)
    return total


def _ordered(a: float, b: float) -> Limits:
    return (min(a, b), max(a, b))


def varies(values: Sequence[float]) -> bool:
    return min(values) < max(values)
