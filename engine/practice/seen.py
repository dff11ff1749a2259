"""What a person sees of a pocket's state: the dial, the vent, and water where it shows."""

from __future__ import annotations

from collections.abc import Iterator

from engine.practice.chance import normal
from engine.practice.flows import Flows
from engine.practice.pocket import Pocket
from engine.practice.setup import Account, Grade, Seen, Setup, VentFlow, Wet
from engine.practice.state import State

# Judgement, no source: how much water makes what is seen; a drop taken as 0.05 mL.
_SPRAY, _RUN, _DRIP = 150.0 / 60.0, 15.0 / 60.0, 0.05 / 60.0  # mL/s
_DAMP, _BEADS, _POOL = 0.02, 0.3, 5.0  # mL
_FILM = 0.01  # mL that stay on each inch of the way down
_SPITS = 0.0005  # bubbles, as a share of the pocket's volume


def seen(pocket: Pocket, state: State) -> Seen:
    """What `state` shows."""
    setup = pocket.setup
    flows = pocket.ways.flows(state, state.pressure, state.surface)
    kind, rate = _at_vent(setup, state, flows)
    air = state.top_air + state.bubbles + state.lodged
    return Seen(
        t=state.t,
        dial=_dial(setup, state),
        vent_flow=kind,
        vent_rate=rate,
        vent_total=state.vented,
        leaks=tuple(_wets(pocket, state, flows)),
        relief_lifting=flows.relief > 0.0,
        temperature=state.water_temperature,
        feeler=_feeler(setup, state),
        cock=state.cock,
        at_gauge=pocket.at_gauge(state),
        at_crown=state.pressure,
        peak=state.peak,
        air_share=air / setup.volume,
        account=Account(
            state.poured, state.water, state.vented, state.relieved, state.drained,
            state.leaked, state.absorbed,
        ),
    )  # fmt: skip


def _dial(setup: Setup, state: State) -> float:
    """The dial as a person reads it, to the nearest graduation; the same all through a second."""
    noise = setup.reader_noise * normal(setup.seed, "dial", int(state.t))
    shown = state.needle * (1.0 + setup.scale_error) + setup.zero_error + noise
    marks = round(shown / setup.graduation)
    lowest = 0 if setup.stop_pin else marks
    return round(min(max(marks, lowest) * setup.graduation, setup.gauge_top), 6)


def _at_vent(setup: Setup, state: State, flows: Flows) -> tuple[VentFlow, float]:
    if state.vent <= 0.0:
        return "none", 0.0
    if flows.vent > 0.01:
        spits = state.bubbles > _SPITS * setup.volume
        return ("spitting" if spits else "water"), 60.0 * flows.vent
    if flows.inlet > 0.0 and state.top_air > 0.0:
        return "air", 60.0 * flows.inlet
    return "none", 0.0


def _wets(pocket: Pocket, state: State, flows: Flows) -> Iterator[Wet]:
    """Every wet place: the leaks where they come out, and what has run down to the invert."""
    for leak, wet, flow in zip(pocket.setup.leaks, state.wets, flows.leaks, strict=True):
        if not leak.tracks and wet >= _DAMP:
            yield Wet(leak.place, leak.clock, _grade(wet, flow))
        ran = wet - _BEADS - _FILM * pocket.ring.way_down(leak.clock)
        if leak.clock != 6.0 and ran >= _DAMP:
            yield Wet(leak.place, 6.0, _lying(ran))
    if state.splashed >= _DAMP:
        yield Wet("primary", 6.0, _lying(state.splashed))


def _grade(wet: float, flow: float) -> Grade:
    """Where water comes out: first by what flows, then by what lies there."""
    if flow >= _SPRAY:
        return "spray"
    if flow >= _RUN:
        return "run"
    if flow >= _DRIP and wet >= _BEADS:
        return "drip"
    return "beads" if wet >= _BEADS else "damp"


def _lying(wet: float) -> Grade:
    """Where water has gathered."""
    if wet >= _POOL:
        return "pool"
    return "beads" if wet >= _BEADS else "damp"


def _feeler(setup: Setup, state: State) -> tuple[float, ...]:
    if state.reseated:
        return ()
    return tuple(leak.clock for leak in setup.leaks if leak.cured_by == "start_over")
