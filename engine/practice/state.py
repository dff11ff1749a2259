"""The pocket's state at a moment: all that must be known to go on."""

from __future__ import annotations

from typing import NamedTuple


class State(NamedTuple):
    """Units as in `setup`; air is reckoned at atmospheric pressure, water at 20 degC."""

    t: float
    water: float  # mL, in the pocket
    top_air: float  # mL, above the water
    bubbles: float  # mL, carried by the water
    lodged: float  # mL, caught in folds of the gaskets
    line_air: float  # mL, in the gauge line
    water_temperature: float
    wets: tuple[float, ...]  # mL of each leak's water that lie in sight
    supply: float  # psi
    surface: float  # in, the water's level
    pressure: float = 0.0  # psi at the crown
    needle: float = 0.0  # psi, before the zero error
    inlet: float = 0.0
    vent: float = 0.0
    cock: float = 1.0
    crept: float = 0.0  # mL
    gives: tuple[float, float, float] = (0.0, 0.0, 0.0)  # mL, taken by the gaskets' slow turns
    wetted: float = 0.0  # s the faces have been wet
    loaded: float = 0.0  # s under load without a break
    since_loaded: float = 0.0  # s since the first loading
    poured: float = 0.0
    vented: float = 0.0
    relieved: float = 0.0
    drained: float = 0.0
    leaked: float = 0.0
    absorbed: float = 0.0
    splashed: float = 0.0  # mL, inside, from filling
    peak: float = 0.0
    stuck: bool = False
    knocked: bool = False  # the cock was knocked shut once
    mended: bool = False
    reseated: bool = False
