"""The one unit registry, the quantity types, and the way from what people write to them.

Stored form is `[13.0, "psi"]`; typed form is what a technician writes: `13 psi`, `1 1/2 in`,
`8'-4 1/2"`. Every pressure here is gauge pressure unless a name says absolute: units that name a
reference (psia, bara) are refused rather than converted.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Annotated, Any, Final

import pint
from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from engine import written
from engine.written import Unreadable

__all__ = [
    "Dimension",
    "Duration",
    "Flow",
    "Force",
    "Fraction",
    "Length",
    "Measure",
    "Pressure",
    "Quantity",
    "Ramp",
    "Temperature",
    "Unreadable",
    "Volume",
    "amount",
    "parse",
    "q",
    "stored",
    "symbol",
    "ureg",
]

if TYPE_CHECKING:
    Quantity = pint.Quantity[float]
else:
    Quantity = pint.Quantity

_DEFINITIONS: Final = """
kilo- = 1e3 = k-
mega- = 1e6 = M-
giga- = 1e9 = G-
centi- = 1e-2 = c-
milli- = 1e-3 = m-
micro- = 1e-6 = u-
meter = [length] = m
second = [time] = s
kilogram = [mass] = kg
kelvin = [temperature]; offset: 0 = K
radian = [] = rad
count = []
percent = 0.01
degree = 3.141592653589793 / 180 * radian = deg
inch = 0.0254 * meter = in
foot = 12 * inch = ft
minute = 60 * second = min
hour = 60 * minute = h
day = 24 * hour = d
gram = 1e-3 * kilogram = g
pound = 0.45359237 * kilogram = lb
liter = 1e-3 * meter ** 3 = L
gallon = 231 * inch ** 3 = gal
drop = []
newton = kilogram * meter / second ** 2 = N
pound_force = 4.4482216152605 * newton = lbf
kip = 1000 * pound_force
pascal = newton / meter ** 2 = Pa
bar = 1e5 * pascal
psi = pound_force / inch ** 2
ksi = 1000 * psi
atmosphere = 101325 * pascal = atm
joule = newton * meter = J
degree_Celsius = kelvin; offset: 273.15 = degC
degree_Fahrenheit = 5 / 9 * kelvin; offset: 255.37222222222223 = degF
"""

# Only the units of the trade are known: a slip of the finger is refused, not taken for a parsec,
# and the registry is ready in a few milliseconds without a cache on disk.
ureg: Final[pint.UnitRegistry[Any]] = pint.UnitRegistry(None, autoconvert_offset_to_baseunit=True)
for _line in _DEFINITIONS.strip().splitlines():
    ureg.define(_line)


@dataclass(frozen=True)
class Dimension:
    """A kind of quantity: its name for people, its measure, and the units people write it in."""

    name: str
    base: str
    example: str
    units: dict[str, str] = field(hash=False)
    """Spelling, lower case, to unit."""

    def holds(self, quantity: Quantity) -> bool:
        if not self.base:
            return True
        # pint holds a difference of temperatures for a temperature, and stumbles over it later.
        difference = symbol(quantity).startswith("delta_")
        if (self is TEMPERATURE and difference) or (
            self is TEMPERATURE_STEP and symbol(quantity) in ("degF", "degC")
        ):
            return False
        return bool(quantity.check(_unit(self.base).dimensionality))

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self._validate,
            serialization=core_schema.plain_serializer_function_ser_schema(stored),
        )

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {
            "type": "array",
            "title": self.name,
            "description": f"[value, unit], for example {self.example}",
            "prefixItems": [{"type": "number"}, {"type": "string"}],
            "minItems": 2,
            "maxItems": 2,
        }

    def _validate(self, value: Any) -> Quantity:
        if isinstance(value, str):
            return parse(value, self)
        if isinstance(value, list | tuple) and len(value) == 2 and isinstance(value[1], str):
            number, unit = value
            value = _quantity(self._number(number), unit, self)
        if not isinstance(value, pint.Quantity):
            raise Unreadable(f"{_shown(value)} has no unit; expected {self.expected}")
        return _sound(value, self)

    def _number(self, value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise Unreadable(f"{_shown(value)} is not a number; expected {self.expected}")
        try:
            return float(value)
        except OverflowError:
            raise Unreadable(f"a number too large to use; expected {self.expected}") from None

    @property
    def expected(self) -> str:
        return f"a {self.name}, like {self.example}"


def _shown(value: object) -> str:
    """Of whatever it is, as much as is needed to find it again."""
    try:
        text = repr(value)
    except (RecursionError, ValueError):
        return "what nobody would write"
    return text if len(text) <= 40 else f"{text[:37]}..."


LENGTH: Final = Dimension("length", "m", "3.5 in, 8'-4 1/2\" or 90 mm", written.LENGTHS)
AREA: Final = Dimension("area", "m**2", "165 in2", written.AREAS)
PRESSURE: Final = Dimension("gauge pressure", "Pa", "13 psi or 90 kPa", written.PRESSURES)
DURATION: Final = Dimension("time", "s", "10 min or 30 s", written.TIMES)
TEMPERATURE: Final = Dimension(
    "temperature",
    "K",
    "55 degF or 12 degC",
    written.TEMPERATURES,
)
TEMPERATURE_STEP: Final = Dimension("temperature difference", "K", "[1, delta_degF]", {})
FORCE: Final = Dimension(
    "force",
    "N",
    "10 kip or 45 kN",
    written.FORCES,
)
VOLUME: Final = Dimension("volume", "m**3", "40 mL or 2 gal", written.VOLUMES)
FLOW: Final = Dimension("flow", "m**3/s", "1.5 gal/min or 6 L/min", written.FLOWS)
RAMP: Final = Dimension(
    "rate of pressure",
    "Pa/s",
    "2.9 psi/s or 20 kPa/s",
    written.RAMPS,
)
ANGLE: Final = Dimension(
    "angle",
    "rad",
    "0.5 deg",
    written.ANGLES,
)
FRACTION: Final = Dimension("share", "percent", "1 %", written.SHARES)

MEASURE: Final = Dimension("quantity", "", "[13.0, psi]", {})
"""Of any kind: for what is written down of checks of many kinds."""

Length = Annotated[Quantity, LENGTH]
Pressure = Annotated[Quantity, PRESSURE]
Duration = Annotated[Quantity, DURATION]
Temperature = Annotated[Quantity, TEMPERATURE]
Force = Annotated[Quantity, FORCE]
Volume = Annotated[Quantity, VOLUME]
Flow = Annotated[Quantity, FLOW]
Ramp = Annotated[Quantity, RAMP]
Fraction = Annotated[Quantity, FRACTION]
Measure = Annotated[Quantity, MEASURE]

_ALL = (LENGTH, PRESSURE, DURATION, TEMPERATURE, FORCE, VOLUME, FLOW, RAMP, ANGLE, FRACTION, AREA)


@lru_cache(maxsize=1024)
def _unit(name: str) -> pint.Unit:
    return ureg.Unit(name.replace("delta_deg", "Δdeg") if "delta_deg" in name else name)


def q(value: float, unit: str) -> Quantity:
    """`value` in `unit`, as written in code."""
    return ureg.Quantity(float(value), _unit(unit))


@lru_cache(maxsize=1024)
def _factor(units: pint.Unit, unit: str) -> float | None:
    """What to multiply by to get from `units` to `unit`; None where a scale has an offset."""
    if {"degF", "degC"} & {f"{units:~}", unit}:
        return None
    return float(ureg.Quantity(1.0, units).m_as(unit))


def amount(quantity: Quantity, unit: str) -> float:
    """How many `unit` a quantity is, as a plain number.

    Raises DimensionalityError where the dimensions differ.
    """
    factor = _factor(quantity.units, unit)
    if factor is None:
        return float(quantity.m_as(unit))
    return float(quantity.magnitude) * factor


def symbol(quantity: Quantity) -> str:
    """The unit as it is written in files: `psi`, `gal/min`, `delta_degF`."""
    return _symbol(quantity.units)


@lru_cache(maxsize=1024)
def _symbol(units: pint.Unit) -> str:
    return f"{units:~C}".replace("Δ", "delta_")


def stored(quantity: Quantity) -> list[float | str]:
    """The form that goes into files: `[13.0, "psi"]`."""
    return [float(quantity.magnitude), _symbol(quantity.units)]


_LARGEST = 1e15


def _sound(quantity: Quantity, dimension: Dimension) -> Quantity:
    if not dimension.holds(quantity):
        raise Unreadable(
            f"{quantity.magnitude:g} {symbol(quantity)} is not a {dimension.name}; "
            f"expected {dimension.expected}"
        )
    if not math.isfinite(quantity.magnitude) or abs(quantity.magnitude) > _LARGEST:
        raise Unreadable(
            f"{quantity.magnitude} is not a usable number; expected {dimension.expected}"
        )
    if dimension is TEMPERATURE and quantity.m_as("K") < 0:
        raise Unreadable(
            f"{quantity.magnitude:g} {symbol(quantity)} is colder than cold can be; "
            f"expected {dimension.expected}"
        )
    return quantity


_UNITS: Final = re.compile(
    r"(?:1|[A-Za-z_]{1,16}(?:\*\*[1-9])?)(?:[*/][A-Za-z_]{1,16}(?:\*\*[1-9])?){0,3}"
)
"""Units as they are stored.  pint would take any sum for one, and work it out: 9**9**9."""


def _quantity(value: float, unit: str, dimension: Dimension) -> Quantity:
    """From a stored pair: any unit of the registry with the right dimension."""
    if unit and not _UNITS.fullmatch(unit):
        raise Unreadable(f"{unit[:32]!r} is not a known unit; expected {dimension.expected}")
    try:
        return ureg.Quantity(value, _unit(unit))
    except Exception:  # pint raises half a dozen kinds
        raise Unreadable(
            f"{unit[:32]!r} is not a known unit; expected {dimension.expected}"
        ) from None


def parse(text: str, dimension: Dimension, unit: str | None = None) -> Quantity:
    """What somebody wrote, as a quantity of `dimension`; a bare number takes `unit`.

    Raises Unreadable, in one line, for anything that is not certain: an unknown unit, a wrong
    dimension, an absolute pressure, a comma (decimal sign or thousands?), no unit, no number.
    """
    found = written.read(text, dimension.expected, dimension is LENGTH, dimension is DURATION)
    if not found.unit and unit is None:
        raise Unreadable(f"{found.shown} has no unit; expected {dimension.expected}")
    name = _spelled(found, dimension) if found.unit else unit or ""
    return _sound(q(found.value, name), dimension)


def _spelled(found: written.Written, dimension: Dimension) -> str:
    if found.unit in dimension.units:
        return dimension.units[found.unit]
    if found.unit in written.ABSOLUTE:
        raise Unreadable(
            f"{found.shown} is an absolute pressure; expected {dimension.expected} (gauge)"
        )
    for other in _ALL:
        if found.unit in other.units:
            raise Unreadable(f"{found.shown} is a {other.name}; expected {dimension.expected}")
    raise Unreadable(f"{found.unit!r} is not a known unit; expected {dimension.expected}")
