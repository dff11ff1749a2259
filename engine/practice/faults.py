"""The faults a practice joint can have, and the setup each makes of a sound one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import Any

from engine.practice.chance import between, even
from engine.practice.ring import Ring
from engine.practice.setup import Leak, Setup

FAULTS: dict[str, str] = {
    "none": "nothing is wrong: joint, rig and gauge are sound",
    "trapped_air": "air is lodged behind the gaskets; steady flow leaves it there, a burp frees it",
    "late_primary_leak": "the primary gasket gives way after some minutes under pressure",
    "primary_drip": "the primary gasket drips from the start",
    "secondary_leak": "the secondary gasket leaks outwards, and pressure must be topped up",
    "fitting_drip": "a fitting at the vent drips until it is mended without pressure",
    "port_weep": "the bond of the inlet port weeps until it is mended without pressure",
    "sinking_washers": "the washers sink into the timber, less and less as time goes on",
    "thirsty_concrete": "the concrete was dry and drinks from the pocket, a soak makes it less",
    "warming_water": "cold water warms in warmer concrete, and pressure rises",
    "sun_on_rods": "the sun lengthens the rods, and pressure falls",
    "open_hose": "the inlet cannot be throttled: the pocket goes past its target in a second",
    "stuck_gauge": "the gauge's needle sticks fast after a while under pressure",
    "shut_cock": "somebody knocks the gauge's cock shut while the joint is under pressure",
    "zero_error": "the gauge does not stand at zero without pressure",
    "low_vent": "the vent stands below the top of the pocket, and air stays above it",
    "air_in_gauge_line": "the gauge line was not bled: it is springy and carries no column",
    "rolled_gasket": "the primary gasket is rolled in one place and leaks until it is reseated",
    "migrating_drip": "the primary gasket leaks high up; the water shows only at the invert",
    "drying_drip": "the primary gasket drips at first and seals itself as it settles",
    "splash": "filling wets the inside of the joint; wiped dry, it stays dry",
    "recovery": "a coarse inlet overshoots; bled down, the gaskets spring back and hide a leak",
}


def drawn(seed: int) -> str:
    """The name of the fault that belongs to `seed`; nothing wrong comes up three times as often."""
    names = ["none", "none", *FAULTS]
    return names[int(even(seed, "fault") * len(names))]


@lru_cache(maxsize=64)
def with_fault(setup: Setup) -> Setup:
    """`setup` as its fault makes it.  Raises ValueError for a fault that is not in FAULTS."""
    if setup.fault not in FAULTS:
        raise ValueError(f"fault {setup.fault!r}: expected one of {', '.join(FAULTS)}")
    return replace(setup, **_CHANGES[setup.fault](setup))


def _drawn(setup: Setup, low: float, high: float, of: str = "size") -> float:
    return between(setup.seed, f"{setup.fault}/{of}", low, high)


def _clock(setup: Setup, low: float, high: float) -> float:
    """A clock position between two, to the nearest half hour."""
    return round(2.0 * _drawn(setup, low, high, "clock")) / 2.0


def _give(setup: Setup) -> float:
    """mL/psi of the pocket without air, so that a leak is worth watching in any size of joint."""
    return setup.restraint_give + setup.gasket_give + 3.2e-6 * setup.volume


def _more(setup: Setup, *leaks: Leak) -> dict[str, Any]:
    return {"leaks": (*setup.leaks, *leaks)}


def _lodged(setup: Setup) -> dict[str, Any]:
    return {"lodged": _drawn(setup, 0.015, 0.03)}


def _late(setup: Setup) -> dict[str, Any]:
    flow, after = _drawn(setup, 0.8, 2.0), _drawn(setup, 400.0, 700.0, "after")
    return _more(setup, Leak("primary", _clock(setup, 1.0, 11.0), flow, after=after))


def _drip(setup: Setup) -> dict[str, Any]:
    return _more(setup, Leak("primary", _clock(setup, 1.0, 11.0), _drawn(setup, 0.2, 0.6)))


def _secondary(setup: Setup) -> dict[str, Any]:
    flow = _give(setup) * _drawn(setup, 0.15, 0.4)
    return _more(setup, Leak("secondary", _clock(setup, 1.0, 11.0), flow))


def _fitting(setup: Setup) -> dict[str, Any]:
    flow = max(0.1, _give(setup) * _drawn(setup, 0.1, 0.3))
    return _more(setup, Leak("fitting", 12.0, flow, law="hole", cured_by="mend"))


def _weep(setup: Setup) -> dict[str, Any]:
    flow = max(0.08, _give(setup) * _drawn(setup, 0.05, 0.2))
    return _more(setup, Leak("port", 6.0, flow, cured_by="mend"))


def _sinking(setup: Setup) -> dict[str, Any]:
    """P96 of the engineering basis: 0.04 in of crush, 5 % of it in a decade, 13 psi: 0.18 C_r."""
    return {"creep": _drawn(setup, 0.15, 0.22) * max(setup.restraint_give, 0.3), "preload": 0.0}


def _thirsty(setup: Setup) -> dict[str, Any]:
    """0.005 to 0.01 mm per square root of a minute; quite dry concrete drinks ten times that."""
    faces = 2.0 * setup.volume / (setup.depth * 25.4)  # 1000 mm2: the two sides of a thin band
    return {"absorption": faces * _drawn(setup, 0.005, 0.01), "soaked_before": 0.0}


def _warming(setup: Setup) -> dict[str, Any]:
    warmer = setup.supply_temperature + _drawn(setup, 8.0, 14.0)
    return {"concrete_temperature": warmer, "warming": 1500.0}


def _sunny(setup: Setup) -> dict[str, Any]:
    return {"sun_rise": _drawn(setup, 2.0, 4.0), "preload": 0.0}


def _hose(setup: Setup) -> dict[str, Any]:
    return {"inlet_least": 1.0, "relief": setup.relief + 1.5}


def _stuck(setup: Setup) -> dict[str, Any]:
    return {"sticks_fast": _drawn(setup, 60.0, 200.0)}


def _knocked(setup: Setup) -> dict[str, Any]:
    return {"cock_shuts": _drawn(setup, 60.0, 200.0)}


def _off_zero(setup: Setup) -> dict[str, Any]:
    return {"zero_error": _drawn(setup, 1.2, 2.6) * setup.graduation}


def _low(setup: Setup) -> dict[str, Any]:
    """As far down as leaves a hundredth or three of the pocket above it."""
    ring = Ring(setup.shape, setup.span, setup.rise, setup.depth)
    return {"vent_height": ring.level(1.0 - _drawn(setup, 0.012, 0.03))}


def _airy_line(setup: Setup) -> dict[str, Any]:
    return {"line_air": _drawn(setup, 15.0, 40.0)}


def _rolled(setup: Setup) -> dict[str, Any]:
    flow, clock = _drawn(setup, 20.0, 60.0), _clock(setup, 3.0, 9.0)
    return _more(setup, Leak("primary", clock, flow, cured_by="start_over"))


def _migrating(setup: Setup) -> dict[str, Any]:
    clock = 3.0 if _drawn(setup, 0.0, 1.0, "side") < 0.5 else 9.0
    return _more(setup, Leak("primary", clock, _drawn(setup, 0.3, 0.6), tracks=True))


def _drying(setup: Setup) -> dict[str, Any]:
    flow = _drawn(setup, 0.3, 0.6)
    return _more(setup, Leak("primary", _clock(setup, 1.0, 11.0), flow, dries=240.0))


def _splashing(setup: Setup) -> dict[str, Any]:
    return {"splash": _drawn(setup, 3.0, 12.0)}


def _recovering(setup: Setup) -> dict[str, Any]:
    leak = Leak("primary", _clock(setup, 4.0, 8.0), _give(setup) * _drawn(setup, 0.06, 0.1))
    coarse = {"inlet_least": 0.5, "relief": setup.relief + 5.0}
    springy = {"gasket_lag": 0.08 * _give(setup), "gasket_turns": (6.0, 12.0, 24.0)}
    return coarse | springy | {"gasket_back": 20.0} | _more(setup, leak)


_CHANGES: dict[str, Callable[[Setup], dict[str, Any]]] = {
    "none": lambda setup: {},
    "trapped_air": _lodged,
    "late_primary_leak": _late,
    "primary_drip": _drip,
    "secondary_leak": _secondary,
    "fitting_drip": _fitting,
    "port_weep": _weep,
    "sinking_washers": _sinking,
    "thirsty_concrete": _thirsty,
    "warming_water": _warming,
    "sun_on_rods": _sunny,
    "open_hose": _hose,
    "stuck_gauge": _stuck,
    "shut_cock": _knocked,
    "zero_error": _off_zero,
    "low_vent": _low,
    "air_in_gauge_line": _airy_line,
    "rolled_gasket": _rolled,
    "migrating_drip": _migrating,
    "drying_drip": _drying,
    "splash": _splashing,
    "recovery": _recovering,
}
