"""What flows into and out of the pocket at a given pressure.  Flows here are mL/s."""

from __future__ import annotations

from math import exp, inf, sqrt
from typing import NamedTuple

from engine.practice.chance import even
from engine.practice.ring import Ring
from engine.practice.setup import Leak, Setup
from engine.practice.state import State

HEAD = 0.036063  # psi/in of water at 20 degC
_THIN = {"slot": 55.0, "hole": 29.0}  # air passes so much more freely: viscosities, root densities
_AFLOAT = 1e-3  # in; what stands no higher above the surface counts as under water


class Flows(NamedTuple):
    """Flows at one pressure; `inlet` is negative while draining."""

    inlet: float
    vent: float
    relief: float
    leaks: tuple[float, ...]  # of water, one for each leak
    air: float  # escaping through bared leaks, at atmospheric pressure

    @property
    def net(self) -> float:
        """What the pocket gains, water and air."""
        return self.inlet - self.vent - self.relief - sum(self.leaks) - self.air


class Ways:
    """The ways in and out of a setup's pocket."""

    def __init__(self, setup: Setup, ring: Ring) -> None:
        self._setup = setup
        self._heights = tuple(ring.height_at(leak.clock) for leak in setup.leaks)
        self.draw = setup.supply_flow / 60.0 / sqrt(setup.supply_pressure)  # mL/s at 1 psi
        spread = setup.relief_tolerance * (2.0 * even(setup.seed, "relief") - 1.0)
        self.lifts = setup.relief + spread  # psi at the valve, as this one really does

    def flows(self, state: State, pressure: float, surface: float) -> Flows:
        """What flows with `pressure` at the crown and the water standing at `surface`."""
        setup = self._setup
        inlet = vent = relief = 0.0
        if state.inlet > 0.0:
            inlet = self._inflow(state, pressure + HEAD * (surface - setup.inlet_height))
        if state.vent > 0.0 and surface >= setup.vent_height - _AFLOAT:
            across = pressure + HEAD * max(0.0, surface - setup.vent_height)
            vent = setup.vent_capacity / 60.0 * state.vent * sqrt(max(0.0, across))
        if self.lifts < inf:
            over = pressure + HEAD * (surface - setup.relief_height) - self.lifts
            relief = setup.relief_flow / 60.0 * max(0.0, over) / setup.relief_accumulation
        leaks, air = self._leaks(state, pressure, surface) if setup.leaks else ((), 0.0)
        return Flows(inlet, vent, relief, leaks, air)

    def _inflow(self, state: State, against: float) -> float:
        """mL/s through the inlet; nothing comes back up the hose unless it is taken off."""
        if state.supply <= 0.0:
            return -self.draw * state.inlet * sqrt(max(0.0, against))
        return self.draw * state.inlet * sqrt(max(0.0, state.supply - against))

    def _leaks(
        self, state: State, pressure: float, surface: float
    ) -> tuple[tuple[float, ...], float]:
        """Water through each leak; air, unseen, through those that trapped air has bared."""
        water, air = [], 0.0
        pa = self._setup.atmosphere
        for leak, height in zip(self._setup.leaks, self._heights, strict=True):
            bared = height > surface + _AFLOAT
            across = pressure if bared else pressure + HEAD * (surface - height)
            flow = _passed(state, leak, across)
            if bared:
                air += flow * _THIN[leak.law] * (pressure + pa) / pa
            water.append(0.0 if bared else flow)
        return tuple(water), min(air, state.top_air / 5.0)  # never more in a step than there is


def _passed(state: State, leak: Leak, across: float) -> float:
    """mL/s of water through a leak with `across` psi over it."""
    cured = (leak.cured_by == "mend" and state.mended) or (
        leak.cured_by == "start_over" and state.reseated
    )
    if cured or state.since_loaded < leak.after or across <= max(0.0, leak.opens):
        return 0.0
    part = (across - leak.opens) / (leak.at - leak.opens)
    flow = leak.flow / 60.0 * (part if leak.law == "slot" else sqrt(part))
    return flow * exp(-state.since_loaded / leak.dries) if leak.dries < inf else flow
