"""The figures of past tests as they are shown, on screens and in print."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, NamedTuple

from engine.conversions import KPA_PER_PSI
from engine.history.finding import Row, by_opening
from engine.history.trend import Figure

__all__ = ["SHOWN", "Shown", "figure", "shown_in", "units_of"]


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


_IN_SI: Final[dict[Figure, Shown]] = {
    "lost": Shown("Pressure lost in the hold", "kPa", 1 / KPA_PER_PSI, 1),
}
"""Those that are shown otherwise where a plan is in SI; rows hold psi."""


def shown_in(name: Figure, units: object) -> Shown:
    """How a figure is shown where plans are in `us` or `si`."""
    return _IN_SI.get(name, SHOWN[name]) if units == "si" else SHOWN[name]


def units_of(rows: Iterable[Row], product: str) -> str:
    """`us` or `si`, as the last plan of a product had it."""
    mine = [r for r in rows if r.get("product") == product and not r.get("practice")]
    return next((str(r["units"]) for r in reversed(by_opening(mine)) if r.get("units")), "us")


def figure(name: Figure, value: object, units: object) -> str:
    """With its unit; a dash where the session has none."""
    if not isinstance(value, int | float):
        return "-"
    shown = shown_in(name, units)
    return f"{value / shown.size:.{shown.places}f} {shown.unit}".rstrip()
