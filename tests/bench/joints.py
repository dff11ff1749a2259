"""Practice joints of known causes, held and read as in the yard, and judged by what was read."""

from __future__ import annotations

import random
from dataclasses import replace
from math import exp, inf, log
from typing import Final, Literal, NamedTuple

from engine.falling.causes import Cause, Surroundings
from engine.falling.fall import fall
from engine.falling.loss import Loss, explain
from engine.falling.stiffness import Stiffness, from_plan, from_points, three
from engine.formulas.air import fit_air
from engine.practice import Deed, Leak, Seen, Setup, observe
from engine.units import q

GRADUATIONS: Final = (0.5, 0.25, 0.1, 0.05)
HOLDS_MIN: Final = (10, 30, 120)
Made = Literal["nothing", "leak", "leak_above", "creep", "absorption", "cooling", "air", "sun"]
MADE: Final[tuple[Made, ...]] = (
    "nothing", "leak", "leak_above", "creep", "absorption", "cooling", "air", "sun",
)  # fmt: skip
TRUTH: Final[dict[Made, tuple[Cause, ...]]] = {
    "nothing": ("none",),
    "leak": ("steady_leak", "pressure_leak"),
    "leak_above": ("steady_leak", "pressure_leak"),
    "creep": ("creep",),
    "absorption": ("absorption",),
    "cooling": ("temperature",),
    "air": ("air_dissolving",),
    "sun": ("sun",),
}
"""The names that are right; the two kinds of leak count as one."""

START_PSI: Final = 15.0
NEEDED_PSI: Final = 13.0
_SHUT_S: Final = 240.0
_STEPS: Final = 6
_SETTLED_S: Final = 550.0
_LINEAR: Final = 0.911
"""mL/psi of the usual pocket without air, as a plan would have it: water, rods, gasket."""


class Case(NamedTuple):
    """One joint to be held."""

    seed: int
    graduation: float
    minutes: int
    main: Made
    size: float
    """psi that the main cause takes in the hold, about."""
    second: Made = "nothing"
    share: float = 0.0
    """What the second takes, of what the main one does."""
    thermometer: bool = True
    points: bool = False
    """Pressure and volume points were taken on the way up."""
    log_only: bool = False
    """Nothing is known but the readings and the plan."""


class Judged(NamedTuple):
    """What was true of the hold beside what was said of it; psi, seconds and mL/min."""

    case: Case
    truth: Made
    """What by itself took the most."""
    fell: float
    """True change at the gauge for each second."""
    rate: tuple[float, float, float]
    worth: float
    """mL/min that the true fall is worth in the true pocket."""
    flow: tuple[float, float, float]
    spare: float
    """True pressure when it might first have crossed, less what was needed; inf where never."""
    seen: str
    possible: tuple[Cause, ...]
    named: Cause | None


def drawn(seed: int) -> Case:
    """A case for every seed: dial, length, cause, size, and in every third a second cause."""
    chance = random.Random(seed)
    main: Made = chance.choice(MADE)
    two = main != "nothing" and chance.random() < 1 / 3
    return Case(
        seed=seed,
        graduation=chance.choice(GRADUATIONS),
        minutes=chance.choice(HOLDS_MIN),
        main=main,
        size=exp(chance.uniform(log(0.1), log(3.0))),
        second=chance.choice([m for m in MADE if m not in (main, "nothing")]) if two else "nothing",
        share=chance.uniform(0.1, 0.6) if two else 0.0,
        thermometer=chance.random() < 0.7,
        points=(known := chance.random()) < 0.4,
        log_only=known > 0.7,
    )


def setup(case: Case) -> Setup:
    """The usual pocket with more or less air than planned, and with its causes and no others."""
    chance = random.Random(case.seed + 1_000_003)
    made = Setup(
        seed=case.seed,
        relief=inf,
        graduation=case.graduation,
        reader_noise=case.graduation / 10,
        sticks=min(0.02, case.graduation / 10),
        creep=0.0,
        gasket_lag=0.0,
        absorption=0.0,
        dissolving=inf,
        bubbles=0.0,
        lodged=chance.uniform(0.0, 0.02),
        supply_temperature=18.0,
        concrete_temperature=18.0,
        stop_pin=False,
    )
    made = _with(made, case.main, case.size, case)
    return _with(made, case.second, case.size * case.share, case)


def _with(made: Setup, cause: Made, psi: float, case: Case) -> Setup:
    """`made` with a cause that takes about so many psi in the hold: sizes by rule of thumb."""
    give = _LINEAR + made.lodged * made.volume * 14.7 / (14.7 + 14.0) ** 2
    ml, minutes = psi * give, case.minutes
    if cause in ("leak", "leak_above"):
        law: Literal["slot", "hole"] = "hole" if case.seed % 2 else "slot"
        opens = 12.5 if cause == "leak_above" else 0.0
        return replace(made, leaks=(*made.leaks, Leak("primary", 4.0, ml / minutes, START_PSI, law,
                                                      opens)))  # fmt: skip
    if cause == "creep":
        decades = log(1 + (minutes + 5) / 5.2) / log(10)
        return replace(made, creep=made.creep + ml / START_PSI / decades)
    if cause == "absorption":
        wet = made.soaked_before / 60 + _SETTLED_S / 60
        return replace(made, absorption=ml / ((wet + minutes) ** 0.5 - wet**0.5))
    if cause == "cooling":
        per_kelvin = 0.6 + made.lodged * made.volume / 2 / 291
        return replace(made, concrete_temperature=18.0 - ml / per_kelvin
                       / (1 - exp(-minutes / 20.0)), warming=1200.0)  # fmt: skip
    if cause == "air":
        share = max(made.lodged, 0.01)
        gone = min(0.9, ml / (share * made.volume / 2))
        return replace(made, lodged=share, dissolving=-minutes * 30.0 / log(1 - gone))
    if cause == "sun":
        return replace(made, sun_rise=ml / 3.66 / (1 - exp(-minutes / 20.0)))
    return made


