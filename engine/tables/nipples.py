"""Pipe nipples with taper threads, schedules 40 and 80."""

from __future__ import annotations

from typing import Final, NamedTuple

from engine import sources as s
from engine.sources import Source, Standing
from engine.tables.names import UnknownRow, find


class Nipple(NamedTuple):
    """A nominal size; the bore follows from outside and wall."""

    name: str
    outside_in: float
    wall_40_in: float
    wall_80_in: float
    threads_per_in: int
    hand_tight_in: float
    """L1: thread engaged by hand."""
    pitch_diameter_in: float
    """E1: at the end of the hand-tight length."""
    source: Source = s.ASME_B36_10M
    thread_source: Source = s.ASME_B1_20_1
    standing: Standing = "second_hand"

    def wall_in(self, schedule: str) -> float:
        """Wall thickness of schedule `40` or `80`.

        Raises UnknownRow for another schedule.
        """
        walls = {"40": self.wall_40_in, "80": self.wall_80_in}
        if schedule not in walls:
            raise UnknownRow(f"{schedule!r} is no known schedule; known: 40, 80")
        return walls[schedule]


NIPPLES: Final = (
    Nipple("1/8", 0.405, 0.068, 0.095, 27, 0.162, 0.37360),
    Nipple("1/4", 0.540, 0.088, 0.119, 18, 0.228, 0.49163),
    Nipple("3/8", 0.675, 0.091, 0.126, 18, 0.240, 0.62701),
    Nipple("1/2", 0.840, 0.109, 0.147, 14, 0.320, 0.77843),
)


def nipple(name: str) -> Nipple:
    """The nipple of that nominal size: `1/4`.

    Raises UnknownRow, naming the sizes that are known.
    """
    return find(name, NIPPLES, "nipple size")
