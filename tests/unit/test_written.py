"""Quantities as people write them: what each is taken for, and what is refused as uncertain."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine import present
from engine.units import (
    DURATION,
    LENGTH,
    PRESSURE,
    TEMPERATURE,
    VOLUME,
    Dimension,
    Unreadable,
    amount,
    parse,
    q,
)

TAKEN = [
    (LENGTH, "1 1/2 in", 1.5, "in"),
    (LENGTH, "1-1/2", 1.5, "in"),
    (LENGTH, "1½ in", 1.5, "in"),
    (LENGTH, "8'-4 1/2\"", 100.5, "in"),
    (LENGTH, "8 ft 4.5 in", 100.5, "in"),
    (LENGTH, "5ft", 60, "in"),
    (LENGTH, "12 mm", 12 / 25.4, "in"),
    (LENGTH, "-1/8", -0.125, "in"),
    (PRESSURE, "13", 13, "psi"),
    (PRESSURE, "13 PSI", 13, "psi"),
    (PRESSURE, "90 kPa", 90 / 6.894757293168361, "psi"),
    (PRESSURE, ".5 bar", 50 / 6.894757293168361, "psi"),
    (VOLUME, "1 L", 1000, "mL"),
    (VOLUME, "250 cc", 250, "mL"),
    (TEMPERATURE, "10 °C", 50, "degF"),
    (DURATION, "0:30", 30, "s"),
    (DURATION, "1:03 min", 63, "s"),
    (DURATION, "90:00", 5400, "s"),
    (DURATION, "6:56:36 h", 24996, "s"),
    (DURATION, "1:00:00", 3600, "s"),
    (DURATION, "1 1/2 h", 5400, "s"),
    (DURATION, "10", 600, "s"),
]
BARE = {LENGTH.name: "in", PRESSURE.name: "psi", VOLUME.name: "mL", TEMPERATURE.name: "degF",
        DURATION.name: "min"}  # fmt: skip

REFUSED = [
    (PRESSURE, "12,5", "comma"),
    (PRESSURE, "0:30", "cannot be read"),
    (PRESSURE, "13 psia", "absolute"),
    (PRESSURE, "13 mm", "is a length"),
    (PRESSURE, "13²", "not a known unit"),
    (PRESSURE, "13 parsec", "not a known unit"),
    (PRESSURE, "", "nothing written"),
    (PRESSURE, "1e3", "not a known unit"),
    (PRESSURE, "nan", "cannot be read"),
    (LENGTH, "8'-14\"", "a foot or more"),
    (LENGTH, "1/0", "divides by zero"),
    (LENGTH, "1 3/2", "one or more"),
    (DURATION, "0:75", "cannot be read"),
    (DURATION, "1:30 h", "cannot be read"),
    (DURATION, "1:00:00 min", "cannot be read"),
    (DURATION, ":30", "cannot be read"),
]


@pytest.mark.parametrize(("dimension", "text", "value", "unit"), TAKEN)
def test_it_is_taken_for_what_was_meant(
    dimension: Dimension, text: str, value: float, unit: str
) -> None:
    read = parse(text, dimension, BARE[dimension.name])
    assert amount(read, unit) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(("dimension", "text", "why"), REFUSED)
def test_what_is_not_certain_is_refused_in_one_line(
    dimension: Dimension, text: str, why: str
) -> None:
    with pytest.raises(Unreadable, match=why) as told:
        parse(text, dimension, BARE[dimension.name])
    assert "\n" not in str(told.value)
    assert "expected" in str(told.value)


@given(st.integers(1, 99 * 3600))
def test_a_duration_can_be_typed_as_it_is_shown(seconds: int) -> None:
    shown = present.duration(seconds)
    assert amount(parse(shown, DURATION), "s") == seconds, q(seconds, "s")
