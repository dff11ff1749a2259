"""The normal and Student's distribution against tables as printed."""

from __future__ import annotations

import math

import pytest

from engine.formulas.distributions import normal_quantile, normal_share, student_quantile
from tests.published.printed import agrees

# Student's t as tables print it (from memory): degrees of freedom, 95 %, 97.5 % and 99.5 %.
STUDENT = """
1 6.314 12.706 63.657
2 2.920 4.303 9.925
3 2.353 3.182 5.841
4 2.132 2.776 4.604
5 2.015 2.571 4.032
6 1.943 2.447 3.707
8 1.860 2.306 3.355
10 1.812 2.228 3.169
12 1.782 2.179 3.055
15 1.753 2.131 2.947
20 1.725 2.086 2.845
30 1.697 2.042 2.750
40 1.684 2.021 2.704
60 1.671 2.000 2.660
120 1.658 1.980 2.617
"""


@pytest.mark.parametrize("row", STUDENT.strip().splitlines())
def test_students_t_is_as_tables_print_it(row: str) -> None:
    freedom, *printed = row.split()
    for share, figure in zip((0.95, 0.975, 0.995), printed, strict=True):
        assert agrees(student_quantile(share, float(freedom)), figure)
        assert agrees(student_quantile(1 - share, float(freedom)), f"-{figure}")


def test_with_many_degrees_of_freedom_t_is_normal() -> None:
    for share, printed in ((0.95, "1.645"), (0.975, "1.960"), (0.995, "2.576")):
        assert agrees(normal_quantile(share), printed)
        assert agrees(student_quantile(share, 1e6), printed)


def test_six_deviations_leave_less_than_one_in_a_million() -> None:
    assert agrees(normal_share(-6) * 1e10, "9.9")


def test_half_of_a_normal_distribution_lies_below_zero() -> None:
    assert normal_share(0) == 0.5
    assert math.isclose(normal_share(1) + normal_share(-1), 1)


@pytest.mark.parametrize("ask", [lambda: student_quantile(0.975, 0), lambda: normal_quantile(1)])
def test_impossible_inputs_are_refused_in_words(ask: object) -> None:
    assert callable(ask)
    with pytest.raises(ValueError, match="expected"):
        ask()
