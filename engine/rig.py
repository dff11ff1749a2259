"""The rig: gauges, supply, restraint, ports and waits."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterator
from typing import Annotated, Final, Literal

from pydantic import Field

from engine.fields import Clock, Fault, Name, Section, Text
from engine.formulas.water import COLDEST, WARMEST
from engine.tables.gauges import accuracy
from engine.tables.names import UnknownRow, find
from engine.tables.nipples import nipple
from engine.tables.rods import steel, thread
from engine.tables.shapes import SHAPES, by_measure
from engine.tables.timbers import SIZES, species
from engine.tables.washers import washer
from engine.units import (
    LENGTH,
    Duration,
    Flow,
    Force,
    Length,
    Pressure,
    Quantity,
    Temperature,
    Unreadable,
    amount,
    parse,
    q,
)

Position = tuple[Length, Length]
"""Across (right positive, looking at the bell) and up, from the joint's centre."""

MEASURED_BEAM: Final = re.compile(
    r"(?P<letter>[CWS])\s+(?P<depth>\d+(?:\.\d+)?)\s*x\s*(?P<flange>\d+(?:\.\d+)?)"
    r"\s*x\s*(?P<web>\d+(?:\.\d+)?)(?:\s*in)?",
    re.I,
)
"""A beam without a name, by kind and measure: `C 6 x 1.9 x 0.2 in` (depth, flange, web)."""


def _named(key: str, written: str | None, look_up: Callable[[str], object]) -> Iterator[Fault]:
    """A fault where the tables have no row of that name, with the closest names they have."""
    if written is None:
        return
    try:
        look_up(written)
    except UnknownRow as unknown:
        text = str(unknown)
        kind, _, names = text.partition(" is no known ")[2].partition("; ")
        other = text.partition("expected ")[2] or text
        expected = f"a known {kind}, such as {names.partition(': ')[2]}" if kind else other
        yield Fault(key, repr(written), expected)


def _beam(written: str) -> object:
    if found := MEASURED_BEAM.fullmatch(written.strip()):
        sizes = (float(found[part]) for part in ("depth", "flange", "web"))
        return by_measure(found["letter"], *sizes)
    return find(written, (*SHAPES, *SIZES), "steel shape or timber")


class Gauge(Section):
    mark: Name
    span: tuple[Pressure, Pressure]
    accuracy: Annotated[str, Field(max_length=20)] | None = None
    """A grade of the gauge standard (A, 2A ...) or a share of span (`1 %`)."""
    graduation: Pressure
    height: Length | None = None
    """Above the joint's centre."""
    calibrated: dt.date | None = None
    calibration_due: dt.date | None = None
    certificate: Text | None = None
    stop_pin: bool = False
    """The pointer rests on a pin: a zero that reads low cannot be seen."""
    governs: bool = False

    def faults(self) -> Iterator[Fault]:
        low, high = (amount(p, "psi") for p in self.span)
        if low >= high:
            yield Fault("span", f"{self.span[0]:~P} to {self.span[1]:~P}", "the lower end first")
        if not 0 < amount(self.graduation, "psi") < high - low:
            yield Fault("graduation", f"{self.graduation:~P}", "more than nothing, within the span")
        yield from _named("accuracy", self.accuracy, accuracy)
        made, due = self.calibrated, self.calibration_due
        if made is not None and due is not None and due <= made:
            yield Fault("calibration_due", f"{due}", f"a date after it was calibrated, {made}")


class Supply(Section):
    kind: Literal["hose", "hand_pump", "head_tank"] = "hose"
    pressure: Pressure | None = None
    relief: Pressure | None = None
    """Setting of the relief valve, at the valve."""
    relief_height: Length | None = None
    relief_place: Literal["pocket", "supply"] = "pocket"
    relief_tolerance: Pressure | None = None
    """None: 2 psi (house rule)."""
    relief_accumulation: Pressure | None = None
    """None: 3 psi or a tenth of the setting, whichever is more (from memory)."""
    flow: Flow | None = None
    temperature: Temperature | None = None

    def faults(self) -> Iterator[Fault]:
        if self.pressure is None and self.relief is None:
            yield Fault(
                "pressure",
                "nothing known",
                "the supply's pressure, or a relief setting: "
                "without either nobody knows what the rig will see",
            )
        for key in ("pressure", "relief", "flow"):
            value = getattr(self, key)
            if value is not None and value.magnitude <= 0:
                yield Fault(key, f"{value:~P}", "more than nothing")
        for key in ("relief_tolerance", "relief_accumulation"):
            value = getattr(self, key)
            if value is not None and value.magnitude < 0:
                yield Fault(key, f"{value:~P}", "nothing or more")
        if self.temperature is not None:
            celsius = amount(self.temperature, "degC")
            if not COLDEST - 1e-9 <= celsius <= WARMEST + 1e-9:
                yield Fault("temperature", f"{self.temperature:~P}",
                            f"{COLDEST:g} to {WARMEST:g} degC (32 to 104 degF)")  # fmt: skip


