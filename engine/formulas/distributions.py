"""The normal distribution, in plain numbers."""

from __future__ import annotations

import math


def normal_share(z: float) -> float:
    """Share of a normal distribution below z.

        (1 + erf(z / sqrt 2)) / 2

    z  standard deviations from the mean [1]     returns  [1]
    Valid for any z; far below, it keeps its digits.
    Source: JCGM_106, normal distribution; ILAC_G8, shares behind guard bands. Check:
    published/test_distributions.py.
    """
    return 0.5 * math.erfc(-z / math.sqrt(2))


def normal_quantile(share: float) -> float:
    """The z that has a share of the normal distribution below it.

    share  between 0 and 1 [1]     returns  standard deviations from the mean [1]
    Valid between 0 and 1; ValueError else.
    Source: STUDENT_TABLE, last row. Check: published/test_distributions.py.
    """
    if not 0 < share < 1:
        raise ValueError(f"share {share:g}; expected more than 0 and less than 1")
    low, high = -1.0, 1.0
    while normal_share(low) > share:
        low *= 2
    while normal_share(high) < share:
        high *= 2
    while low < (middle := (low + high) / 2) < high:
        low, high = (middle, high) if normal_share(middle) < share else (low, middle)
    return middle
