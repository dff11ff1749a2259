"""How fast time can run, in a replay and at the practice joint."""

from __future__ import annotations

from typing import Final

SPEEDS: Final = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 60.0)


def faster(speed: float, by: int) -> float:
    """So many speeds on, or back, from the one that is nearest to `speed`."""
    near = min(range(len(SPEEDS)), key=lambda n: abs(SPEEDS[n] - speed))
    return SPEEDS[max(0, min(near + by, len(SPEEDS) - 1))]
