"""What a log earns and may mean: in words, and as JSON with keys that do not change."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from engine.conversions import KPA_PER_PSI
from engine.falling.causes import Cause
from engine.falling.logged import Explained
from engine.falling.loss import Loss, Measurement
from engine.falling.stiffness import Basis, Bounds, three
from engine.plan import Remark
from engine.present.quantities import System, duration, number, pressure
from engine.units import Quantity, amount, q

EYE_FIRST: Final = "LOOK AT THE PRIMARY GASKET FIRST: the eye finds leaks that a gauge cannot show."
NO_VERDICT: Final = "This explains. It never passes or fails a joint."

CAUSE: Final[dict[Cause, str]] = {
    "steady_leak": "a steady leak",
    "pressure_leak": "a leak that heeds the pressure",
    "creep": "washers, rods or gasket creeping",
    "absorption": "concrete drinking",
    "temperature": "water changing temperature",
    "sun": "sun on the rods",
    "air_dissolving": "air dissolving",
    "recovery": "recovery from a higher pressure",
    "none": "nothing at all",
}
NEXT: Final[dict[Measurement, str]] = {
    "water_temperature": "measure the water's temperature along with the pressure",
    "nut_movement": "measure whether the nuts or the opening move",
    "bleed_volume": "bleed a measured volume and read the gauge before and after",
    "longer_hold": "hold longer, or read a finer gauge",
    "none": "nothing more needs measuring to explain this",
}
_BASIS: Final[dict[Basis, tuple[str, str]]] = {
    "points": ("points", "from pressure and volume points"),
    "planned": ("plan", "from the plan, with 1 % of air assumed"),
    "bled": ("bleed", "from a volume that was bled"),
    "topped_up": ("top_up", "from a measured top-up"),
}
_DOUBTS: Final[dict[str, str]] = {
    "no_zero": "The gauge's zero is not in a log: it is taken as nothing.",
    "guarded": "The rule is guarded: a reading counts from {0} above what is needed.",
    "off_marks": "Readings are finer than the dial's {0}: the bounds go by the dial.",
    "off_scale": "The scale of the gauge ends at {0}: readings go beyond it.",
    "jump": "The gauge jumps up before line {name}, as if water had been put in: a column "
    "added_ml would say so (? where it was not measured).",
    "no_temperature": "No water temperature in the log: cooling cannot be ruled out.",
    "no_rods": "Sun on the rods does not show in a log: shade them, or measure one.",
    "no_rate": "No two readings at different times without a top-up in between: no rate.",
    "below_throughout": "Every reading is below what is needed: there is nothing to cross.",
    "rises": "The gauge rises: it is not on its way down to what is needed.",
    "level": "At the rate that is likeliest the pressure does not come down to what is needed.",
    "no_stiffness": "The plan does not know its pocket (seal lines, width): what a unit of "
    "pressure is worth is not known.",
    "planned_stiffness": "What a unit of pressure is worth is only planned: 1 % of air assumed, "
    "half as much again or a third less is possible. Measured volumes would tell.",
    "no_warming": "What a degree is worth is next to nothing here, or not known.",
    "few_readings": "Causes are compared from {0} readings on.",
}
_LOGGED: Final = ("sun", "recovery")
"""Causes of which a log cannot tell."""


def doubt(remark: Remark, system: System) -> str:
    shown = [_plainly(value, system) for value in remark.values]
    return _DOUBTS[remark.code].format(*shown, name=remark.name)


def _plainly(value: Quantity, system: System) -> str:
    if value.dimensionless:
        return number(float(value.magnitude), 0)
    return pressure(amount(value, "psi"), system)


def meaning(loss: Loss) -> str:
    """What the readings are consistent with, in one line."""
    if loss.cause == "temperature":
        return "the temperature that was measured: it explains this by itself"
    if loss.cause is not None:
        return f"mostly {CAUSE[loss.cause]}"
    if not loss.possible:
        return "no single cause fits every reading" if loss.weights else "too few readings to say"
    if "none" in loss.possible:
        return "nothing at all, or less than this dial shows"
    if loss.leaking:
        return "a leak, steady or heeding the pressure"
    return "it cannot be told: " + "; ".join(CAUSE[c] for c in loss.possible)


# --- JSON ---------------------------------------------------------------------------------------


def as_json(said: Explained, system: System) -> dict[str, Any]:
    """Quantities as [value, unit]; what is not known is null, and why not is among `doubts`.

    `credit` in seconds; `crossing` in the log's own seconds; `movement` (the joint opening) and
    `warming` (negative: cooling) are each what would explain the whole log by itself; a rate below
    zero is a fall, a flow above zero a loss.
    """
    loss, rate = said.loss, said.loss.fall.rate
    unit = "psi" if system == "us" else "kPa"
    worth = loss.lost
    return {
        "readings": len(said.log.psi),
        "needed": _pair(q(said.bounds.least, "psi"), unit),
        "credit": _pair(q(said.credit.seconds, "s"), "s"),
        "complete": said.complete,
        "rate": None if rate is None else _pair(_rate(rate.expected), f"{unit}/min"),
        "rate_bounds": None if rate is None
        else [_pair(_rate(end), f"{unit}/min") for end in (rate.low, rate.high)],
        "fall": {"seen": seen(loss)},
        "crossing": {
            name: None if t is None else _pair(q(t, "s"), "s")
            for name, t in zip(("expected", "earliest"), said.crossing, strict=True)
        },
        "flow": _expected(loss.flow, "mL/min"),
        "flow_bounds": _ends(loss.flow, "mL/min"),
        "drops_per_minute": _expected(loss.drops_per_minute, "drop/min"),
        "movement": _expected(worth.movement if worth else None, "in" if system == "us" else "mm"),
        "warming": _warming(worth.cooling if worth else None, system),
        "stiffness": None if loss.stiffness is None else {
            "value": _expected(loss.stiffness.value, f"mL/{unit}"),
            "from": _BASIS[loss.stiffness.basis][0],
            "doubt": _pair(q(100 * (loss.stiffness.factor - 1), "percent"), "percent"),
        },
        "causes": [{"name": c, "weight": round(w, 4)} for c, w in causes(loss)],
        "told_apart": loss.told_apart,
        "next_measurement": loss.next_measurement,
        "doubts": [doubt(remark, system) for remark in said.doubts],
    }  # fmt: skip


def seen(loss: Loss) -> str:
    """Water that had to be put in is a fall that was not let happen."""
    if loss.by_volume and loss.flow is not None and amount(loss.flow.low, "mL/min") > 0:
        return "yes"
    return loss.fall.seen


def causes(loss: Loss) -> list[tuple[Cause, float]]:
    """Those a log can tell of, heaviest first."""
    return [(cause, weight) for cause, weight in loss.weights if cause not in _LOGGED]


def _rate(per_second: float) -> Quantity:
    return q(per_second, "psi/s")


def _pair(value: Quantity, unit: str) -> list[float | str]:
    return [float(f"{amount(value, unit):.6g}") + 0.0, unit]


def _expected(bounds: Bounds | None, unit: str) -> list[float | str] | None:
    return None if bounds is None else _pair(bounds.expected, unit)


def _ends(bounds: Bounds | None, unit: str) -> list[list[float | str]] | None:
    return None if bounds is None else [_pair(end, unit) for end in (bounds.low, bounds.high)]


def _warming(cooling: Bounds | None, system: System) -> list[float | str] | None:
    if cooling is None:
        return None
    value, _ = _pair(cooling.expected, "K")
    kelvin = 0.0 - float(value)
    return [round(kelvin * 1.8, 6), "delta_degF"] if system == "us" else [kelvin, "K"]


# --- words --------------------------------------------------------------------------------------


def lines(said: Explained, system: System) -> Iterator[str]:
    """Sentences, what matters first."""
    yield EYE_FIRST
    missing = max(0.0, said.need_s - said.credit.seconds)
    state = "complete" if said.complete else f"{duration(missing)} missing"
    yield f"Credit {duration(said.credit.seconds)} of {duration(said.need_s)}: {state}."
    yield from _readings(said, system)
    yield from _fall(said, system)
    yield from _worth(said.loss, system)


def _readings(said: Explained, system: System) -> Iterator[str]:
    log, bounds = said.log, said.bounds
    low, high = pressure(min(log.psi), system), pressure(max(log.psi), system)
    span = low if low == high else f"{low.partition(' ')[0]} to {high}"
    count = f"{len(log.psi)} readings" if len(log.psi) > 1 else "One reading"
    over = f" over {duration(log.times_s[-1] - log.times_s[0])}" if len(log.psi) > 1 else ""
    least = pressure(bounds.good_from, system)
    yield f"{count}{over}, {span}; good from {least} on at gauge height."


def _fall(said: Explained, system: System) -> Iterator[str]:
    fall = said.loss.fall
    if fall.rate is None:
        return
    low, expected, high = _per_minute((fall.rate.low, fall.rate.expected, fall.rate.high), system)
    unit = "psi/min" if system == "us" else "kPa/min"
    yield (f"The gauge changes by {expected} {unit}; anything from {low} to {high} would read "
           "the same.")  # fmt: skip
    yield {
        "yes": "It falls: that is more than the dial can hide.",
        "no": "It does not fall.",
        "cannot_tell": "Whether it falls at all, this dial cannot tell in this time.",
    }[fall.seen]
    yield from _straight(said.loss, system)
    yield from _crossing(said, system)


def _straight(loss: Loss, system: System) -> Iterator[str]:
    """Whether one straight line fits the latest run, as a steady loss would have it."""
    fall = loss.fall
    if fall.run is None or fall.theil_sen is None:
        return
    where = "" if len(fall.run.times_s) == fall.readings else " since water was last moved"
    if fall.line is None:
        yield f"No straight line fits{where}: it bends, or a reading is wrong."
        return
    least, most = fall.line
    median = min(max(fall.theil_sen, least), most)  # it need not lie within what fits them all
    low, slope, high = _per_minute((least, median, most), system)
    unit = "psi/min" if system == "us" else "kPa/min"
    yield f"A straight line fits{where}: {slope} {unit}, within {low} and {high}."


def _crossing(said: Explained, system: System) -> Iterator[str]:
    expected, earliest = said.crossing
    level, last = pressure(said.bounds.good_from, system), said.log.times_s[-1]
    if said.log.psi[-1] < said.bounds.good_from:
        if expected is not None:
            yield f"Below {level} from {number(expected, 0)} s of the log on."
    elif expected is not None:
        assert earliest is not None
        yield (f"Would be below {level} {duration(expected - last)} after the last reading, not "
               f"before {duration(earliest - last)}.")  # fmt: skip
    elif earliest is not None:
        yield f"Not below {level} before {duration(earliest - last)} after the last reading."


_MOST_PLACES: Final = 9


def _per_minute(per_second: tuple[float, float, float], system: System) -> tuple[str, ...]:
    """A bound, what lies between, and a bound, with as many digits as tell the bounds apart."""
    factor, places = (60.0, 4) if system == "us" else (60.0 * KPA_PER_PSI, 3)
    while True:
        told = tuple(number(r * factor, places) for r in per_second)
        if told[0] != told[-1] or places >= _MOST_PLACES:
            return told
        places += 1


def _worth(loss: Loss, system: System) -> Iterator[str]:
    if loss.lost is None or loss.flow is None or loss.drops_per_minute is None:
        return
    low, expected, high = (number(v, 2) for v in three(loss.flow, "mL/min"))
    drops = number(amount(loss.drops_per_minute.expected, "drop/min"), 1)
    how = "By what was put in, the loss is" if loss.by_volume else "If all of it leaked, that is"
    yield f"{how} {expected} mL/min ({low} to {high}), {drops} drops/min (20 to the mL)."
    others = [*_movement(loss, system), *_cooling(loss, system)]
    if others:
        yield f"The same would come of {', or of '.join(others)}, over the whole log."
    assert loss.stiffness is not None
    unit = "mL/psi" if system == "us" else "mL/kPa"
    value = number(amount(loss.stiffness.value.expected, unit), 3 if system == "us" else 4)
    doubt_ = number(100 * (loss.stiffness.factor - 1), 0)
    yield (f"Stiffness {value} {unit}, {_BASIS[loss.stiffness.basis][1]}; "
           f"off by {doubt_} % at most.")  # fmt: skip


def _movement(loss: Loss, system: System) -> Iterator[str]:
    moved = loss.lost.movement if loss.lost else None
    if moved is None:
        return
    if system == "us":
        yield f"the joint opening by {number(1000 * amount(moved.expected, 'in'), 1)} thousandths"
    else:
        yield f"the joint opening by {number(amount(moved.expected, 'mm'), 3)} mm"


def _cooling(loss: Loss, system: System) -> Iterator[str]:
    cooled = loss.lost.cooling if loss.lost else None
    if cooled is None:
        return
    factor, sign = (1.8, "°F") if system == "us" else (1.0, "°C")
    value = amount(cooled.expected, "K") * factor
    word = "cooling" if value >= 0 else "warming"
    yield f"the water {word} by {number(abs(value), 2)} {sign}"
