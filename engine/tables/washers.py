"""Washers by name: nominal bolt size, bore, outside and thickness."""

from __future__ import annotations

from typing import Final, NamedTuple

from engine import sources as s
from engine.sources import Source, Standing
from engine.tables.names import find


class Washer(NamedTuple):
    """A round washer. Of a hardened one the thinnest allowed is given."""

    name: str
    hole_in: float
    outside_in: float
    thickness_in: float
    source: Source
    standing: Standing = "from_memory"


WASHERS: Final = (
    Washer("3/4 wide", 0.812, 2.00, 0.148, s.ASME_B18_22_1),
    Washer("1 wide", 1.062, 2.50, 0.165, s.ASME_B18_22_1),
    Washer("1 1/4 wide", 1.375, 3.00, 0.165, s.ASME_B18_22_1),
    Washer("3/4 F436", 0.812, 1.468, 0.122, s.ASTM_F436),
)

HOLE_CLEARANCE_IN: Final = 1 / 16
"""How much wider than the rod the hole of a plate washer is bored: common practice."""


def washer(name: str) -> Washer:
    """The round washer of that name.

    Raises UnknownRow, naming the closest ones.
    """
    return find(name, WASHERS, "washer")
