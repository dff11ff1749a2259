"""Builders for tests of the practice joint: filled, flushed, pumped up, looked at."""

from __future__ import annotations

from dataclasses import replace
from math import inf

from engine.practice import Deed, Setup, observe
from engine.practice.ring import Ring

__all__ = [
    "FULL",
    "P96",
    "P96_GIVE",
    "QUIET",
    "VENT",
    "fall",
    "faulty",
    "gauge",
    "raised",
    "vented",
    "wet",
]

FULL = 250.0  # s; by then `raised` stands shut and under pressure
VENT = (Deed(1.0, "vent", 1.0), Deed(1.0, "inlet", 0.5))

# Nothing that gives with time, and no air: what is left is the balance alone.
QUIET = Setup(
    creep=0.0, gasket_lag=0.0, absorption=0.0, dissolving=inf, bubbles=0.0, relief=inf,
    supply_temperature=20.0, concrete_temperature=20.0, reader_noise=0.0, sticks=0.0,
    gauge_height=30.0,
)  # fmt: skip
# The basis's worked pocket P96: 1 % air above the vent, four 3/4 in rods 17 ft long.
P96 = replace(
    QUIET, span=105.5, rise=105.5, volume=8108.3, thrust_area=164.934, restraint_give=2.34395,
    gasket_give=0.0, vent_height=Ring("circle", 105.5, 105.5, 0.5).level(0.99),
    inlet_height=-52.75, gauge_height=52.75, gauge_port_height=52.75,
)  # fmt: skip
P96_GIVE = 3.92305  # mL/psi at 13 psi, air included


def vented(until: float = 240.0) -> tuple[Deed, ...]:
    """Filled and flushed, everything shut at `until`."""
    return (*VENT, Deed(until - 5.0, "inlet", 0.0), Deed(until, "vent", 0.0))


def raised(setup: Setup, to: float = 13.0) -> tuple[Deed, ...]:
    """The same, and pumped up to `to` psi at the gauge at FULL by two strokes of a syringe."""
    done = vented()
    for t in (FULL - 1.0, FULL):
        low, high = 0.0, 400.0
        while high - low > 1e-9:
            middle = (low + high) / 2.0
            there = observe(setup, (*done, Deed(t, "top_up", value=middle)), t).at_gauge
            low, high = (middle, high) if there < to else (low, middle)
        done = (*done, Deed(t, "top_up", value=low))
    return done


def gauge(setup: Setup, deeds: tuple[Deed, ...], t: float) -> float:
    return observe(setup, deeds, t).at_gauge


def fall(setup: Setup, minutes: float, since: float = FULL) -> float:
    """psi lost in so many minutes of holding."""
    deeds = raised(setup)
    return gauge(setup, deeds, since) - gauge(setup, deeds, since + 60.0 * minutes)


def wet(setup: Setup, deeds: tuple[Deed, ...], t: float) -> dict[tuple[str, float], str]:
    return {(place, clock): grade for place, clock, grade in observe(setup, deeds, t).leaks}


def faulty(fault: str, seed: int = 3) -> Setup:
    return Setup(seed=seed, fault=fault, relief=inf)
