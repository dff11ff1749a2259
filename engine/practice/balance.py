"""The pocket's balance: pressure is not stored up but solved for.

What is in the pocket, less the room there is, is taken by compression and by what gives way:

    (C_w + C_g) P + G P/(P + Pa) + max(0, C_r (P - P0) + S)  =  W + A - V

C_w, C_g, C_r  water, gasket, restraint [mL/psi]    G  all air, the gauge line's too [mL at Pa]
P0  preload [psi]    S  creep, and sun on the rods [mL]    W, A, V  water, pocket's air, room [mL]
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp

from engine.practice.setup import Setup
from engine.practice.state import State

_COMPRESSION = 3.16409e-6  # 1/psi: water at 20 degC, 458.913e-12 1/Pa
_STEEL, _CONCRETE = 11.7e-6, 10.0e-6  # 1/K, lengthwise; from memory
_ML = 16.387064  # mL in a cubic inch


class Balance:
    """The balance of one setup."""

    def __init__(self, setup: Setup) -> None:
        self._setup = setup
        self._stiff = setup.volume * _COMPRESSION + setup.gasket_give
        self._sun = setup.thrust_area * setup.rod_length * _STEEL * setup.sun_rise * _ML

    def taken(self, state: State, pressure: float) -> float:
        """mL taken up at `pressure`: the left side.  Rises with pressure throughout."""
        air = state.top_air + state.bubbles + state.lodged + state.line_air
        squeezed = air * pressure / (pressure + self._setup.atmosphere)
        return self._stiff * pressure + squeezed + self.opened(state, pressure)

    def excess(self, state: State) -> float:
        """mL in the pocket beyond its room: the right side."""
        water = state.water * swell(state.water_temperature)
        return water + state.top_air + state.bubbles + state.lodged - self.room(state)

    def room(self, state: State) -> float:
        """mL the pocket holds without pressure, the joint's opening left out."""
        setup = self._setup
        warmer = concrete(setup, state.t) - setup.concrete_temperature
        return setup.volume * (1.0 + 3.0 * _CONCRETE * warmer) + sum(state.gives)

    def opened(self, state: State, pressure: float) -> float:
        """mL the joint has opened by at `pressure`: nothing until the draw-up is overcome."""
        setup, slack = self._setup, state.crept
        if self._sun and state.since_loaded > 0.0:
            slack += self._sun * (1.0 - exp(-state.since_loaded / setup.sun_time))
        return max(0.0, setup.restraint_give * (pressure - setup.preload) + slack)


def concrete(setup: Setup, t: float) -> float:
    """The concrete's temperature [degC], `t` s after the session opened."""
    return setup.concrete_temperature + setup.concrete_drift * t / 3600.0


def swell(temperature: float) -> float:
    """Volume of water at `temperature` [degC] over its volume at 20 degC, at atmospheric pressure.

    Kell 1975, with the denominator that gives 998.2041 kg/m3 at 20 degC.
    """
    t, above = temperature, 0.0
    for factor in (-280.54253e-12, 105.56302e-9, -46.170461e-6, -7.9870401e-3, 16.945176):
        above = (above + factor) * t
    return 998.2041 * (1.0 + 16.879850e-3 * t) / (999.83952 + above)


def root(rising: Callable[[float], float], near: float, lowest: float) -> float:
    """Where `rising` crosses zero, sought from `near` outwards; `lowest` if it lies below that."""
    low = high = max(near, lowest)
    at_low = at_high = rising(low)
    reach = 0.05
    while at_high < 0.0:
        low, at_low = high, at_high
        high += reach
        at_high, reach = rising(high), 3.0 * reach
    while at_low > 0.0:
        if low <= lowest:
            return lowest
        high, at_high = low, at_low
        low = max(lowest, low - reach)
        at_low, reach = rising(low), 3.0 * reach
    return _crossing(rising, (low, at_low), (high, at_high))


def _crossing(
    rising: Callable[[float], float], low: tuple[float, float], high: tuple[float, float]
) -> float:
    """The root between two points (place, value): false position with the Illinois halving."""
    (a, at_a), (b, at_b), side, middle = low, high, 0, low[0]
    for _ in range(60):
        if b - a < 1e-10 or at_b == at_a:
            break
        middle = (a * at_b - b * at_a) / (at_b - at_a)
        value = rising(middle)
        if abs(value) < 1e-10:
            break
        if value < 0.0:
            a, at_a = middle, value
            at_b, side = (at_b / 2.0 if side < 0 else at_b), -1
        else:
            b, at_b = middle, value
            at_a, side = (at_a / 2.0 if side > 0 else at_a), 1
    return middle
