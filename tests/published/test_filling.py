"""Filling: the worked example's time from the closed vent to 13 psi, and its throttle."""

from __future__ import annotations

import pytest

from engine.formulas import filling
from engine.units import amount, q
from tests.published.printed import agrees

POCKET = (q(2.369606, "mL/psi"), q(81.083, "mL"), q(14.696, "psi"))


def test_an_open_hose_takes_the_pocket_to_its_target_in_less_than_a_second() -> None:
    time = filling.time_to_target(q(13, "psi"), *POCKET, q(1.5, "gal/min"))
    assert agrees(amount(time, "s"), "0.73")


def test_filling_takes_volume_over_flow() -> None:
    # 8.1083 L at 1.5 gal/min, that is 5.6781 L/min: by hand 85.68 s.
    assert agrees(amount(filling.time_to_fill(q(8.1083, "L"), q(1.5, "gal/min")), "s"), "85.68")


def test_the_ramp_limit_asks_for_a_trickle() -> None:
    # 3.92305 mL/psi at 2.9 psi/s: by hand 11.377 mL/s.
    flow = filling.flow_within_ramp(q(2.9, "psi/s"), q(13, "psi"), *POCKET)
    assert agrees(amount(flow, "mL/s"), "11.377")


def test_no_flow_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="expected more than zero"):
        filling.time_to_fill(q(1, "L"), q(0, "L/min"))
