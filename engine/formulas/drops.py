"""Water counted as drops, as it is seen to fall."""

from __future__ import annotations

from typing import Final

from engine.units import Quantity, amount, q

DROP: Final = q(0.05, "mL")
"""Twenty to the millilitre, as in pharmacy; household practice counts drops of up to 0.25 mL.
Weigh a hundred to know."""


def drops(volume: Quantity, drop: Quantity = DROP) -> Quantity:
    """A volume as drops counted.

        n = V / v

    volume  V [mL]     drop  volume of one, v [mL]     returns  how many [drop]
    Valid for a drop above zero; ValueError else. Drops differ by a factor of five.
    Source: PHARMACY_DROP, 0.05 mL. Check: published/test_drops.py.
    """
    if amount(drop, "mL") <= 0:
        raise ValueError(f"drop of {amount(drop, 'mL'):g} mL; expected more than zero")
    return q(amount(volume, "mL") / amount(drop, "mL"), "drop")
