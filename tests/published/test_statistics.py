"""Lines, bounds and limits against certified and printed values."""

from __future__ import annotations

import pytest

from engine.formulas import statistics as stats
from tests.published.printed import agrees

# NIST StRD, Norris: y, x. Thirty-six pairs.
NORRIS = """
0.1 0.2      338.8 337.4  118.1 118.2  888.0 884.6  9.2 10.1     228.1 226.5
668.5 666.3  998.5 996.3  449.1 448.6  778.9 777.0  559.2 558.2  0.3 0.4
0.1 0.6      778.1 775.5  668.8 666.9  339.3 338.0  448.9 447.5  10.8 11.6
557.7 556.0  228.3 228.1  998.0 995.8  888.8 887.6  119.6 120.2  0.3 0.3
0.6 0.3      557.6 556.8  339.3 339.1  888.0 887.2  998.5 999.0  778.9 779.0
10.2 11.1    117.6 118.3  228.9 229.2  668.4 669.1  449.2 448.9  0.2 0.5
"""
_CELLS = [float(cell) for cell in NORRIS.split()]
Y, X = _CELLS[0::2], _CELLS[1::2]


def test_norris_by_the_median_of_slopes() -> None:
    # Worked out once with scipy 1.17.1.
    slope = stats.theil_sen(X, Y)
    assert agrees(slope.expected, "1.0021968365553604")
    assert agrees(stats.median(Y) - slope.expected * stats.median(X), "-0.0640158172")
    assert agrees(slope.low, "1.00111532456") and agrees(slope.high, "1.00305343511")


def test_norris_aicc_by_the_convention_stated() -> None:
    certified = 26.6173985294224  # residual sum of squares
    assert agrees(stats.aicc(certified, 36, 3), "-4.1203388")
    assert agrees(stats.aicc(certified, 36, 3) - 2 * 3 * 4 / 32, "-4.8703388")


def test_the_textbooks_wild_point_does_not_move_the_median() -> None:
    # Helsel and Hirsch, from memory; least squares gives 1.714.
    x, y = [1, 2, 3, 4, 5, 6, 7], [1, 2, 3, 4, 5, 16, 7]
    assert stats.theil_sen(x, y).expected == 1


def test_equal_readings_do_not_prove_a_rate_of_zero() -> None:
    minutes = list(range(11))
    assert stats.straight_bound(minutes, [13.0] * 11, 0.5) == (-0.05, 0.05)


def test_one_step_of_the_needle_bounds_the_rate() -> None:
    readings = [13.25] * 3 + [13.0] * 8
    bound = stats.straight_bound(list(range(11)), readings, 0.25)
    assert bound is not None
    assert agrees(bound[0], "-0.035714") and agrees(bound[1], "0.000000")
    lows, highs = [y - 0.125 for y in readings], [y + 0.125 for y in readings]
    edges = stats.line_bound(list(range(11)), lows, highs)
    assert edges is not None
    assert agrees(edges[0], "-0.035714") and agrees(edges[1], "0.000000")


def test_the_floor_of_a_rounded_slope_is_as_printed() -> None:
    # r / sqrt(12 Sxx) for 11 readings a minute apart: Sxx is 110.
    for r, printed in ((0.25, "0.0069"), (0.5, "0.0138")):
        assert agrees(r / (12 * 110) ** 0.5, printed)


def test_individuals_chart_of_the_handbook() -> None:
    # NIST e-Handbook 6.3.2.2, from memory; mean and limits recomputed by hand.
    values = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
    limits = stats.individuals_limits(values)
    assert agrees(limits.expected, "50.81")
    assert agrees(limits.high, "55.8041") and agrees(limits.low, "45.8159")


def test_weights_add_up_and_follow_the_rule() -> None:
    # Two units of AICc are worth a factor e.
    better, worse, out = stats.weights([0.0, 2.0, float("inf")])
    assert better / worse == pytest.approx(2.718281828459045)
    assert better + worse + out == pytest.approx(1) and out == 0


@pytest.mark.parametrize(
    "ask",
    [
        lambda: stats.theil_sen([1, 1], [1, 2]),
        lambda: stats.mean_rate(1, 2, 0, 0.5),
        lambda: stats.straight_bound([1, 1], [1, 2], 0.5),
        lambda: stats.straight_bound([1, 2, 3], [1, 2], 0.5),
        lambda: stats.aicc(0, 10, 2),
        lambda: stats.aicc(1, 3, 2),
        lambda: stats.weights([float("inf")]),
        lambda: stats.individuals_limits([1]),
        lambda: stats.median([]),
    ],
)
def test_impossible_inputs_are_refused_in_words(ask: object) -> None:
    assert callable(ask)
    with pytest.raises(ValueError, match="expected"):
        ask()
