"""The figures of past tests as they are shown, on screens and in print."""

from __future__ import annotations

from typing import Final, NamedTuple

from engine.history.trend import Figure

__all__ = ["SHOWN", "Shown", "figure"]


class Shown(NamedTuple):
    """How a figure is shown: what it is called, its unit, by what the row's is divided, places."""

    name: str
    unit: str
    size: float
    places: int


SHOWN: Final[dict[Figure, Shown]] = {
    "lost": Shown("Pressure lost in the hold", "psi", 1, 2),
    "flow": Shown("That loss as a flow", "mL/min", 1, 2),
    "air": Shown("Trapped air, share of the pocket", "%", 1, 2),
    "top_ups": Shown("Top-ups in the hold", "", 1, 0),
    "seconds": Shown("Time taken", "min", 60, 0),
}


def figure(name: Figure, value: object) -> str:
    """With its unit; a dash where the session has none."""
    if not isinstance(value, int | float):
        return "-"
    shown = SHOWN[name]
    return f"{value / shown.size:.{shown.places}f} {shown.unit}".rstrip()
