"""Dials: grades, ranges, guard bands and conformity against figures as printed."""

from __future__ import annotations

import pytest

from engine.formulas import gauge
from engine.units import amount, q
from tests.published.printed import agrees

SCALE = q(30, "psi")


# Middle of a 0 to 30 psi scale. A is second-hand, B and C from memory.
@pytest.mark.parametrize(
    ("grade", "printed"),
    [((2, 1, 2), "0.30"), ((1, 1, 1), "0.30"), ((0.5, 0.5, 0.5), "0.15"),
     ((0.25, 0.25, 0.25), "0.075"), ((3, 2, 3), "0.60"), ((4, 3, 4), "0.90"), ((5, 5, 5), "1.5")],
)  # fmt: skip
def test_error_at_mid_scale_is_as_the_grade_says(
    grade: tuple[float, float, float], printed: str
) -> None:
    limit = gauge.error_limit(SCALE, q(13, "psi"), *(q(g, "percent") for g in grade))
    assert agrees(amount(limit, "psi"), printed)


@pytest.mark.parametrize(
    ("pressure", "percent"), [(0, 2), (7.5, 2), (7.6, 1), (22.4, 1), (22.5, 4), (30, 4)]
)
def test_at_the_border_of_two_zones_the_larger_error_counts(
    pressure: float, percent: float
) -> None:
    zones = (q(2, "percent"), q(1, "percent"), q(4, "percent"))
    limit = gauge.error_limit(SCALE, q(pressure, "psi"), *zones)
    assert amount(limit, "psi") == pytest.approx(percent / 100 * 30)


def test_en_837_class_1_6_on_ten_bar() -> None:
    grade = q(1.6, "percent")
    assert agrees(
        amount(gauge.error_limit(q(10, "bar"), q(5, "bar"), grade, grade, grade), "bar"), "0.16"
    )


@pytest.mark.parametrize(
    ("full_scale", "fits"), [(15, False), (19.5, True), (30, True), (52, True), (60, False)]
)
def test_thirteen_psi_wants_a_scale_of_19_5_to_52(full_scale: float, fits: bool) -> None:
    assert gauge.in_range(q(full_scale, "psi"), q(13, "psi")) is fits


def test_ratios_are_as_printed() -> None:
    for full_scale, printed in ((30, "2.31"), (15, "1.15"), (60, "4.6")):
        assert agrees(gauge.range_ratio(q(full_scale, "psi"), q(13, "psi")), printed)


def test_thirteen_psi_lies_in_the_middle_half_of_thirty() -> None:
    assert gauge.in_middle_half(SCALE, q(13, "psi"))
    assert not gauge.in_middle_half(q(60, "psi"), q(13, "psi"))


def test_reading_uncertainty_is_that_of_a_rectangle() -> None:
    for r, printed in ((0.25, "0.0722"), (0.5, "0.1443")):
        assert agrees(amount(gauge.level_uncertainty(q(0, "psi"), q(r, "psi")), "psi"), printed)


@pytest.mark.parametrize(
    ("limit", "r", "u", "read"),
    [(0.6, 0.25, "0.3538", "13.58"), (0.3, 0.25, "0.188", "13.31"), (0.15, 0.1, "0.091", "13.15")],
)
def test_a_coarser_gauge_must_read_higher_to_be_sure(
    limit: float, r: float, u: str, read: str
) -> None:
    found = gauge.level_uncertainty(q(limit, "psi"), q(r, "psi"))
    # 0.35384, printed as 0.3538; 0.18765 and 0.09129 with three digits
    assert agrees(amount(found, "psi"), u)
    band = gauge.guard_band(found, q(95, "percent"))
    assert agrees(13 + amount(band, "psi"), read)


def test_a_reading_behind_its_guard_band_is_as_sure_as_asked() -> None:
    u = q(0.3538, "psi")
    band = gauge.guard_band(u, q(95, "percent"))
    sure = gauge.probability_above(q(13 + amount(band, "psi"), "psi"), u, q(13, "psi"))
    assert amount(sure, "percent") == pytest.approx(95)


def test_jcgm_106_example_of_7_4() -> None:
    # y 13.6, u 1.8, limits 12.5 and 16.3: printed as about 0.66; 0.6626 by hand
    above_lower, above_upper = (
        amount(gauge.probability_above(q(13.6, "psi"), q(1.8, "psi"), q(limit, "psi")), "percent")
        for limit in (12.5, 16.3)
    )
    assert agrees((above_lower - above_upper) / 100, "0.66")
    assert agrees((above_lower - above_upper) / 100, "0.6626")


@pytest.mark.parametrize(
    ("y", "u", "limit", "printed"),
    [(509.7, 8.6, 490, "0.989"), (5.47, 0.05, 5.40, "0.919")],  # from memory; the second mirrored
)
def test_jcgm_106_one_sided_examples(y: float, u: float, limit: float, printed: str) -> None:
    p = gauge.probability_above(q(y, "kPa"), q(u, "kPa"), q(limit, "kPa"))
    assert agrees(amount(p, "percent") / 100, printed)


@pytest.mark.parametrize(
    "ask",
    [
        lambda: gauge.error_limit(SCALE, q(31, "psi"), *(q(1, "percent"),) * 3),
        lambda: gauge.range_ratio(SCALE, q(0, "psi")),
        lambda: gauge.probability_above(q(1, "psi"), q(0, "psi"), q(1, "psi")),
        lambda: gauge.guard_band(q(1, "psi"), q(100, "percent")),
    ],
)
def test_impossible_inputs_are_refused_in_words(ask: object) -> None:
    assert callable(ask)
    with pytest.raises(ValueError, match="expected"):
        ask()
