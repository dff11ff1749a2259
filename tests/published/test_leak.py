"""Leaks: flows, drops and decay against worked figures (computed, and confirmed by integration)."""

from __future__ import annotations

import pytest

from engine.formulas import leak
from engine.units import Quantity, amount, q
from tests.published.printed import agrees

PRESSURE = q(13, "psi")
ROOM = q(20, "degC")
WORTH = q(3.92305, "mL/psi")
LEAK = (PRESSURE, q(1, "mL/min"), WORTH)


def per_minute(flow: Quantity) -> float:
    return amount(flow, "mL/min")


@pytest.mark.parametrize(
    ("bore", "printed"), [(0.1, "3.85"), (0.2, "15.4"), (0.5, "96.3"), (1, "385")]
)
def test_orifice(bore: float, printed: str) -> None:
    assert agrees(per_minute(leak.orifice_flow(q(bore, "mm"), PRESSURE, ROOM)), printed)


@pytest.mark.parametrize(
    ("bore", "printed", "number"), [(0.1, "0.659", "139"), (0.2, "10.5", "1115")]
)
def test_capillary(bore: float, printed: str, number: str) -> None:
    flow = leak.capillary_flow(q(bore, "mm"), q(20, "mm"), PRESSURE, ROOM)
    assert agrees(per_minute(flow), printed)
    assert agrees(leak.reynolds(flow, q(bore, "mm"), ROOM), number)


@pytest.mark.parametrize(("opening", "width", "printed"), [(0.02, 100, "17.9"), (0.05, 10, "28.0")])
def test_slot(opening: float, width: float, printed: str) -> None:
    flow = leak.slot_flow(q(opening, "mm"), q(width, "mm"), q(20, "mm"), PRESSURE, ROOM)
    assert agrees(per_minute(flow), printed)


def test_conversions_of_flow_are_as_printed() -> None:
    one = q(1, "mL/min")
    assert agrees(amount(one, "gal/day"), "0.380408")
    assert agrees(amount(one, "L/day"), "1.44")
    assert agrees(per_minute(q(1, "gal/day")), "2.62876")
    assert agrees(per_minute(q(1, "L/h")), "16.667")
    assert agrees(per_minute(q(1, "gal/h")), "63.0902")


# Drops a minute: mL/min and gal/day at 0.05 and at 0.25 mL a drop; psi lost in 10 min at 3.92
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
    drops, small, small_day, large, large_day, lost, lost_tight = row
    flow, big = q(0.05 * drops, "mL/min"), q(0.25 * drops, "mL/min")
    assert leak.drops_per_minute(flow) == pytest.approx(drops)
    assert leak.drops_per_minute(big, q(0.25, "mL")) == pytest.approx(drops)
    assert agrees(per_minute(flow), small) and agrees(amount(flow, "gal/day"), small_day)
    assert agrees(per_minute(big), large) and agrees(amount(big, "gal/day"), large_day)
    in_ten = per_minute(flow) * 10
    assert in_ten / 3.92305 == pytest.approx(float(lost), rel=0.004)
    if lost_tight:
        assert in_ten / 0.5 == pytest.approx(float(lost_tight))


def test_a_linear_leak_decays_as_an_exponential() -> None:
    assert agrees(amount(leak.after_linear_leak(*LEAK, q(10, "min")), "psi"), "10.68531")
    after_tau = leak.after_linear_leak(*LEAK, q(51.0, "min"))
    assert amount(after_tau, "psi") == pytest.approx(13 / 2.718281828, rel=1e-5)


def test_an_orifice_empties_the_pocket_in_a_known_time() -> None:
    assert agrees(amount(leak.after_orifice_leak(*LEAK, q(10, "min")), "psi"), "10.57592")
    assert agrees(amount(leak.time_to_empty(*LEAK), "min"), "102.0")
    assert amount(leak.after_orifice_leak(*LEAK, q(103, "min")), "psi") == 0


def test_the_laws_agree_with_integration_by_small_steps() -> None:
    linear = orifice = 13.0
    for _ in range(100_000):
        linear -= linear / 13 / 3.92305 * 1e-4
        orifice -= (orifice / 13) ** 0.5 / 3.92305 * 1e-4
    assert linear == pytest.approx(10.68531, abs=1e-4)
    assert orifice == pytest.approx(10.57592, abs=1e-4)


def test_creep_of_washers_costs_over_a_pound_in_a_decade() -> None:
    gained = leak.creep_volume(
        q(164.934, "in**2"), q(0.04, "in"), q(5, "percent"), q(1, "min"), q(10, "min")
    )
    assert agrees(amount(gained, "mL"), "5.41")
    assert agrees(-amount(gained, "mL") / amount(WORTH, "mL/psi"), "-1.38")


@pytest.mark.parametrize(("start", "printed"), [(0, "404"), (60, "79"), (24 * 60, "17")])
def test_dry_concrete_drinks_more_than_any_leak(start: float, printed: str) -> None:
    volume = leak.absorbed(
        q(0.1, "mm/min**0.5"), q(1.277, "m**2"), q(start, "min"), q(start + 10, "min")
    )
    assert agrees(amount(volume, "mL"), printed)


@pytest.mark.parametrize(
    "ask",
    [
        lambda: leak.orifice_flow(q(1, "mm"), q(-1, "psi"), ROOM),
        lambda: leak.capillary_flow(q(1, "mm"), q(20, "mm"), PRESSURE, ROOM),
        lambda: leak.after_linear_leak(q(0, "psi"), q(1, "mL/min"), WORTH, q(1, "min")),
        lambda: leak.time_to_empty(PRESSURE, q(0, "mL/min"), WORTH),
        lambda: leak.creep_volume(
            q(1, "in**2"), q(1, "in"), q(5, "percent"), q(0, "min"), q(1, "min")
        ),
        lambda: leak.absorbed(q(1, "mm/min**0.5"), q(1, "m**2"), q(-1, "min"), q(1, "min")),
        lambda: leak.drops_per_minute(q(1, "mL/min"), q(0, "mL")),
    ],
)
def test_impossible_inputs_are_refused_in_words(ask: object) -> None:
    assert callable(ask)
    with pytest.raises(ValueError, match="expected"):
        ask()
