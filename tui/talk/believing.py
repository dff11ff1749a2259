"""Figures that are hard to believe: a second Enter is asked for before they count."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from engine.units import Dimension, Quantity
from tui.talk.asking import Part, Talk


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
    """Asked until it can be read and is believed: at once, or by the same text a second time.
    Another text in its place is a figure like the first, and counts with its own Enter."""
    value, text = yield from talk.quantity(prompt, dimension, text, refusal, unit)
    while why := doubt(value):
        at, before = talk.now(), text
        value, text = yield from talk.quantity(
            f"{why}. Enter again if it is so", dimension, before, unit=unit
        )
        if text == before:
            return Believed(value, text, at)
    return Believed(value, text, None)


def counted(
    talk: Talk, prompt: str, least: float, most: float, doubt: Callable[[float], str], text: str
) -> Part[float]:
    """As `believed`, of a bare number."""
    number = yield from talk.count(prompt, least, most, text)
    while why := doubt(number):
        before = number
        asked = f"{why}. Enter again if it is so"
        number = yield from talk.count(asked, least, most, f"{before:g}")
        if number == before:
            return number
    return number
