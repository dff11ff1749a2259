"""Drops and the flows they make, against worked figures (computed)."""

from __future__ import annotations

import pytest

from engine.formulas.drops import drops
from engine.units import Quantity, amount, q
from tests.published.printed import agrees


def per_minute(flow: Quantity) -> float:
    return amount(flow, "mL/min")


def test_conversions_of_flow_are_as_printed() -> None:
    one = q(1, "mL/min")
    assert agrees(amount(one, "gal/day"), "0.380408")
    assert agrees(amount(one, "L/day"), "1.44")
    assert agrees(per_minute(q(1, "gal/day")), "2.62876")
    assert agrees(per_minute(q(1, "L/h")), "16.667")
    assert agrees(per_minute(q(1, "gal/h")), "63.0902")


# Drops in a minute: mL/min and gal/day at 0.05 and at 0.25 mL a drop; psi lost in 10 min at 3.92
# and at 0.5 mL/psi, of small drops.
@pytest.mark.parametrize(
    "row",
    [
        (1, "0.05", "0.0190", "0.25", "0.095", "0.127", "1.0"),
        (5, "0.25", "0.0951", "1.25", "0.476", "0.637", "5.0"),
        (10, "0.5", "0.190", "2.5", "0.951", "1.27", "10"),
        (20, "1.0", "0.380", "5.0", "1.90", "2.55", ""),
        (60, "3.0", "1.141", "15", "5.71", "7.65", ""),
    ],
)
def test_the_table_of_drops(row: tuple[int, str, str, str, str, str, str]) -> None:
    count, small, small_day, large, large_day, lost, lost_tight = row
    flow, big = q(float(small), "mL/min"), q(float(large), "mL/min")
    assert amount(drops(q(float(small), "mL")), "drop") == pytest.approx(count)
    assert amount(drops(q(float(large), "mL"), q(0.25, "mL")), "drop") == pytest.approx(count)
    assert agrees(amount(flow, "gal/day"), small_day)
    assert agrees(amount(big, "gal/day"), large_day)
    in_ten = per_minute(flow) * 10
    assert in_ten / 3.92305 == pytest.approx(float(lost), rel=0.004)
    if lost_tight:
        assert in_ten / 0.5 == pytest.approx(float(lost_tight))


def test_a_drop_of_nothing_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="expected more than zero"):
        drops(q(1, "mL"), q(0, "mL"))
