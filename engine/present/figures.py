"""Figures of a plan in words: each kind with the unit and the digits that a yard can use."""

from __future__ import annotations

from typing import Final

from engine.present.quantities import System, number, quantity
from engine.units import Quantity, amount, q

_Kind = dict[System, tuple[str, str, int]]


def _dimensions(value: Quantity) -> frozenset[str]:
    return frozenset(f"{name} {power}" for name, power in value.dimensionality.items())


_KINDS: Final[dict[frozenset[str], _Kind]] = {
    _dimensions(q(1, us[0])): {"us": us, "si": si}
    for us, si in (
        (("lbf", "lbf", 0), ("kN", "kN", 2)),
        (("in*lbf", "in-lbf", 0), ("N*m", "N-m", 0)),
        (("lbf/in", "lbf/in", 1), ("N/mm", "N/mm", 2)),
        (("mL/s", "mL/s", 1), ("mL/s", "mL/s", 1)),
        (("mL/psi", "mL/psi", 3), ("mL/kPa", "mL/kPa", 4)),
    )
}
"""Unit, its sign, and places, of the kinds that only a plan has; by dimension in any order."""

_STEP: Final = {"us": (1.8, "°F"), "si": (1.0, "°C")}


def figure(value: Quantity, system: System) -> str:
    """With its unit, in the units shown."""
    kind = _KINDS.get(_dimensions(value))
    if kind is not None:
        unit, sign, places = kind[system]
        return f"{number(amount(value, unit), places)} {sign}"
    if value.check("[time]") and amount(value, "s") < 100:
        seconds = amount(value, "s")
        return f"{number(seconds, 2 if seconds < 10 else 0)} s"
    if value.dimensionless:
        return _bare(value)
    if f"{value.units:~C}" == "ft":
        unit, places = ("ft", 1) if system == "us" else ("m", 2)
        return f"{number(amount(value, unit), places)} {unit}"
    return quantity(value, system)


def _bare(value: Quantity) -> str:
    unit = f"{value.units:~C}"
    if unit == "percent":
        return f"{number(value.magnitude, 1 if value.magnitude < 10 else 0)} %"
    if unit in ("deg", "rad"):
        return f"{number(amount(value, 'deg'), 3)}°"
    if unit == "mm/m":
        return f"{number(amount(value, 'mm/m'), 2)} mm/m"
    return number(value.magnitude, 1 if unit == "drop" and value.magnitude < 10 else 0)


def stress(value: Quantity, system: System) -> str:
    if system == "us":
        return f"{number(amount(value, 'psi'), 0)} psi"
    return f"{number(amount(value, 'MPa'), 2)} MPa"


def step(value: Quantity, system: System) -> str:
    """A difference of temperature: one degree warmer is not one degree above freezing."""
    factor, sign = _STEP[system]
    kelvin = value.magnitude / (1.8 if "Fahrenheit" in str(value.units) else 1.0)
    return f"{number(kelvin * factor, 1)} {sign}"


def movement(value: Quantity, system: System) -> tuple[str, str]:
    """A small movement; beside it thousandths of an inch, as they are measured in the yard."""
    if system == "us":
        inches = amount(value, "in")
        return f"{number(inches, 4)} in", f"{number(1000 * inches, 1)} thousandths"
    return f"{number(amount(value, 'mm'), 3)} mm", ""


def share(use: float) -> str:
    return f"{number(100 * use, 1 if use < 0.1 else 0)} %"
