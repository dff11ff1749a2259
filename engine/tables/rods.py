"""Threaded rod: inch and metric threads, and the steels they come in."""

from __future__ import annotations

from typing import Final, NamedTuple

from engine import sources as s
from engine.conversions import KPA_PER_PSI
from engine.sources import Source, Standing
from engine.tables.names import find


class Thread(NamedTuple):
    """A thread; diameter and pitch say all that the formulas need."""

    name: str
    diameter_mm: float
    pitch_mm: float
    system: str
    """`unified` or `metric`: which stress-area formula holds."""
    source: Source
    standing: Standing


def _unified(name: str, diameter_in: float, per_inch: int) -> Thread:
    return Thread(
        name, diameter_in * 25.4, 25.4 / per_inch, "unified", s.ASME_B1_1, "from_memory"
    )  # fmt: skip


def _metric(name: str, diameter_mm: float, pitch_mm: float) -> Thread:
    return Thread(name, diameter_mm, pitch_mm, "metric", s.ISO_898_1, "second_hand")


THREADS: Final = (
    _unified("1/2-13 UNC", 0.5, 13),
    _unified("5/8-11 UNC", 0.625, 11),
    _unified("3/4-10 UNC", 0.75, 10),
    _unified("7/8-9 UNC", 0.875, 9),
    _unified("1-8 UNC", 1.0, 8),
    _unified("1 1/8-7 UNC", 1.125, 7),
    _unified("1 1/4-7 UNC", 1.25, 7),
    _unified("1 1/2-6 UNC", 1.5, 6),
    _metric("M16", 16, 2),
    _metric("M20", 20, 2.5),
    _metric("M24", 24, 3),
    _metric("M27", 27, 3),
    _metric("M30", 30, 3.5),
    _metric("M36", 36, 4),
)


class Steel(NamedTuple):
    """A grade of rod. A yield that is None is not promised; `share` is what to count on."""

    name: str
    yield_ksi: float | None
    ultimate_ksi: float
    share: float
    source: Source
    standing: Standing


_MPA: Final = 1 / KPA_PER_PSI

STEELS: Final = (
    Steel("A307-A", None, 60, 1.0, s.ASTM_A307, "from_memory"),
    Steel("A36", 36, 58, 1.0, s.ASTM_A36, "second_hand"),
    Steel("F1554-36", 36, 58, 1.0, s.ASTM_F1554, "second_hand"),
    Steel("F1554-55", 55, 75, 1.0, s.ASTM_F1554, "second_hand"),
    Steel("F1554-105", 105, 125, 1.0, s.ASTM_F1554, "second_hand"),
    Steel("A193 B7", 105, 125, 1.0, s.ASTM_A193, "from_memory"),
    Steel("4.6", 240 * _MPA, 400 * _MPA, 1.0, s.ISO_898_1, "second_hand"),
    Steel("5.8", 420 * _MPA, 520 * _MPA, 1.0, s.ISO_898_1, "from_memory"),
    # As for sizes up to M16; larger ones are promised a little more.
    Steel("8.8", 640 * _MPA, 800 * _MPA, 1.0, s.ISO_898_1, "second_hand"),
    # Without a mark nobody knows what it is: taken for the weakest steel sold as rod, derated.
    Steel("unmarked", None, 60, 0.75, s.PRACTICE, "common_practice"),
)

UNMARKED: Final = STEELS[-1]
ROD_MODULUS_KSI: Final = 29_000.0


def thread(name: str) -> Thread:
    """The thread of that name: `3/4-10`, `1 1/8-7 UNC`, `M20`.

    Raises UnknownRow, naming the closest ones.
    """
    return find(name, THREADS, "thread")


def steel(name: str) -> Steel:
    """The grade of that name: `F1554-36`, `A193 B7`, `8.8`; `unmarked` where there is no mark.

    Raises UnknownRow, naming the closest ones.
    """
    return find(name, STEELS, "grade of rod")