class Restraint(Section):
    """What holds the sections together: rods and beams, or a frame with a rating."""

    rated: Force | None = None
    rated_by: Text | None = None
    rated_on: dt.date | None = None
    rod: Name | None = None
    grade: Name | None = None
    length: Length | None = None
    at: tuple[Position, ...] = Field(default=(), max_length=24)
    draw_up: Force | None = None
    """Force drawn into each rod before there is water."""
    hard_stops: bool = False
    beam: Name | None = None
    beams_per_end: Annotated[int, Field(ge=1, le=12)] = 1
    span: Length | None = None
    load: Literal["centre", "spread", "two_points"] = "centre"
    load_width: Length | None = None
    """For `spread`: the length over which the load is spread, about the middle."""
    load_inset: Length | None = None
    """For `two_points`: from each rod to the load next to it."""
    washer: Name | None = None
    """Side of a square plate, like `3 in`, or a washer by name."""
    timber: Name | None = None

    def faults(self) -> Iterator[Fault]:
        yield from self._name_faults()
        if self.rated is not None:
            if self.rated.magnitude <= 0:
                yield Fault("rated", f"{self.rated:~P}", "more than nothing")
            return
        yield from self._place_faults()
        yield from self._beam_faults()

    def _place_faults(self) -> Iterator[Fault]:
        if self.rod is None and "rod" not in self.model_fields_set:
            yield Fault("rod", "nothing", 'a thread like "3/4-10 UNC", "unknown", or a rated frame')
        if not self.at:
            yield Fault("at", "no rods", "the place of each rod, across and up from the centre")
        places = {(round(amount(x, "in"), 6), round(amount(y, "in"), 6)) for x, y in self.at}
        if len(places) < len(self.at):
            yield Fault("at", "one place twice", "a place of its own for each rod")
        if self.draw_up is not None and self.draw_up.magnitude < 0:
            yield Fault("draw_up", f"{self.draw_up:~P}", "nothing or more")

    def _beam_faults(self) -> Iterator[Fault]:
        for key in ("length", "span", "load_width", "load_inset"):
            value = getattr(self, key)
            if value is not None and value.magnitude <= 0:
                yield Fault(key, f"{value:~P}", "more than nothing")
        needs = {"spread": "load_width", "two_points": "load_inset"}.get(self.load)
        if needs and getattr(self, needs) is None:
            yield Fault(needs, "nothing", f'a length: load = "{self.load}" needs it')
        elif needs and self.span is not None:
            most = amount(self.span, "in") * (1.0 if self.load == "spread" else 0.5)
            if amount(getattr(self, needs), "in") > most:
                yield Fault(needs, f"{getattr(self, needs):~P}", "within the span of the beam")

    def _name_faults(self) -> Iterator[Fault]:
        yield from _named("rod", self.rod, thread)
        yield from _named("grade", self.grade, steel)
        yield from _named("beam", self.beam, _beam)
        yield from _named("timber", self.timber, species)
        if self.washer is None:
            return
        side = self.plate_side
        if side is None:
            for fault in _named("washer", self.washer, washer):
                wanted = f'the side of a square plate, like "3 in", or {fault.expected}'
                yield fault._replace(expected=wanted)
        elif side.magnitude <= 0:
            yield Fault("washer", f"{side:~P}", "more than nothing")

    @property
    def is_drawn_up(self) -> bool:
        """A force, and more than nothing, is drawn into the rods before there is water."""
        return self.draw_up is not None and self.draw_up.magnitude > 0

    @property
    def plate_side(self) -> Quantity | None:
        """Side of the square plate washer; None where the washer is a round one, by name."""
        try:
            return parse(self.washer or "", LENGTH)
        except Unreadable:
            return None


class Ports(Section):
    nipple: Annotated[str, Field(max_length=12)] = "1/4"
    schedule: Literal["40", "80"] = "40"
    vents: tuple[Position, ...] = Field(default=(), max_length=6)
    """Where the vents are; empty: one at the very top."""
    inlet: Clock = 6.0

    def faults(self) -> Iterator[Fault]:
        yield from _named("nipple", self.nipple, nipple)


def _wait(value: float, unit: str) -> Quantity:
    return Field(default_factory=lambda: q(value, unit))


class Waits(Section):
    """How long each wait lasts; the defaults are house rules."""

    bond: Duration = _wait(24, "h")
    adhesive: Duration = _wait(30, "min")
    haunch_hold: Duration = _wait(15, "min")
    soak: Duration = _wait(30, "min")
    vent_flow: Duration = _wait(1, "min")
    settle: Duration = _wait(5, "min")

    def faults(self) -> Iterator[Fault]:
        for key in type(self).model_fields:
            value = getattr(self, key)
            if value.magnitude < 0:
                yield Fault(key, f"{value:~P}", "nothing or more")


class Specimen(Section):
    spigot: Text | None = None
    bell: Text | None = None
    cast: Text | None = None
    gasket_lot: Text | None = None
    lubricant: Text | None = None
    customer: Text | None = None
    place: Text | None = None
