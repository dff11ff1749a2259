"""Questions, and the ways in which every conversation asks for a quantity, a text or a choice."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Generator
from dataclasses import dataclass
from typing import Final, TypeVar

from engine import present
from engine.asking.commands import Command
from engine.fields import Clock
from engine.session import Session
from engine.units import (
    DURATION,
    LENGTH,
    PRESSURE,
    TEMPERATURE,
    VOLUME,
    Dimension,
    Quantity,
    Unreadable,
    parse,
)

Echo = Callable[[str], tuple[str, bool]]
T = TypeVar("T")

UNITS: Final[dict[str, dict[str, str]]] = {
    PRESSURE.name: {"us": "psi", "si": "kPa"},
    LENGTH.name: {"us": "in", "si": "mm"},
    TEMPERATURE.name: {"us": "degF", "si": "degC"},
    VOLUME.name: {"us": "mL", "si": "mL"},
    DURATION.name: {"us": "min", "si": "min"},
}
"""What a bare number is taken to be in."""
_POSITION: Final = re.compile(r"([0-9]{1,2})(?::([0-5][0-9])|(\.[0-9]*))?")
_PLAIN: Final = re.compile(r"[-+]?[0-9]{1,9}(?:\.[0-9]*)?")


@dataclass(frozen=True)
class Ask:
    """A line to type."""

    prompt: str
    echo: Echo | None = None
    text: str = ""
    refusal: str = ""
    steps: str = ""
    """What to do first; shown where cautions are."""
    prose: bool = False
    """Written in words: what was typed before is gone on with, where a figure is begun anew."""


@dataclass(frozen=True)
class Pick:
    """One of a few, each with its key."""

    prompt: str
    choices: tuple[tuple[str, str], ...]
    view: str = ""
    """What is to be read before it is answered: the log, the reasons."""
    now: str = ""
    """What is needed now, where the answer and nothing else is."""


@dataclass(frozen=True)
class Submit:
    """Ask this of the session."""

    command: Command


Question = Ask | Pick
Conversation = Generator[Question | Submit, str, None]
Part = Generator[Question | Submit, str, T]


@dataclass(frozen=True)
class Talk:
    """What a conversation may know: the session and the moment, as they are when it asks."""

    look: Callable[[], Session]
    now: Callable[[], float]
    decimal_comma: bool = False

    @property
    def session(self) -> Session:
        return self.look()

    def unit(self, dimension: Dimension) -> str | None:
        return UNITS.get(dimension.name, {}).get(self.session.plan.units)

    def parse(self, text: str, dimension: Dimension, unit: str | None = None) -> Quantity:
        """What was typed, as a quantity; a bare number in the unit shown.  Raises Unreadable."""
        return parse(pointed(text, self.decimal_comma), dimension, unit or self.unit(dimension))

    def echo(self, dimension: Dimension, unit: str | None = None) -> Echo:
        """Value and unit as they will be taken, before they count."""

        def said(text: str) -> tuple[str, bool]:
            if not text.strip():
                return f"expected {dimension.expected}", True
            try:
                return present.quantity(self.parse(text, dimension, unit)), True
            except Unreadable as problem:
                return str(problem), False

        return said

    # --- the ways of asking ---------------------------------------------------------------------

    def quantity(
        self,
        prompt: str,
        dimension: Dimension,
        text: str = "",
        refusal: str = "",
        unit: str | None = None,
        steps: str = "",
    ) -> Part[tuple[Quantity, str]]:
        """Asked until it can be read; gives it with the text that was typed."""
        shown = unit or self.unit(dimension)
        asked = f"{prompt} [{shown}]" if shown and "[" not in prompt else prompt
        while True:
            text = yield Ask(asked, self.echo(dimension, unit), text, refusal, steps)
            try:
                return self.parse(text, dimension, unit), text
            except Unreadable as problem:
                refusal = str(problem)

    def count(self, prompt: str, least: float, most: float, text: str = "") -> Part[float]:
        refusal = ""
        while True:
            text = yield Ask(prompt, None, text, refusal)
            value = float(text) if _PLAIN.fullmatch(text.strip()) else float("nan")
            if least <= value <= most:
                return value
            refusal = f"{text.strip()[:20]!r}: expected a number from {least:g} to {most:g}"

    def clock(
        self, text: str = "", prompt: str = "Clock position, seen looking at the bell"
    ) -> Part[Clock]:
        """12 at the top; 4:30 and 4.5 are the same."""
        refusal = ""
        while True:
            text = yield Ask(prompt, None, text, refusal)
            found = _POSITION.fullmatch(text.strip())
            if found is not None:
                value = float(found[1] + (found[3] or "")) + float(found[2] or 0) / 60
                if value < 13:
                    return (value - 12 if value > 12 else value) or 12.0
            refusal = f"{text.strip()[:20]!r}: expected a clock position, like 6 or 4:30"

    def text(
        self, prompt: str, text: str = "", refusal: str = "", otherwise: str = ""
    ) -> Part[str]:
        """What was typed; an empty line is `otherwise`, where there is one, as the prompt says."""
        offered = f"{prompt} (Enter: {otherwise})" if otherwise else prompt
        while True:
            text = yield Ask(offered, None, text, refusal, prose=True)
            if text.strip() or otherwise:
                return text.strip() or otherwise
            refusal = "nothing was typed"

    def pick(self, prompt: str, **choices: str) -> Part[str]:
        """Gives the key; asked again until it is one of them."""
        return (yield Pick(prompt, tuple(choices.items())))

    def yes(self, prompt: str, view: str = "", now: str = "") -> Part[bool]:
        return (yield Pick(prompt, (("y", "yes"), ("n", "no")), view, now)) == "y"


def pointed(text: str, decimal_comma: bool) -> str:
    """A comma is a decimal sign only where the user's own is one; elsewhere nobody can tell."""
    one = decimal_comma and text.count(",") == 1 and "." not in text
    return text.replace(",", ".") if one else text


def day(prompt: str, text: str = "") -> Generator[Ask, str, dt.date | None]:
    """A day, or none where the line is left empty."""
    refusal = ""
    while True:
        text = (yield Ask(prompt, None, text, refusal)).strip()
        if not text:
            return None
        try:
            return dt.date.fromisoformat(text)
        except ValueError:
            refusal = f"{text[:20]!r}: expected a day, like 2026-06-03, or nothing"
