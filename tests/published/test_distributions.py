"""The normal distribution against tables as printed."""

from __future__ import annotations

import math

import pytest

from engine.formulas.distributions import normal_quantile, normal_share
from tests.published.printed import agrees


# The last row of Student's table, of endless degrees of freedom (from memory).
@pytest.mark.parametrize(
    ("share", "printed"), [(0.95, "1.645"), (0.975, "1.960"), (0.995, "2.576")]
)
def test_quantiles_are_as_tables_print_them(share: float, printed: str) -> None:
    assert agrees(normal_quantile(share), printed)
    assert agrees(normal_quantile(1 - share), f"-{printed}")


# ILAC-G8, guard bands of 1.5, 1 and 0.83 of the expanded uncertainty: what they let through.
@pytest.mark.parametrize(("ratio", "percent"), [(1.5, "0.135"), (1.0, "2.28"), (0.83, "4.85")])
def test_shares_behind_a_guard_band(ratio: float, percent: str) -> None:
    assert agrees(100 * normal_share(-2 * ratio), percent)


def test_six_deviations_leave_less_than_one_in_a_million() -> None:
    assert agrees(normal_share(-6) * 1e10, "9.9")


def test_half_of_a_normal_distribution_lies_below_zero() -> None:
    assert normal_share(0) == 0.5
    assert math.isclose(normal_share(1) + normal_share(-1), 1)


def test_an_impossible_share_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="expected"):
        normal_quantile(1)
