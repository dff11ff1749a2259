"""Agreement with a figure as it was printed: within half a unit of its last digit."""

from __future__ import annotations

from decimal import Decimal

_FLOATING = 1e-9
"""Share of the figure that floating point may take in a tie: 48.450 prints as 48.5."""


def agrees(found: float, printed: str) -> bool:
    """True where `found` would be printed so; `2.03e5` says that three digits were printed."""
    shown = Decimal(printed.replace(" ", "").replace(",", ""))
    exponent = shown.as_tuple().exponent
    assert isinstance(exponent, int), printed
    half = Decimal(1).scaleb(exponent) / 2
    return abs(Decimal(found) - shown) <= half + abs(shown) * Decimal(_FLOATING)
