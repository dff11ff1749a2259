"""How people write quantities: spellings of units, fractions, feet and inches.  Text only."""

from __future__ import annotations

import re
from typing import Final, NamedTuple


class Unreadable(ValueError):  # noqa: N818 - read aloud where it is raised
    """A quantity that cannot be understood; the text says what was found and what was expected."""


class Written(NamedTuple):
    """A number and the unit behind it, as spelled, in lower case; empty where there was none."""

    value: float
    unit: str
    shown: str
    """What was written, fit to be said again."""


# --- spellings, lower case, and the units they stand for ----------------------------------------

LENGTHS: Final[dict[str, str]] = {
    **dict.fromkeys(['"', "in", "inch", "inches", "in."], "in"),
    **dict.fromkeys(["'", "ft", "foot", "feet", "ft."], "ft"),
    "mm": "mm",
    "cm": "cm",
    "m": "m",
}
PRESSURES: Final[dict[str, str]] = {
    **dict.fromkeys(["psi", "psig", "lb/in2", "lbf/in2"], "psi"),
    **dict.fromkeys(["kpa", "kpag"], "kPa"),
    **dict.fromkeys(["bar", "barg"], "bar"),
    "pa": "Pa",
    "mpa": "MPa",
    "mbar": "mbar",
    "ksi": "ksi",
}
TIMES: Final[dict[str, str]] = {
    **dict.fromkeys(["s", "sec", "secs", "second", "seconds"], "s"),
    **dict.fromkeys(["min", "mins", "minute", "minutes"], "min"),
    **dict.fromkeys(["h", "hr", "hrs", "hour", "hours"], "h"),
    **dict.fromkeys(["d", "day", "days"], "d"),
}
VOLUMES: Final[dict[str, str]] = {
    **dict.fromkeys(["ml", "milliliter", "millilitre"], "mL"),
    **dict.fromkeys(["l", "liter", "litre", "liters", "litres"], "L"),
    **dict.fromkeys(["gal", "gallon", "gallons"], "gal"),
    "in3": "in**3",
    "cc": "mL",
    "m3": "m**3",
}
FLOWS: Final[dict[str, str]] = {
    **{
        f"{v}/{t}": f"{VOLUMES[v]}/{u}"
        for v in ("gal", "l", "ml", "in3")
        for t, u in (("s", "s"), ("min", "min"), ("h", "h"), ("d", "d"), ("day", "d"))
    },
    "gpm": "gal/min",
    "gph": "gal/h",
    "lpm": "L/min",
}
AREAS: Final[dict[str, str]] = {"in2": "in**2", "mm2": "mm**2", "cm2": "cm**2", "m2": "m**2"}
TEMPERATURES: Final[dict[str, str]] = {
    **dict.fromkeys(["degf", "f", "°f"], "degF"),
    **dict.fromkeys(["degc", "c", "°c"], "degC"),
    "k": "K",
}
FORCES: Final[dict[str, str]] = {
    **dict.fromkeys(["lbf", "lb", "lbs", "pounds"], "lbf"),
    **dict.fromkeys(["kip", "kips"], "kip"),
    "n": "N",
    "kn": "kN",
}
RAMPS: Final[dict[str, str]] = {
    f"{p}/{t}": f"{PRESSURES[p]}/{u}"
    for p in ("psi", "kpa", "bar", "pa")
    for t, u in (("s", "s"), ("sec", "s"), ("min", "min"), ("h", "h"))
}
ANGLES: Final[dict[str, str]] = {
    **dict.fromkeys(["deg", "°", "degree", "degrees"], "deg"),
    "rad": "rad",
}
SHARES: Final[dict[str, str]] = {"%": "percent", "percent": "percent"}

ABSOLUTE: Final = frozenset({"psia", "bara", "kpaa", "kpa(a)", "bar(a)", "psi(a)", "atm", "ata"})
"""They name a reference that is not the air around, and are refused rather than converted."""

# --- numbers ------------------------------------------------------------------------------------

