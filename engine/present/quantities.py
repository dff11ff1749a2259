"""Numbers, quantities, times and clock positions in words."""

from __future__ import annotations

from typing import Final, Literal

from engine.conversions import KPA_PER_PSI
from engine.units import Quantity, amount, symbol

System = Literal["us", "si"]

_SHOWN: Final[dict[str, dict[System, tuple[str, int]]]] = {
    "[mass] / [length] / [time] ** 2": {"us": ("psi", 2), "si": ("kPa", 1)},
    "[length]": {"us": ("in", 3), "si": ("mm", 1)},
    "[length] ** 2": {"us": ("in**2", 2), "si": ("cm**2", 1)},
    "[length] ** 3": {"us": ("mL", 1), "si": ("mL", 1)},
    "[length] ** 3 / [time]": {"us": ("gal/min", 2), "si": ("L/min", 2)},
    "[mass] * [length] / [time] ** 2": {"us": ("lbf", 0), "si": ("kN", 2)},
    "[mass] / [length] / [time] ** 3": {"us": ("psi/s", 2), "si": ("kPa/s", 1)},
    "[temperature]": {"us": ("degF", 0), "si": ("degC", 1)},
}
_SIGN: Final = {"degF": "°F", "degC": "°C", "in**2": "in²", "cm**2": "cm²", "percent": "%",
                "mm**2": "mm²", "count": ""}  # fmt: skip


def number(value: float, places: int) -> str:
    """Without trailing zeros: 13.5, 13, 0.02."""
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def quantity(value: Quantity, system: System | None = None, places: int | None = None) -> str:
    """A quantity with its unit; brought to the units shown where a system is given."""
    dims = str(value.dimensionality)
    if dims == "[time]":
        return duration(amount(value, "s"))
    unit, usual = symbol(value), 3
    if system and dims in _SHOWN and not unit.startswith("delta_"):
        unit, usual = _SHOWN[dims][system]
        shown = amount(value, unit)
    else:
        shown = float(value.magnitude)
    text = number(shown, usual if places is None else places)
    return f"{text} {_SIGN.get(unit, unit)}".strip()


def pressure(psi: float, system: System = "us", places: int | None = None) -> str:
    """A gauge pressure given in psi, in the units shown."""
    value, unit, usual = (psi, "psi", 2) if system == "us" else (psi * KPA_PER_PSI, "kPa", 1)
    return f"{number(value, usual if places is None else places)} {unit}"


def duration(seconds: float) -> str:
    """8 s, 2:05, 1:02:00 h, 24 h."""
    whole = round(seconds)
    if abs(whole) < 60:
        return f"{whole} s"
    hours, rest = divmod(abs(whole), 3600)
    sign = "-" if whole < 0 else ""
    if hours and not rest:
        return f"{sign}{hours} h"
    if hours:
        return f"{sign}{hours}:{rest // 60:02}:{rest % 60:02} h"
    return f"{sign}{rest // 60}:{rest % 60:02} min"


def clock_position(clock: float | None) -> str:
    """at 6, at 4:30."""
    if clock is None:
        return ""
    hours, minutes = divmod(round(clock * 60), 60)
    return f"at {hours or 12}" + (f":{minutes:02}" if minutes else " o'clock")
