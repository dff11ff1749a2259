"""What a dial can be trusted with: its range, its error, and the doubt in what was read."""

from __future__ import annotations

import math
from typing import Final

from engine.formulas.distributions import normal_quantile, normal_share
from engine.units import Quantity, amount, q

LEAST_RANGE: Final = 1.5
MOST_RANGE: Final = 4.0


def range_ratio(full_scale: Quantity, pressure: Quantity) -> float:
    """How many times the pressure fits into the scale.

        n = F / P

    full_scale  F [psi]     pressure  to be tested at, P [psi]     returns  a ratio [1]
    Valid for a pressure above zero; ValueError else.
    Source: GAUGE_PRACTICE, range. Check: published/test_gauge.py.
    """
    tested = amount(pressure, "psi")
    if tested <= 0:
        raise ValueError(f"test pressure {tested:g} psi; expected more than zero")
    return amount(full_scale, "psi") / tested


def in_range(full_scale: Quantity, pressure: Quantity) -> bool:
    """Whether the scale suits the pressure: 1.5 to 4 times it.

    full_scale  [psi]     pressure  to be tested at [psi]     returns  yes or no [1]
    Valid for a pressure above zero; ValueError else.
    Source: GAUGE_PRACTICE, range. Check: published/test_gauge.py.
    """
    return LEAST_RANGE <= range_ratio(full_scale, pressure) <= MOST_RANGE


def in_middle_half(full_scale: Quantity, pressure: Quantity) -> bool:
    """Whether a pressure lies between a quarter and three quarters of the scale.

    full_scale  [psi]     pressure  [psi]     returns  yes or no [1]
    Valid for a full scale above zero.
    Source: UFC_4_390, use of gauges. Check: published/test_gauge.py.
    """
    return 0.25 <= amount(pressure, "psi") / amount(full_scale, "psi") <= 0.75


def error_limit(
    full_scale: Quantity, pressure: Quantity, lower: Quantity, middle: Quantity, upper: Quantity
) -> Quantity:
    """The largest error a gauge of a grade may have at a pressure; at a border, the larger one.

        e = g F     with the g of the zone: lower quarter, middle half, upper quarter

    full_scale  F [psi]     pressure  gauge [psi]     lower  grade below a quarter [percent]
    middle  grade from a quarter to three quarters [percent]     upper  grade above [percent]
    returns  [psi]
    Valid from zero to full scale; ValueError outside.
    Source: ASME_B40_100, grades. Check: published/test_gauge.py.
    """
    share = amount(pressure, "psi") / amount(full_scale, "psi")
    if not 0 <= share <= 1:
        raise ValueError(
            f"{amount(pressure, 'psi'):g} psi on a scale to {amount(full_scale, 'psi'):g} psi; "
            "expected a pressure on the scale"
        )
    zones = ((lower, share <= 0.25), (middle, 0.25 <= share <= 0.75), (upper, share >= 0.75))
    return q(max(amount(grade, "percent") for grade, here in zones if here) / 100
             * amount(full_scale, "psi"), "psi")  # fmt: skip


def level_uncertainty(limit: Quantity, graduation: Quantity) -> Quantity:
    """Standard uncertainty of the pressure itself: the gauge's error and the reading's.

        u = sqrt(e^2 / 3 + r^2 / 12)

    limit  largest error either way, e [psi]     graduation  distance of the marks, r [psi]
    returns  [psi]
    Valid for errors as likely anywhere within their limits.
    Source: GUM, F.2.2.1 and sum of variances. Check: published/test_gauge.py.
    """
    e, r = amount(limit, "psi"), amount(graduation, "psi")
    return q(math.sqrt(e * e / 3 + r * r / 12), "psi")


def guard_band(uncertainty: Quantity, sureness: Quantity) -> Quantity:
    """How far above a lower limit a reading must be to be as sure as asked.

        g = z u     with z from the normal distribution, one-sided: 1.645 for 95 %

    uncertainty  standard, u [psi]     sureness  of the pressure being high enough [percent]
    returns  [psi]
    Valid for a sureness between 0 and 100 %; ValueError else.
    Source: JCGM_106, guarded acceptance. Check: published/test_gauge.py.
    """
    z = normal_quantile(amount(sureness, "percent") / 100)
    return q(z * amount(uncertainty, "psi"), "psi")


def probability_above(reading: Quantity, uncertainty: Quantity, limit: Quantity) -> Quantity:
    """Probability that the true pressure is at or above a lower limit.

        p = Phi((y - T) / u)

    reading  corrected, y [psi]     uncertainty  standard, u [psi]     limit  T [psi]
    returns  [percent]
    Valid for an uncertainty above zero and a normal distribution; ValueError else.
    Source: JCGM_106, 7.2. Check: published/test_gauge.py.
    """
    y, u, t = (amount(x, "psi") for x in (reading, uncertainty, limit))
    if u <= 0:
        raise ValueError(f"uncertainty {u:g} psi; expected more than zero")
    return q(100 * normal_share((y - t) / u), "percent")
