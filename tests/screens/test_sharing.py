"""Who gets the rows of the run screen."""

from __future__ import annotations

import pytest

from tui.screens.sharing import Shares, shared

AT_24 = 14
"""The rows of 24 between the caution and the line to type on."""


def test_a_hold_on_24_rows_has_its_plot_and_one_record() -> None:
    assert shared(AT_24, wanted=12, clock=17, in_hold=True) == Shares(trend=7, log=1)


def test_what_is_left_shows_more_records_and_a_larger_plot() -> None:
    assert shared(AT_24 + 16, wanted=9, clock=17, in_hold=True) == Shares(trend=13, log=7)
    assert shared(AT_24 + 16, wanted=16, clock=6, in_hold=False) == Shares(trend=0, log=14)


@pytest.mark.parametrize("in_hold", [True, False])
def test_checks_and_clock_never_lose_a_row_to_them(in_hold: bool) -> None:
    for height in range(60):
        for wanted in range(30):
            for clock in (0, 6, 17):
                trend, log = shared(height, wanted, clock, in_hold)
                fewest = shared(0, wanted, clock, in_hold)
                assert log >= 1 and trend >= fewest.trend
                if (trend, log) != fewest:
                    assert trend + wanted + log <= height
                    assert clock + log <= height