def deeds(made: Setup) -> tuple[Deed, ...]:
    """Filled, flushed, raised step by step, settled, topped up and left alone."""
    done: tuple[Deed, ...] = (
        Deed(1.0, "vent", 1.0), Deed(1.0, "inlet", 0.5),
        Deed(_SHUT_S - 5, "inlet", 0.0), Deed(_SHUT_S, "vent", 0.0),
    )  # fmt: skip
    steps = [(_SHUT_S + 2.0 * n, START_PSI * n / _STEPS) for n in range(1, _STEPS + 1)]
    for t, psi in (*steps, (_SETTLED_S, START_PSI)):
        low, high = 0.0, 200.0
        for _ in range(36):
            middle = (low + high) / 2
            there = observe(made, (*done, Deed(t, "top_up", value=middle)), t).at_gauge
            low, high = (middle, high) if there < psi else (low, middle)
        done = (*done, Deed(t, "top_up", value=low))
    return done


def stiffness(case: Case, made: Setup, done: tuple[Deed, ...]) -> Stiffness:
    """From the points, where they were taken; else what a plan would say: 1 % of air."""
    atmosphere, gauge = q(14.696, "psi"), q(START_PSI, "psi")
    if not case.points:
        return from_plan(q(_LINEAR, "mL/psi"), q(34.46, "mL"), atmosphere, gauge)
    total, volumes, pressures = 0.0, [], []
    for deed in [d for d in done if d.what == "top_up"][:_STEPS]:
        total += deed.value
        shown = observe(made, done, deed.t + 1).dial
        if shown > 0 and shown not in pressures:
            pressures.append(shown)
            volumes.append(total)
    return from_points(
        fit_air([q(p, "psi") for p in pressures], [q(v, "mL") for v in volumes], atmosphere,
                q(case.graduation, "psi")),
        gauge,
    )  # fmt: skip


def judged(case: Case) -> Judged:
    """The hold read once a minute, and what is said of it."""
    made = setup(case)
    done = deeds(made)
    found = stiffness(case, made, done)
    seconds = [60.0 * n for n in range(case.minutes + 1)]
    seen = [observe(made, done, _SETTLED_S + t) for t in seconds]
    around = Surroundings(shaded=case.main != "sun" and case.second != "sun", per_kelvin=0.66)
    if case.thermometer:
        # A thermometer in the outflow, read to a fifth of a degree.
        around = replace(around, water_degc=[round(s.temperature * 5) / 5 for s in seen])
    if not case.log_only:
        around = replace(around, loaded_s=_SETTLED_S - _SHUT_S, wetted_s=_SETTLED_S - 60.0)
    loss = explain(seconds, [s.dial for s in seen], case.graduation, found, around)
    return _beside(case, made, done, seen, loss)


def _beside(
    case: Case, made: Setup, done: tuple[Deed, ...], seen: list[Seen], loss: Loss
) -> Judged:
    """The judgement beside the truth; pickled, so plain numbers."""
    assert loss.fall.rate is not None and loss.flow is not None
    span = 60.0 * case.minutes
    _, earliest = loss.fall.crossing(NEEDED_PSI)
    spare = inf
    if earliest is not None and 0 < earliest < 36_000:
        spare = observe(made, done, _SETTLED_S + span + earliest).at_gauge - NEEDED_PSI
    return Judged(
        case=case,
        truth=case.main if case.second == "nothing" else _larger(case),
        fell=(seen[-1].at_gauge - seen[0].at_gauge) / span,
        rate=(loss.fall.rate.low, loss.fall.rate.expected, loss.fall.rate.high),
        worth=(seen[0].at_gauge - seen[-1].at_gauge) * _true_worth(made, done, span) / span * 60,
        flow=three(loss.flow, "mL/min"),
        spare=spare,
        seen=loss.fall.seen,
        possible=loss.possible,
        named=loss.cause,
    )


def _true_worth(made: Setup, done: tuple[Deed, ...], span: float) -> float:
    """mL for each psi, in the middle of the hold: a little more is put in, and the gauge asked."""
    t = _SETTLED_S + span / 2
    before = observe(made, done, t).at_gauge
    after = observe(made, (*done, Deed(t, "top_up", value=0.1)), t).at_gauge
    return 0.1 / (after - before)


def _larger(case: Case) -> Made:
    """Sizes are by rule of thumb: which of the two causes takes more, is tried out."""
    alone = (
        case._replace(second="nothing"),
        case._replace(main=case.second, size=case.size * case.share, second="nothing"),
    )
    return max(alone, key=_falls).main


def _falls(case: Case) -> float:
    made = setup(case)
    done = deeds(made)
    ends = (_SETTLED_S, _SETTLED_S + 60.0 * case.minutes)
    first, last = (observe(made, done, t).at_gauge for t in ends)
    return first - last


def falls_seen(seed: int, graduation: float, minutes: int, flow: float) -> bool:
    """Whether a leak of so many mL/min, in the usual pocket, is seen to move the gauge."""
    case = Case(seed, graduation, minutes, "nothing", 0.0)
    made = replace(setup(case), leaks=(Leak("primary", 4.0, flow, START_PSI),))
    done = deeds(made)
    dials = [observe(made, done, _SETTLED_S + 60.0 * n).dial for n in (0, minutes)]
    return fall([0.0, 60.0 * minutes], dials, graduation).seen == "yes"
