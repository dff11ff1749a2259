"""How the run screen shares its rows: larger terminals show more, not bigger."""

from __future__ import annotations

from typing import Final, NamedTuple

__all__ = ["Shares", "shared"]

_TREND: Final = 7
"""Rows of the plot at the least; it says little with fewer."""
_TREND_MOST: Final = 16


class Shares(NamedTuple):
    """Rows of the plot, 0 where there is none, and of the last records."""

    trend: int
    log: int


def shared(height: int, wanted: int, clock: int, in_hold: bool) -> Shares:
    """Of `height` rows the checks come first, as many as are `wanted`, beside the clock's.

    What is left goes to the plot and to the last records, of which one always stands.
    """
    least = _TREND if in_hold else 0
    over = max(0, height - 1 - max(wanted + least, clock))
    grown = min(over // 2, _TREND_MOST - _TREND) if in_hold else 0
    return Shares(least + grown, 1 + over - grown)
