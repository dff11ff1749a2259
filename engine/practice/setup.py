"""What the practice joint is made with, what is done to it, and what is seen of it.

Units throughout: s, psi (gauge unless absolute is said), mL, inches from the joint's centre up
positive, degC, and flows in mL/min.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Literal, NamedTuple

from engine.practice.ring import Shape

Place = Literal["primary", "secondary", "port", "fitting"]
Grade = Literal["dry", "damp", "beads", "drip", "pool", "run", "spray"]
VentFlow = Literal["none", "air", "spitting", "water"]
What = Literal[
    "inlet", "vent", "cock", "supply", "top_up", "bleed_line", "tap", "wipe", "mend", "start_over"
]


@dataclass(frozen=True)
class Leak:
    """One way out of the pocket."""

    place: Place
    clock: float
    flow: float  # mL/min of water when `at` stands across it
    at: float = 13.0  # psi
    law: Literal["slot", "hole"] = "slot"  # slot: flow as pressure; hole: as its square root
    opens: float = 0.0  # psi; shut below
    after: float = 0.0  # s under load before it begins
    dries: float = inf  # s; the flow dies away with this time constant
    tracks: bool = False  # runs down unseen and shows at the invert only
    cured_by: Literal["", "mend", "start_over"] = ""


@dataclass(frozen=True)
class Setup:
    """A practice joint with its rig: everything `observe` needs besides what was done."""

    seed: int = 0
    fault: str = "none"  # a name in FAULTS; it changes what it must when the joint is observed

    # the pocket; the defaults are a 59 to 60 in ring, 2.25 in wide, on four one-inch rods
    shape: Shape = "circle"
    span: float = 60.0  # in, width of the outer seal line
    rise: float = 60.0  # in, its height: crown and invert are at half of it
    depth: float = 0.5  # in, radial depth of the pocket
    volume: float = 3446.0  # mL
    thrust_area: float = 93.46  # in2, between the two seal lines

    # what gives way
    restraint_give: float = 0.8  # mL/psi, rods, beams and washers together
    preload: float = 0.0  # psi at which the thrust overcomes the rods' draw-up
    creep: float = 0.004  # mL/psi for each tenfold of time: washers sinking
    gasket_give: float = 0.1  # mL/psi at once
    gasket_lag: float = 0.003  # mL/psi more in each of three later turns; it comes back
    gasket_turns: tuple[float, float, float] = (20.0, 200.0, 2000.0)  # s, their time constants
    gasket_back: float = 1.0  # times as slow on the way back
    rod_length: float = 204.0  # in, free length
    absorption: float = 0.035  # mL per square root of a minute, all wet faces
    soaked_before: float = 0.0  # s the faces had been wet before the session

    # air
    bubbles: float = 0.01  # share of the filled volume brought in as bubbles, inlet half open
    lodged: float = 0.0  # share that steady flow does not carry out; a burp does
    dissolving: float = 21600.0  # s, time constant of air going into water, times P/(P+Pa)
    atmosphere: float = 14.696  # psi absolute

    # ports
    vent_height: float = 30.0  # in; air above it stays
    inlet_height: float = -30.0
    vent_capacity: float = 9000.0  # mL/min with 1 psi across the open vent
    inlet_least: float = 0.0  # share that passes as soon as the inlet is cracked

    # supply and relief
    supply_pressure: float = 55.0  # psi, nothing flowing
    supply_flow: float = 5678.0  # mL/min, inlet fully open into no pressure
    relief: float = 15.0  # psi at the valve; inf where there is none
    relief_height: float = 30.0
    relief_tolerance: float = 0.3  # psi; where in it this valve lies follows from the seed
    relief_accumulation: float = 1.5  # psi over its setting at which it passes its full flow
    relief_flow: float = 7000.0  # mL/min

    # temperatures
    supply_temperature: float = 13.0
    concrete_temperature: float = 13.0
    concrete_drift: float = 0.0  # K/h
    warming: float = 1200.0  # s, time constant of the water taking on the concrete's temperature
    sun_rise: float = 0.0  # K the rods gain from the first loading on
    sun_time: float = 1200.0  # s, time constant of that

    # gauge and reader
    gauge_height: float = 29.5
    gauge_port_height: float = 30.0
    gauge_top: float = 30.0  # psi, end of the scale
    graduation: float = 0.5  # psi
    zero_error: float = 0.0  # psi
    scale_error: float = 0.0  # share of what is measured
    sticks: float = 0.02  # psi the needle lags behind
    sticks_fast: float = inf  # s under load after which the needle moves no more
    cock_shuts: float = inf  # s under load after which somebody knocks the cock shut
    stop_pin: bool = True  # the needle cannot show less than zero
    line_air: float = 0.0  # mL of air in the gauge line until it is bled
    reader_noise: float = 0.05  # psi, standard deviation

    leaks: tuple[Leak, ...] = ()
    splash: float = 0.0  # mL that the filling spills inside the joint


@dataclass(frozen=True)
class Deed:
    """Something that was done to the joint or its rig."""

    t: float  # s since the session opened
    what: What
    share: float = 0.0  # of a valve: 0 shut, 1 open
    value: float = 0.0  # top_up: mL; supply: psi (0 with the inlet open drains)


class Wet(NamedTuple):
    """Water seen at a place; dry places are not listed."""

    place: Place
    clock: float
    grade: Grade


class Account(NamedTuple):
    """Where the water went [mL]: what was poured in is the sum of all the rest."""

    poured: float
    held: float
    vented: float
    relieved: float
    drained: float
    leaked: float
    absorbed: float


@dataclass(frozen=True)
class Seen:
    """What a person would see at a moment; from `at_gauge` on, what only the debrief may show."""

    t: float
    dial: float  # psi, as read, rounded to the graduation
    vent_flow: VentFlow
    vent_rate: float  # mL/min of what comes out
    vent_total: float  # mL of water since the session opened
    leaks: tuple[Wet, ...]
    relief_lifting: bool
    temperature: float  # degC, of the water
    feeler: tuple[float, ...]  # clock positions where a feeler finds the gasket out of place
    cock: float  # share open, of the gauge's
    at_gauge: float  # psi, true, at the gauge's height
    at_crown: float  # psi, true
    peak: float  # psi, the highest at the crown so far
    air_share: float  # of the pocket's volume, reckoned at atmospheric pressure
    account: Account


def setup_for(
    *,
    seed: int,
    fault: str,
    shape: Shape,
    span: float,
    rise: float,
    depth: float,
    volume: float,
    thrust_area: float,
    stiffness: float,
) -> Setup:
    """A sound rig on a pocket of these sizes: ports at crown and invert, gauge at the crown.

    What gives way and drinks is scaled from the default pocket's.  span, rise, depth: outer seal
    line and radial depth [in]; volume [mL]; thrust_area [in2]; stiffness of rods and washers
    together, along the axis [lbf/in], inf where nothing gives.
    """
    usual, crown = Setup(), rise / 2.0
    size = volume / usual.volume
    give = thrust_area**2 / stiffness * 16.387064
    return Setup(
        seed=seed, fault=fault, shape=shape, span=span, rise=rise, depth=depth, volume=volume,
        thrust_area=thrust_area, restraint_give=give, creep=0.005 * give,
        gasket_give=usual.gasket_give * size, gasket_lag=usual.gasket_lag * size,
        absorption=usual.absorption * size, vent_height=crown, inlet_height=-crown,
        relief_height=crown, gauge_height=crown, gauge_port_height=crown,
    )  # fmt: skip
