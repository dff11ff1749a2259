"""Falls made up by known causes, on a pocket of known stiffness, as a dial would show them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from engine.falling.causes import Yielding
from engine.units import q

ATMOSPHERE = q(14.696, "psi")
POCKET = Yielding(linear=2.37, air=81.08, atmosphere=14.696)
"""The pocket of the worked example: 3.92 mL/psi at 13 psi."""
PER_KELVIN = 1.57

Volume = Callable[[float], float]
"""Volume lost since the first reading, in mL, at a time in seconds."""


def pressure_at(volume: float, pocket: Yielding = POCKET) -> float:
    low, high = 0.0, 60.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if pocket.volume(middle) < volume else (low, middle)
    return low


def shown(
    times_s: Sequence[float],
    lost: Volume,
    graduation: float,
    start: float = 15.0,
    pocket: Yielding = POCKET,
) -> list[float]:
    """What the dial shows, read to the nearest mark."""
    full = pocket.volume(start)
    true = [pressure_at(full - lost(t), pocket) for t in times_s]
    return [round(p / graduation) * graduation for p in true]


def times(minutes: float, every: float) -> list[float]:
    return [60.0 * every * i for i in range(int(minutes / every) + 1)]


def steady(per_minute: float) -> Volume:
    return lambda t: per_minute * t / 60


def through_an_orifice(per_minute: float, start: float = 15.0, power: float = 0.5) -> Volume:
    """A leak that heeds the pressure, by small steps of two seconds."""
    lost, pressure, totals = 0.0, start, [0.0]
    full = POCKET.volume(start)
    for _ in range(1800):
        lost += per_minute / 30 * (max(0.0, pressure) / start) ** power
        pressure = pressure_at(full - lost)
        totals.append(lost)
    return lambda t: totals[min(1800, round(t / 2))]


def creeping(per_decade: float, loaded_s: float) -> Volume:
    return lambda t: per_decade * math.log10((t + loaded_s) / loaded_s)


def drinking(per_root_minute: float, wetted_s: float) -> Volume:
    return lambda t: per_root_minute * (math.sqrt((t + wetted_s) / 60) - math.sqrt(wetted_s / 60))


def together(*parts: Volume) -> Volume:
    return lambda t: sum(part(t) for part in parts)


def scaled(part: Volume, size: float) -> Volume:
    return lambda t: size * part(t)
