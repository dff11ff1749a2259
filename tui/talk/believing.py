"""Figures that are hard to believe: a second Enter is asked for before they count."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from engine.units import Dimension, Quantity
from tui.talk.asking import Ask, Part, Talk


class Believed(NamedTuple):
    """A figure, the text that was typed, and when it was first entered where it was asked again."""

    value: Quantity
    text: str
    at: float | None


def believed(
    talk: Talk,
    prompt: str,
    dimension: Dimension,
    doubt: Callable[[Quantity], str],
    text: str = "",
    refusal: str = "",
    unit: str | None = None,
) -> Part[Believed]:
    """Asked until it can be read and is believed: at once, or by the same text a second time."""
    while True:
        value, text = yield from talk.quantity(prompt, dimension, text, refusal, unit)
        at, why = talk.now(), doubt(value)
        if not why:
            return Believed(value, text, None)
        again = yield Ask(f"{why}. Enter again if it is so", talk.echo(dimension, unit), text)
        if again == text:
            return Believed(value, text, at)
        text, refusal = again, ""


def counted(
    talk: Talk, prompt: str, least: float, most: float, doubt: Callable[[float], str], text: str
) -> Part[float]:
    """As `believed`, of a bare number."""
    while True:
        number = yield from talk.count(prompt, least, most, text)
        why, text = doubt(number), f"{number:g}"
        if not why:
            return number
        again = yield Ask(f"{why}. Enter again if it is so", None, text)
        if again.strip() == text:
            return number
        text = again
