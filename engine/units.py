"""The one unit registry, the quantity types, and how people write quantities.

Stored form is `[13.0, "psi"]`; typed form is what a technician writes: `13 psi`, `1 1/2 in`,
`8'-4 1/2"`. Every pressure here is gauge pressure unless a name says absolute: units that name a
reference (psia, bara) are refused rather than converted.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING, Annotated, Any, Final

import pint
from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

__all__ = [
    "Angle",
    "Area",
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
    "TemperatureStep",
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


class Unreadable(ValueError):  # noqa: N818 - read aloud where it is raised
    """A quantity that cannot be understood; the text says what was found and what was expected."""


@dataclass(frozen=True)
class Dimension:
    """A kind of quantity: its name for people, its measure, and the units people write it in."""

    name: str
    base: str
    example: str
    units: dict[str, str] = field(hash=False)
    """Spelling, lower case, to unit."""

    def holds(self, quantity: Quantity) -> bool:
        return not self.base or bool(quantity.check(_unit(self.base).dimensionality))

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
            if isinstance(number, bool) or not isinstance(number, int | float):
                raise Unreadable(f"{number!r} is not a number; expected {self.expected}")
            value = _quantity(float(number), unit, self)
        if not isinstance(value, pint.Quantity):
            raise Unreadable(f"{value!r} has no unit; expected {self.expected}")
        return _sound(value, self)

    @property
    def expected(self) -> str:
        return f"a {self.name}, like {self.example}"


_LENGTHS = {
    **dict.fromkeys(['"', "in", "inch", "inches", "in."], "in"),
    **dict.fromkeys(["'", "ft", "foot", "feet", "ft."], "ft"),
    "mm": "mm",
    "cm": "cm",
    "m": "m",
}
_PRESSURES = {
    **dict.fromkeys(["psi", "psig", "lb/in2", "lbf/in2"], "psi"),
    **dict.fromkeys(["kpa", "kpag"], "kPa"),
    **dict.fromkeys(["bar", "barg"], "bar"),
    "pa": "Pa",
    "mpa": "MPa",
    "mbar": "mbar",
    "ksi": "ksi",
}
_TIMES = {
    **dict.fromkeys(["s", "sec", "secs", "second", "seconds"], "s"),
    **dict.fromkeys(["min", "mins", "minute", "minutes"], "min"),
    **dict.fromkeys(["h", "hr", "hrs", "hour", "hours"], "h"),
    **dict.fromkeys(["d", "day", "days"], "d"),
}
_VOLUMES = {
    **dict.fromkeys(["ml", "milliliter", "millilitre"], "mL"),
    **dict.fromkeys(["l", "liter", "litre", "liters", "litres"], "L"),
    **dict.fromkeys(["gal", "gallon", "gallons"], "gal"),
    "in3": "in**3",
    "cc": "mL",
    "m3": "m**3",
}
_FLOWS = {
    **{
        f"{v}/{t}": f"{_VOLUMES[v]}/{u}"
        for v in ("gal", "l", "ml", "in3")
        for t, u in (("s", "s"), ("min", "min"), ("h", "h"), ("d", "d"), ("day", "d"))
    },
    "gpm": "gal/min",
    "gph": "gal/h",
    "lpm": "L/min",
}

LENGTH: Final = Dimension("length", "m", "3.5 in, 8'-4 1/2\" or 90 mm", _LENGTHS)
AREA: Final = Dimension(
    "area", "m**2", "165 in2", {"in2": "in**2", "mm2": "mm**2", "cm2": "cm**2", "m2": "m**2"}
)
PRESSURE: Final = Dimension("gauge pressure", "Pa", "13 psi or 90 kPa", _PRESSURES)
DURATION: Final = Dimension("time", "s", "10 min or 30 s", _TIMES)
TEMPERATURE: Final = Dimension(
    "temperature",
    "K",
    "55 degF or 12 degC",
    {
        **dict.fromkeys(["degf", "f", "°f"], "degF"),
        **dict.fromkeys(["degc", "c", "°c"], "degC"),
        "k": "K",
    },
)
TEMPERATURE_STEP: Final = Dimension("temperature difference", "K", "[1, delta_degF]", {})
FORCE: Final = Dimension(
    "force",
    "N",
    "10 kip or 45 kN",
    {
        **dict.fromkeys(["lbf", "lb", "lbs", "pounds"], "lbf"),
        **dict.fromkeys(["kip", "kips"], "kip"),
        "n": "N",
        "kn": "kN",
    },
)
VOLUME: Final = Dimension("volume", "m**3", "40 mL or 2 gal", _VOLUMES)
FLOW: Final = Dimension("flow", "m**3/s", "1.5 gal/min or 6 L/min", _FLOWS)
RAMP: Final = Dimension(
    "rate of pressure",
    "Pa/s",
    "2.9 psi/s or 20 kPa/s",
    {
        f"{p}/{t}": f"{_PRESSURES[p]}/{u}"
        for p in ("psi", "kpa", "bar", "pa")
        for t, u in (("s", "s"), ("sec", "s"), ("min", "min"), ("h", "h"))
    },
)
ANGLE: Final = Dimension(
    "angle",
    "rad",
    "0.5 deg",
    {**dict.fromkeys(["deg", "°", "degree", "degrees"], "deg"), "rad": "rad"},
)
FRACTION: Final = Dimension("share", "percent", "1 %", {"%": "percent", "percent": "percent"})

MEASURE: Final = Dimension("quantity", "", "[13.0, psi]", {})
"""Of any kind: for what is written down of checks of many kinds."""

Length = Annotated[Quantity, LENGTH]
Area = Annotated[Quantity, AREA]
Pressure = Annotated[Quantity, PRESSURE]
Duration = Annotated[Quantity, DURATION]
Temperature = Annotated[Quantity, TEMPERATURE]
TemperatureStep = Annotated[Quantity, TEMPERATURE_STEP]
Force = Annotated[Quantity, FORCE]
Volume = Annotated[Quantity, VOLUME]
Flow = Annotated[Quantity, FLOW]
Ramp = Annotated[Quantity, RAMP]
Angle = Annotated[Quantity, ANGLE]
Fraction = Annotated[Quantity, FRACTION]
Measure = Annotated[Quantity, MEASURE]

_ALL = (LENGTH, PRESSURE, DURATION, TEMPERATURE, FORCE, VOLUME, FLOW, RAMP, ANGLE, FRACTION, AREA)
_ABSOLUTE = {"psia", "bara", "kpaa", "kpa(a)", "bar(a)", "psi(a)", "atm", "ata"}


@cache
def _unit(name: str) -> pint.Unit:
    return ureg.Unit(name.replace("delta_deg", "Δdeg") if "delta_deg" in name else name)


def q(value: float, unit: str) -> Quantity:
    """`value` in `unit`, as written in code."""
    return ureg.Quantity(float(value), _unit(unit))


@cache
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


@cache
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
    return quantity


def _quantity(value: float, unit: str, dimension: Dimension) -> Quantity:
    """From a stored pair: any unit of the registry with the right dimension."""
    try:
        return ureg.Quantity(value, _unit(unit) if len(unit) <= 32 else unit[:0] + "?")
    except Exception:  # pint raises half a dozen kinds, tokenizer errors among them
        raise Unreadable(
            f"{unit[:32]!r} is not a known unit; expected {dimension.expected}"
        ) from None


_VULGAR = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
    "⅓": "1/3",
    "⅔": "2/3",
}
_PLAIN = {
    "″": '"',
    "”": '"',
    "“": '"',
    "′": "'",
    "’": "'",
    "‘": "'",
    "−": "-",
    "–": "-",
    "º": "°",
    "²": "2",
    "³": "3",
    "\u00a0": " ",
    "\u2009": " ",
    "⁄": "/",
    "''": '"',
}

_NUMBER = (
    r"(?:(?P<whole{n}>\d{{1,9}})(?:\s+|\s*-\s*))?(?P<top{n}>\d{{1,6}})\s*/\s*(?P<bottom{n}>\d{{1,6}})"
    r"|(?P<decimal{n}>\d{{1,15}}(?:\.\d{{0,15}})?|\.\d{{1,15}})"
)
_FEET = r"(?P<feet>\d{1,6}(?:\.\d{1,9})?)\s*(?:'|ft\.?|feet|foot)"
_FEET_AND_INCHES = re.compile(
    rf"(?P<sign>-?)\s*{_FEET}\s*-?\s*(?:{_NUMBER.format(n=1)})\s*(?:\"|in\.?|inch|inches)", re.I
)
_ONE_NUMBER = re.compile(rf"(?P<sign>[-+]?)\s*(?:{_NUMBER.format(n=1)})\s*(?P<unit>\D.{{0,15}})?")


def parse(text: str, dimension: Dimension, unit: str | None = None) -> Quantity:
    """What somebody wrote, as a quantity of `dimension`; a bare number takes `unit`.

    Raises Unreadable, in one line, for anything that is not certain: an unknown unit, a wrong
    dimension, an absolute pressure, a comma (decimal sign or thousands?), no unit, no number.
    """
    plain = _plain(text)
    shown = repr(text.strip()[:40])
    if not plain:
        raise Unreadable(f"nothing written; expected {dimension.expected}")
    if "," in plain:
        raise Unreadable(
            f"{shown}: is the comma a decimal sign? Write 12.5 for twelve and a half, "
            f"2000 for two thousand"
        )
    if dimension is LENGTH and (found := _FEET_AND_INCHES.fullmatch(plain)):
        feet, inches = float(found["feet"]), _number(found, shown)
        if inches >= 12:
            raise Unreadable(f"{shown}: {inches:g} in is a foot or more; expected feet and inches")
        return _sound(q((-1 if found["sign"] else 1) * (12 * feet + inches), "in"), dimension)
    found = _ONE_NUMBER.fullmatch(plain)
    if found is None:
        raise Unreadable(f"{shown} cannot be read; expected {dimension.expected}")
    value = _number(found, shown) * (-1 if found["sign"] == "-" else 1)
    written = (found["unit"] or "").strip()
    if not written and unit is None:
        raise Unreadable(f"{shown} has no unit; expected {dimension.expected}")
    return _sound(
        q(value, _spelled(written, dimension, shown) if written else unit or ""), dimension
    )


def _plain(text: str) -> str:
    for sign, ascii_form in _VULGAR.items():
        text = text.replace(sign, f" {ascii_form}")
    for sign, ascii_form in _PLAIN.items():
        text = text.replace(sign, ascii_form)
    return " ".join(text.split())


def _number(found: re.Match[str], shown: str) -> float:
    if found["decimal1"] is not None:
        return float(found["decimal1"])
    whole, top, bottom = int(found["whole1"] or 0), int(found["top1"]), int(found["bottom1"])
    if bottom == 0:
        raise Unreadable(f"{shown} divides by zero; expected a fraction like 3/8")
    if found["whole1"] and top >= bottom:
        raise Unreadable(f"{shown}: {top}/{bottom} is one or more; expected a fraction like 1 1/2")
    return whole + top / bottom


def _spelled(written: str, dimension: Dimension, shown: str) -> str:
    spelling = written.lower().replace(" ", "").replace("^", "")
    if spelling in dimension.units:
        return dimension.units[spelling]
    if spelling in _ABSOLUTE:
        raise Unreadable(f"{shown} is an absolute pressure; expected {dimension.expected} (gauge)")
    for other in _ALL:
        if spelling in other.units:
            raise Unreadable(f"{shown} is a {other.name}; expected {dimension.expected}")
    raise Unreadable(f"{written!r} is not a known unit; expected {dimension.expected}")
