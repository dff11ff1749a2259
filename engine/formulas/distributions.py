"""The normal and Student's distribution, in plain numbers."""

from __future__ import annotations

import math
from collections.abc import Callable


def normal_share(z: float) -> float:
    """Share of a normal distribution below z.

        (1 + erf(z / sqrt 2)) / 2

    z  standard deviations from the mean [1]     returns  [1]
    Valid for any z; far below, it keeps its digits.
    Source: JCGM_106, normal distribution. Check: published/test_distributions.py.
    """
    return 0.5 * math.erfc(-z / math.sqrt(2))


def normal_quantile(share: float) -> float:
    """The z that has a share of the normal distribution below it.

    share  between 0 and 1 [1]     returns  standard deviations from the mean [1]
    Valid between 0 and 1; ValueError else.
    Source: STUDENT_TABLE, last row. Check: published/test_distributions.py.
    """
    return _where(normal_share, share)


def student_quantile(share: float, freedom: float) -> float:
    """The t that has a share of Student's distribution below it.

    share  between 0 and 1 [1]     freedom  degrees of, above zero [1]     returns  [1]
    Valid within 1e-7; ValueError outside.
    Source: STUDENT_TABLE, two-sided 95 % and 99 %; ABRAMOWITZ, 26.7.1. Check:
    published/test_distributions.py.
    """
    if freedom <= 0:
        raise ValueError(f"{freedom:g} degrees of freedom; expected more than zero")
    return _where(lambda t: _student_share(t, freedom), share)


def _student_share(t: float, freedom: float) -> float:
    tail = _incomplete_beta(freedom / (freedom + t * t), freedom / 2, 0.5) / 2
    return tail if t < 0 else 1 - tail


def _incomplete_beta(x: float, a: float, b: float) -> float:
    """Regularised, by its continued fraction (Abramowitz and Stegun 26.5.8, Lentz's method)."""
    if x <= 0 or x >= 1:
        return min(max(x, 0.0), 1.0)
    if x > (a + 1) / (a + b + 2):
        return 1 - _incomplete_beta(1 - x, b, a)
    gammas = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    front = math.exp(gammas + a * math.log(x) + b * math.log1p(-x)) / a
    fraction, c, d = 1.0, 1.0, 0.0
    for n in range(1, 1000):
        m = n // 2
        if n % 2:
            term = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        else:
            term = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        d = 1 / (1 + term * d)
        c = 1 + term / c
        fraction *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return front / fraction


def _where(share_below: Callable[[float], float], share: float) -> float:
    """Where a rising function from 0 to 1 reaches a share, by halving."""
    if not 0 < share < 1:
        raise ValueError(f"share {share:g}; expected more than 0 and less than 1")
    low, high = -1.0, 1.0
    while share_below(low) > share:
        low *= 2
    while share_below(high) < share:
        high *= 2
    while low < (middle := (low + high) / 2) < high:
        low, high = (middle, high) if share_below(middle) < share else (low, middle)
    return middle
