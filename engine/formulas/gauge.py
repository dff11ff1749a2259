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


def share_of_scale(reading: Quantity, true: Quantity, full_scale: Quantity) -> Quantity:
    """Error of a gauge as a share of its full scale, positive when it reads high.

        a = (R - P) / F

    reading  R [psi]     true  pressure, P [psi]     full_scale  F [psi]     returns  [percent]
    Valid for a full scale above zero.
    Source: ARMY_GAUGES, accuracy. Check: published/test_gauge.py.
    """
    error = amount(reading, "psi") - amount(true, "psi")
    return q(100 * error / amount(full_scale, "psi"), "percent")


def reading_uncertainty(graduation: Quantity) -> Quantity:
    """Standard uncertainty of a reading taken to the nearest mark.

        u = r / sqrt(12)

    graduation  distance of the marks, r [psi]     returns  [psi]
    Valid for any position of the needle between marks being as likely.
    Source: GUM, F.2.2.1. Check: published/test_gauge.py.
    """
    return q(amount(graduation, "psi") / math.sqrt(12), "psi")


def change_uncertainty(graduation: Quantity) -> Quantity:
    """Standard uncertainty of the difference of two readings; the gauge's own error cancels.

        u = sqrt(2) r / sqrt(12)

    graduation  distance of the marks, r [psi]     returns  [psi]
    Valid for readings far enough apart that their roundings are unrelated.
    Source: GUM, F.2.2.1 and sum of variances. Check: published/test_gauge.py.
    """
    return q(amount(graduation, "psi") / math.sqrt(6), "psi")


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


def probability_between(
    reading: Quantity, uncertainty: Quantity, lower: Quantity, upper: Quantity
) -> Quantity:
    """Probability that the true pressure lies between two limits.

        p = Phi((T_U - y) / u) - Phi((T_L - y) / u)

    reading  corrected, y [psi]     uncertainty  standard, u [psi]     lower  limit, T_L [psi]
    upper  limit, T_U [psi]     returns  [percent]
    Valid for an uncertainty above zero and a normal distribution; ValueError else.
    Source: JCGM_106, 7.4. Check: published/test_gauge.py.
    """
    above_lower = amount(probability_above(reading, uncertainty, lower), "percent")
    return q(
        above_lower - amount(probability_above(reading, uncertainty, upper), "percent"), "percent"
    )


def false_acceptance(guard: Quantity, expanded: Quantity) -> Quantity:
    """The most that can be accepted wrongly behind a guard band.

        p = Phi(-2 g / U)     U being the expanded uncertainty, k = 2

    guard  band, g [psi]     expanded  uncertainty, U [psi]     returns  [percent]
    Valid one-sided, for a result just at the acceptance limit.
    Source: ILAC_G8, table of guard bands. Check: published/test_gauge.py.
    """
    return q(100 * normal_share(-2 * amount(guard, "psi") / amount(expanded, "psi")), "percent")
