"""The pocket's mechanics: how its state goes on through time and answers to a deed.

Each step is taken with the flows at its end, so that the second in which a stiff pocket comes to
pressure needs no small steps.
"""

from __future__ import annotations

from functools import lru_cache
from math import exp, log10, sqrt
from typing import assert_never

from engine.practice.balance import Balance, concrete, root, swell
from engine.practice.flows import HEAD, Flows, Ways
from engine.practice.ring import Ring
from engine.practice.setup import Deed, Setup
from engine.practice.state import State

LOAD = 1.0  # psi above which the joint counts as loaded
_DRYING = 0.01 / 60.0  # mL/s that a wet spot loses; judgement
_FLUSH = 0.25  # share of the pocket's volume that carries bubbles down by a factor e; judgement
_HAIR = 1e-6  # share of the volume that counts as none
_SUCKS = -5.0  # psi at which the gaskets let air in; judgement
_BORE = 0.25  # in; the gauge's port is wet with the surface no further below it


class Pocket:
    """A setup made ready: what is worked out once, and the steps of its state."""

    def __init__(self, setup: Setup) -> None:
        self.setup = setup
        self.ring = Ring(setup.shape, setup.span, setup.rise, setup.depth)
        self.ways = Ways(setup, self.ring)
        self._balance = Balance(setup)
        self._vent_share = self.ring.share_below(setup.vent_height)

    def start(self) -> State:
        """The empty pocket, everything shut but the gauge's cock."""
        setup = self.setup
        return State(
            t=0.0, water=0.0, top_air=setup.volume, bubbles=0.0, lodged=0.0,
            line_air=setup.line_air, water_temperature=setup.supply_temperature,
            wets=(0.0,) * len(setup.leaks), supply=setup.supply_pressure,
            surface=-setup.rise / 2.0,
        )  # fmt: skip

    def act(self, state: State, deed: Deed) -> State:
        """The state just after `deed`; what flows through a valve shows from the next step on."""
        match deed.what:
            case "inlet":
                return state._replace(inlet=_valve(deed.share, self.setup.inlet_least))
            case "vent":
                return state._replace(vent=_valve(deed.share))
            case "cock":
                return state._replace(cock=_valve(deed.share))
            case "supply":
                return state._replace(supply=max(0.0, deed.value))
            case "top_up":
                return self._pushed(state, max(0.0, deed.value))
            case "bleed_line":
                return state._replace(line_air=0.0)
            case "tap":
                free = not state.stuck and state.cock > 0.0
                return state._replace(needle=self.at_gauge(state)) if free else state
            case "wipe":
                return state._replace(wets=(0.0,) * len(state.wets), splashed=0.0)
            case "mend":
                return state if state.pressure > LOAD else state._replace(mended=True)
            case "start_over":
                return self._afresh(state)
            case other:
                assert_never(other)

    def _pushed(self, state: State, volume: float) -> State:
        """`volume` mL pumped in past every valve."""
        fuller = state._replace(water=state.water + volume, poured=state.poured + volume)
        return fuller if self._open_above(fuller) else self._watched(self._settled(fuller, 0.0))

    def _afresh(self, state: State) -> State:
        """Drained, taken apart and put together again; wet faces stay wet, the dial as it was."""
        return self.start()._replace(
            t=state.t, drained=state.drained + state.water, supply=state.supply,
            water_temperature=state.water_temperature, needle=state.needle, wetted=state.wetted,
            poured=state.poured, vented=state.vented, relieved=state.relieved,
            leaked=state.leaked, absorbed=state.absorbed, peak=state.peak, stuck=state.stuck,
            knocked=state.knocked, mended=state.mended, reseated=True,
        )  # fmt: skip

    def step(self, state: State, dt: float) -> State:
        """The state `dt` seconds later, nothing being done meanwhile."""
        aged = self._aged(state, dt)
        after = self._vented(aged, dt) if self._open_above(aged) else self._settled(aged, dt)
        if state.vent > 0.0:
            fallen = max(0.0, state.pressure - after.pressure)
            after = self._cleared(after, fallen, after.vented - state.vented)
        return self._watched(after, dt)

    def _aged(self, state: State, dt: float) -> State:
        """What time alone does: warming, drinking, creeping, dissolving."""
        setup, pressure = self.setup, max(0.0, state.pressure)
        warm = self._warmed(state, dt)
        drunk = self._drunk(state, dt)
        gone = exp(-dt / setup.dissolving * pressure / (pressure + setup.atmosphere))
        air = (warm + 273.15) / (state.water_temperature + 273.15) * gone
        loaded = state.loaded + dt if pressure > LOAD else 0.0
        return state._replace(
            t=state.t + dt, water=state.water - drunk, absorbed=state.absorbed + drunk,
            top_air=state.top_air * air, bubbles=state.bubbles * air, lodged=state.lodged * air,
            water_temperature=warm, crept=self._crept(state, pressure, dt),
            gives=self._gives(state, pressure, dt), loaded=loaded,
            wetted=state.wetted + dt if state.water > 0.0 else state.wetted,
            since_loaded=state.since_loaded + dt if state.since_loaded + loaded > 0.0 else 0.0,
        )  # fmt: skip

    def _warmed(self, state: State, dt: float) -> float:
        """The water's temperature: on its way to the concrete's, mixed with what comes in."""
        setup = self.setup
        share = 1.0 - exp(-dt / setup.warming) if setup.warming > 0.0 else 1.0
        now = state.water_temperature
        warm = now + (concrete(setup, state.t + dt) - now) * share
        if state.inlet > 0.0 and state.vent > 0.0 and state.supply > 0.0:
            fresh = self.ways.draw * state.inlet * sqrt(state.supply) * dt
            warm += (setup.supply_temperature - warm) * fresh / (state.water + fresh)
        return warm

    def _drunk(self, state: State, dt: float) -> float:
        """mL the wet faces take in, by the square root of the time they have been wet."""
        wet = self.setup.soaked_before + state.wetted
        roots = sqrt((wet + dt) / 60.0) - sqrt(wet / 60.0)
        share = min(1.0, state.water / self.setup.volume)
        return min(state.water, self.setup.absorption * roots * share)

    def _crept(self, state: State, pressure: float, dt: float) -> float:
        """mL of creep: c P log10(1 + t/min) at constant load; it never comes back."""
        full = self.setup.creep * pressure
        if full <= 0.0 or state.crept > 12.0 * full:
            return state.crept
        return full * log10(10.0 ** (state.crept / full) + dt / 60.0)

    def _gives(self, state: State, pressure: float, dt: float) -> tuple[float, float, float]:
        """mL of the gaskets' slow give: three lagging springs, about even over log time."""
        full = self.setup.gasket_lag * pressure
        a, b, c = (
            full
            + (give - full) * exp(-dt / (turn if give < full else self.setup.gasket_back * turn))
            for give, turn in zip(state.gives, self.setup.gasket_turns, strict=True)
        )
        return a, b, c

    def _share(self, state: State) -> float:
        """The share of the pocket below the water's surface."""
        pa = self.setup.atmosphere
        return 1.0 - state.top_air * pa / (state.pressure + pa) / self.setup.volume

    def _open_above(self, state: State) -> bool:
        """The vent is open and stands in air."""
        return state.vent > 0.0 and self._share(state) < self._vent_share - _HAIR

    def _settled(self, state: State, dt: float) -> State:
        """The pocket shut, or its vent under water: pressure solved with the flows at the end."""
        excess, surface = self._balance.excess(state), state.surface

        def short(pressure: float) -> float:
            net = self.ways.flows(state, pressure, surface).net if dt > 0.0 else 0.0
            return self._balance.taken(state, pressure) - excess - dt * net

        pressure = root(short, state.pressure, lowest=_SUCKS)
        if pressure < 0.0 and state.vent > 0.0 and dt > 0.0:
            return self._vented(state, dt)
        flows = self.ways.flows(state, pressure, surface)
        after = _moved(state, flows, dt)
        if pressure <= _SUCKS:
            sucked = max(0.0, short(pressure)) * (1.0 + pressure / self.setup.atmosphere)
            after = after._replace(top_air=after.top_air + sucked)
        return after._replace(pressure=pressure)

    def _vented(self, state: State, dt: float) -> State:
        """The vent in air: no pressure, and what rises above the vent runs out of it."""
        setup = self.setup
        flows = self.ways.flows(state, 0.0, state.surface)
        flows = flows._replace(inlet=max(flows.inlet, -state.water / dt))
        after = _moved(state, flows, dt)
        came = max(0.0, flows.inlet) * dt
        bubbles = after.bubbles + 2.0 * setup.bubbles * state.inlet * came
        lodged = after.lodged + setup.lodged * came
        expanded = swell(after.water_temperature)
        room = self._balance.room(after) + self._balance.opened(after, 0.0)
        brim = room - setup.volume * (1.0 - self._vent_share)
        over = (after.water * expanded + bubbles + lodged - brim) / expanded
        out = min(max(0.0, over), after.water)
        water = after.water - out
        return after._replace(
            pressure=0.0, water=water, vented=after.vented + out, bubbles=bubbles, lodged=lodged,
            top_air=max(0.0, room - water * expanded - bubbles - lodged),
            splashed=after.splashed + setup.splash * came / setup.volume,
        )  # fmt: skip

    def _cleared(self, state: State, fallen: float, out: float) -> State:
        """Bubbles carried off by what left the vent; lodged air freed where pressure fell."""
        freed = state.lodged * fallen / (state.pressure + fallen + self.setup.atmosphere)
        kept = exp(-out / (_FLUSH * self.setup.volume))
        return state._replace(bubbles=state.bubbles * kept + freed, lodged=state.lodged - freed)

    def at_gauge(self, state: State) -> float:
        """True pressure at the gauge; no column stands over its port in a line with air in it."""
        setup = self.setup
        port = setup.gauge_port_height
        at_port = state.pressure + HEAD * max(0.0, state.surface - port)
        if state.line_air > 0.0 or state.surface < port - _BORE:
            return at_port
        return at_port - HEAD * (setup.gauge_height - port)

    def _watched(self, state: State, dt: float = 0.0) -> State:
        """The surface, the needle and the peak brought up to the new pressure."""
        setup = self.setup
        shut = not state.knocked and state.loaded >= setup.cock_shuts
        state = state._replace(
            surface=self.ring.level(self._share(state)),
            splashed=max(0.0, state.splashed - _DRYING * dt),
            peak=max(state.peak, state.pressure),
            stuck=state.stuck or state.loaded >= setup.sticks_fast,
            cock=0.0 if shut else state.cock,
            knocked=state.knocked or shut,
        )
        if state.stuck or state.cock <= 0.0:
            return state
        true = self.at_gauge(state)
        needle = min(max(state.needle, true - setup.sticks), true + setup.sticks)
        return state._replace(needle=needle)


def _moved(state: State, flows: Flows, dt: float) -> State:
    """Water and air carried by `flows` for `dt`, and entered in the account."""
    out = sum(flows.leaks)
    gained = flows.inlet - flows.vent - flows.relief - out
    return state._replace(
        water=state.water + gained * dt,
        top_air=max(0.0, state.top_air - flows.air * dt),
        poured=state.poured + max(0.0, flows.inlet) * dt,
        drained=state.drained + max(0.0, -flows.inlet) * dt,
        vented=state.vented + flows.vent * dt,
        relieved=state.relieved + flows.relief * dt,
        leaked=state.leaked + out * dt,
        wets=tuple(
            max(0.0, wet + (leak - _DRYING) * dt)
            for wet, leak in zip(state.wets, flows.leaks, strict=True)
        ),
    )


def _valve(share: float, least: float = 0.0) -> float:
    """The share a valve passes; a coarse one passes `least` as soon as it is cracked."""
    return 0.0 if share <= 0.0 else min(1.0, max(share, least))


@lru_cache(maxsize=32)
def pocket(setup: Setup) -> Pocket:
    """The one Pocket of a setup."""
    return Pocket(setup)
