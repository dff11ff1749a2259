"""Water against the reference formulation, and against tables as printed."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI

from engine.formulas import water
from engine.units import amount, q
from tests.published.printed import agrees

# IAPWS-95 at 101 325 Pa, worked out by two programs that agree in every digit shown:
# degC, density kg/m3, expansion 1e-6/K, compressibility 1e-12/Pa, psi/ft
IAPWS_95 = """
0.1 999.8498 -65.9415 508.465 0.433462
4   999.9749 0.348831 494.806 0.433517
5   999.9666 16.0418  491.685 0.433513
10  999.7025 87.9337  478.083 0.433399
15  999.1026 150.843  467.328 0.433138
20  998.2072 206.806  458.913 0.432750
25  997.0476 257.289  452.462 0.432248
30  995.6495 303.377  447.692 0.431641
35  994.0333 345.894  444.387 0.430941
40  992.2164 385.479  442.376 0.430153
"""
ROWS = [tuple(float(cell) for cell in line.split()) for line in IAPWS_95.strip().splitlines()]

# Kell 1975, from memory but for the numerator; confirmed because it agrees with IAPWS-95.
KELL = {4: "999.9720", 10: "999.6996", 15: "999.0996", 20: "998.2041", 25: "997.0449",
        30: "995.6473", 40: "992.2158"}  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]:g} degC")
def test_water_agrees_with_the_table_of_iapws_95(row: tuple[float, ...]) -> None:
    celsius, density, expansion, compressibility, weight = row
    t = q(celsius, "degC")
    assert amount(water.density(t), "kg/m**3") == pytest.approx(density, rel=4e-6)
    assert amount(water.expansion(t), "1/K") * 1e6 == pytest.approx(expansion, abs=0.3)
    assert amount(water.compressibility(t), "1/Pa") * 1e12 == pytest.approx(
        compressibility, rel=5e-5
    )
    assert amount(water.specific_weight(t), "psi/ft") == pytest.approx(weight, rel=5e-6)


@pytest.mark.parametrize("tenths", range(0, 401, 5))
def test_water_agrees_with_the_reference_everywhere(tenths: int) -> None:
    celsius = max(tenths / 10, 0.01)  # the reference stops at the melting point

    def reference(name: str) -> float:
        found = PropsSI(name, "T", celsius + 273.15, "P", 101_325, "Water")
        return float(found)

    t = q(celsius, "degC")
    assert amount(water.density(t), "kg/m**3") == pytest.approx(reference("D"), rel=5e-5)
    assert amount(water.compressibility(t), "1/Pa") == pytest.approx(
        reference("ISOTHERMAL_COMPRESSIBILITY"), rel=5e-5
    )
    assert amount(water.expansion(t), "1/K") == pytest.approx(
        reference("ISOBARIC_EXPANSION_COEFFICIENT"), abs=3e-7
    )


@pytest.mark.parametrize(("celsius", "printed"), KELL.items())
def test_density_is_kells_to_the_digit(celsius: float, printed: str) -> None:
    assert agrees(amount(water.density(q(celsius, "degC")), "kg/m**3"), printed)


def test_the_swapped_digits_of_one_page_are_not_ours() -> None:
    # That page's denominator gives 997.9355 at 20 degC.
    assert not agrees(amount(water.density(q(20, "degC")), "kg/m**3"), "997.9355")


# Pipeline Rules of Thumb Handbook, table 1: density at 60 degF over density at the temperature.
@pytest.mark.parametrize(
    ("fahrenheit", "printed"),
    [(50, 0.9993061), (70, 1.0010364), (80, 1.0024178), (100, 1.0060090)],
)
def test_the_pipeline_table_of_water_is_met(fahrenheit: float, printed: float) -> None:
    ratio = water.density(q(60, "degF")) / water.density(q(fahrenheit, "degF"))
    assert float(ratio.magnitude) == pytest.approx(printed, abs=1.3e-5)


def test_rigid_trapped_water_gains_36_psi_for_each_degree_at_room_temperature() -> None:
    # The table's alpha / kappa at 10, 20 and 25 degC: 14.82, 36.31 and 45.82 psi/degF.
    for celsius, printed in ((10, 14.82), (20, 36.31), (25, 45.82)):
        t = q(celsius, "degC")
        rise = amount(water.expansion(t) / water.compressibility(t), "psi/K") / 1.8
        assert rise == pytest.approx(printed, rel=5e-4)


@pytest.mark.parametrize("celsius", [-0.1, 40.1, float("nan")])
def test_water_outside_the_range_is_refused_in_words(celsius: float) -> None:
    with pytest.raises(ValueError, match="expected 0 to 40 degC"):
        water.density(q(celsius, "degC"))


def test_the_ends_of_the_range_may_be_given_in_fahrenheit() -> None:
    assert agrees(amount(water.density(q(104, "degF")), "kg/m**3"), "992.2158")
    assert amount(water.density(q(32, "degF")), "kg/m**3") == pytest.approx(999.8395, abs=1e-4)
