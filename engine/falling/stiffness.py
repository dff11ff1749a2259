"""How far a pocket yields, what is known of that, and what a loss of pressure is worth by it.

Stiffness is volume for each unit of pressure: how many mL one psi is worth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from engine.falling.causes import Yielding
from engine.formulas.air import AirFit, squeezed, stiffness_of_air, total_stiffness
from engine.formulas.drops import drops
from engine.units import Quantity, amount, q

Basis = Literal["points", "planned", "bled", "topped_up"]

PLAN_DOUBT: Final = q(50, "percent")
"""House figure: how far the stiffness worked out in the plan is taken to be off."""
MEASURED_DOUBT: Final = q(5, "percent")
"""House figure: how far a volume out of a jug or a syringe is taken to be off."""
AT_ONCE_S: Final = 120.0
"""House figure: a volume moved between readings no further apart is what moved the gauge."""
_CLEARLY: Final = 2
"""Graduations that a step has to pass to tell anything."""
_BENT: Final = 1.5
_SHARES_OF_AIR: Final = (0.0, 0.25, 0.5, 0.75, 1.0)


@dataclass(frozen=True)
class Bounds:
    """A figure, and how low and high it may be."""

    low: Quantity
    expected: Quantity
    high: Quantity


def bounds(values: Sequence[float], factor: float, unit: str) -> Bounds:
    """`values` times `factor`, set in order: a negative factor turns them round."""
    low, expected, high = (value * factor for value in values)
    return Bounds(q(min(low, high), unit), q(expected, unit), q(max(low, high), unit))


def three(bounds: Bounds, unit: str) -> tuple[float, float, float]:
    """Low, expected and high as plain numbers."""
    return amount(bounds.low, unit), amount(bounds.expected, unit), amount(bounds.high, unit)


@dataclass(frozen=True)
class Stiffness:
    """Volume that one unit of pressure is worth at a gauge pressure, and how it is known."""

    value: Bounds
    gauge: Quantity
    atmosphere: Quantity
    basis: Basis
    free_air: Quantity | None = None
    """Air at atmospheric pressure, where pressure and volume points tell it from the rest."""
    most_air: Quantity | None = None
    """With two standard errors added, squeezed as it is at the gauge pressure."""

    @property
    def factor(self) -> float:
        """By how many times it may be off."""
        low, expected, high = three(self.value, "mL/psi")
        return max(high / expected, expected / low)

    def yieldings(self) -> list[Yielding]:
        """The ways the pocket may yield: one where the air is known, else from none to all air."""
        worth = amount(self.value.expected, "mL/psi")
        if self.free_air is None:
            return ways_to_yield(self.gauge, self.atmosphere, worth)
        per_air = amount(stiffness_of_air(q(1, "mL"), self.gauge, self.atmosphere), "mL/psi")
        air = amount(self.free_air, "mL")
        return [Yielding(max(0.0, worth - air * per_air), air, amount(self.atmosphere, "psi"))]


def ways_to_yield(gauge: Quantity, atmosphere: Quantity, worth: float = 1.0) -> list[Yielding]:
    """From none of the yielding to all of it as air; `worth` mL/psi at the gauge pressure.

    Where nobody knows what a psi is worth, one mL will do: shapes are compared and not sizes.
    """
    per_air = amount(stiffness_of_air(q(1, "mL"), gauge, atmosphere), "mL/psi")
    outside = amount(atmosphere, "psi")
    return [
        Yielding(worth * (1 - share), worth * share / per_air, outside) for share in _SHARES_OF_AIR
    ]


def from_points(fit: AirFit, gauge: Quantity) -> Stiffness:
    """Stiffness from pressure and volume points, two standard errors either way.

    Half as much again where the points cross the preload. ValueError where it is not above zero.
    """
    total, error = fit.stiffness(gauge)
    value, doubt = amount(total, "mL/psi"), 2 * amount(error, "mL/psi")
    wider = _BENT if fit.bent else 1.0
    low = max(value - doubt, value / 10) / wider
    air, air_doubt = amount(fit.free_air, "mL"), 2 * amount(fit.air_error, "mL")
    sure = fit.told_apart and not fit.bent and air >= 0
    return Stiffness(
        _stiffness_bounds(low, value, (value + doubt) * wider),
        gauge,
        fit.atmosphere,
        "points",
        fit.free_air if sure else None,
        squeezed(q(air + air_doubt, "mL"), gauge, fit.atmosphere) if sure else None,
    )


def from_plan(
    linear: Quantity,
    free_air: Quantity,
    atmosphere: Quantity,
    gauge: Quantity,
    doubt: Quantity = PLAN_DOUBT,
) -> Stiffness:
    """Stiffness as planned, off by a stated share either way; how much of it is air, is open.

    Where no air at all makes more of a difference than that share, the pocket may be so stiff.
    """
    value = amount(total_stiffness(gauge, linear, free_air, atmosphere), "mL/psi")
    factor = 1 + amount(doubt, "percent") / 100
    low = min(value / factor, amount(linear, "mL/psi") or value / factor)
    return Stiffness(_stiffness_bounds(low, value, value * factor), gauge, atmosphere, "planned")


def from_bleed(
    volume: Quantity,
    volume_doubt: Quantity,
    before: Quantity,
    after: Quantity,
    graduation: Quantity,
    atmosphere: Quantity,
    basis: Literal["bled", "topped_up"] = "bled",
) -> Stiffness:
    """Stiffness from a measured volume let out and the two readings around it.

    Or put in, with the readings the other way round: `before` is always the higher. ValueError for
    a drop of no more than one graduation, or a volume within its doubt of nothing.
    """
    out, doubt = amount(volume, "mL"), amount(volume_doubt, "mL")
    drop, r = amount(before, "psi") - amount(after, "psi"), amount(graduation, "psi")
    if drop <= r or out <= doubt:
        raise ValueError(
            f"{out:g} mL let out for {drop:g} psi; expected a drop of more than {r:g} psi and more "
            f"than {doubt:g} mL"
        )
    middle = q(max(0.0, (amount(before, "psi") + amount(after, "psi")) / 2), "psi")
    value = _stiffness_bounds((out - doubt) / (drop + r), out / drop, (out + doubt) / (drop - r))
    return Stiffness(value, middle, atmosphere, basis)


class Step(NamedTuple):
    """What a measured volume did: gauge pressures at the crown, in psi, before and after it."""

    before: float
    after: float
    ml: float
    """Put in; negative where it was let out."""


def from_steps(steps: Sequence[Step], graduation: float, atmosphere: Quantity) -> Stiffness | None:
    """Stiffness from the largest step; None where none clearly moved the gauge as it should."""
    usable = [
        s
        for s in steps
        if s.ml and abs(s.after - s.before) > _CLEARLY * graduation
        and (s.after > s.before) == (s.ml > 0)
    ]  # fmt: skip
    if not usable:
        return None
    step = max(usable, key=lambda s: abs(s.after - s.before))
    low, high = sorted((step.before, step.after))
    volume = abs(step.ml)
    doubt = volume * amount(MEASURED_DOUBT, "percent") / 100
    return from_bleed(
        q(volume, "mL"), q(doubt, "mL"), q(high, "psi"), q(low, "psi"), q(graduation, "psi"),
        atmosphere, "topped_up" if step.ml > 0 else "bled",
    )  # fmt: skip


@dataclass(frozen=True)
class Worth:
    """What a loss is worth, each thing as if it were alone; a rise is negative."""

    volume: Bounds
    drops: Bounds
    movement: Bounds | None
    """Of the restraint, along the joint; None without the area."""
    cooling: Bounds | None
    """Of the water: negative where water that cools swells or outgrows the concrete. None without
    the effect of a degree, or where it is nothing."""


def volume_of(lost: Bounds, stiffness: Stiffness) -> Bounds:
    """The volume that a loss of pressure is worth."""
    low, expected, high = three(lost, "psi")
    least, value, most = three(stiffness.value, "mL/psi")
    ends = min(low * least, low * most), expected * value, max(high * least, high * most)
    return bounds(ends, 1, "mL")


def worth(
    lost: Bounds,
    area: Quantity | None = None,
    per_degree: Quantity | None = None,
) -> Worth:
    """What a `lost` volume is worth; `per_degree` is the volume outgrown for each degree."""
    volume = three(lost, "mL")
    effect = None if per_degree is None else amount(per_degree, "mL/K")
    return Worth(
        bounds(volume, 1, "mL"),
        Bounds(*(drops(q(ml, "mL")) for ml in volume)),
        None if area is None else bounds(volume, 1 / abs(amount(area, "mL/in")), "in"),
        None if not effect else bounds(volume, 1 / effect, "delta_degC"),
    )


def _stiffness_bounds(low: float, expected: float, high: float) -> Bounds:
    if not 0 < low <= expected <= high:
        raise ValueError(f"stiffness {expected:g} mL/psi; expected more than zero")
    return bounds((low, expected, high), 1, "mL/psi")