_VULGAR: Final = {
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
_PLAIN: Final = {
    "″": '"',
    "”": '"',
    "“": '"',
    "′": "'",
    "’": "'",
    "‘": "'",
    "−": "-",
    "–": "-",
    "º": "°",
    "\u00a0": " ",
    "\u2009": " ",
    "⁄": "/",
    "''": '"',
}

_RAISED: Final = re.compile(r"(?<=[A-Za-z])[²³]")

_NUMBER: Final = (
    r"(?:(?P<whole{n}>\d{{1,9}})(?:\s+|\s*-\s*))?(?P<top{n}>\d{{1,6}})\s*/\s*(?P<bottom{n}>\d{{1,6}})"
    r"|(?P<decimal{n}>\d{{1,15}}(?:\.\d{{0,15}})?|\.\d{{1,15}})"
)
_FEET: Final = r"(?P<feet>\d{1,6}(?:\.\d{1,9})?)\s*(?:'|ft\.?|feet|foot)"
_FEET_AND_INCHES: Final = re.compile(
    rf"(?P<sign>-?)\s*{_FEET}\s*-?\s*(?:{_NUMBER.format(n=1)})\s*(?:\"|in\.?|inch|inches)",
    re.I | re.A,
)
_ONE_NUMBER: Final = re.compile(
    rf"(?P<sign>[-+]?)\s*(?:{_NUMBER.format(n=1)})\s*(?P<unit>\D.{{0,15}})?", re.A
)

_CLOCKED: Final = re.compile(
    r"(?:(?P<hours>\d{1,4}):(?P<full>[0-5]\d):(?P<of_hours>[0-5]\d)(?:\s*h)?)"
    r"|(?:(?P<minutes>\d{1,5}):(?P<of_minutes>[0-5]\d)(?:\s*min)?)",
    re.I | re.A,
)
"""Durations as a stopwatch shows them, and as they are shown here: 0:30, 10:00 min, 1:02:03 h."""

_LONGEST: Final = 200


def read(text: str, expected: str, feet_and_inches: bool = False, clocked: bool = False) -> Written:
    """What somebody wrote, taken apart; feet and inches, where they may be, become inches, and a
    duration as a stopwatch shows it seconds.

    Raises Unreadable, in one line, for anything that is not certain: no number, a comma (decimal
    sign or thousands?), a fraction that is none.
    """
    shown = repr(text[:200].strip()[:40])
    plain = _plain(text) if len(text) <= _LONGEST else "?"
    if not plain:
        raise Unreadable(f"nothing written; expected {expected}")
    if "," in plain:
        raise Unreadable(
            f"{shown} has a comma; expected a decimal point, like 12.5, or 2000 for two thousand"
        )
    if feet_and_inches and (found := _FEET_AND_INCHES.fullmatch(plain)):
        feet, inches = float(found["feet"]), _number(found, shown)
        if inches >= 12:
            raise Unreadable(f"{shown}: {inches:g} in is a foot or more; expected feet and inches")
        return Written((-1 if found["sign"] else 1) * (12 * feet + inches), "in", shown)
    if clocked and (found := _CLOCKED.fullmatch(plain)):
        return Written(_seconds(found), "s", shown)
    found = _ONE_NUMBER.fullmatch(plain)
    if found is None or ":" in (found["unit"] or ""):
        raise Unreadable(f"{shown} cannot be read; expected {expected}")
    value = _number(found, shown) * (-1 if found["sign"] == "-" else 1)
    unit = found["unit"] or ""
    return Written(value, unit.lower().replace(" ", "").replace("^", "") or unit, shown)


def _seconds(found: re.Match[str]) -> float:
    if found["minutes"] is not None:
        return 60.0 * int(found["minutes"]) + int(found["of_minutes"])
    return 3600.0 * int(found["hours"]) + 60.0 * int(found["full"]) + int(found["of_hours"])


def _plain(text: str) -> str:
    for sign, ascii_form in _VULGAR.items():
        text = text.replace(sign, f" {ascii_form}")
    for sign, ascii_form in _PLAIN.items():
        text = text.replace(sign, ascii_form)
    # Behind a unit only: 13² is no pressure at all, and 132 psi least of all.
    text = _RAISED.sub(lambda sign: "23"["²³".index(sign[0])], text)
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
