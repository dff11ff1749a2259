"""Every row of the published files agrees with the digits as they were printed."""

from __future__ import annotations

import pytest

from engine import sources
from engine.units import amount
from tests.published.printed import agrees
from tests.published.rows import Row, rows


@pytest.mark.parametrize("row", rows(), ids=str)
def test_agrees_with_the_digits_as_printed(row: Row) -> None:
    assert isinstance(getattr(sources, row.source, None), sources.Source), row.source
    given = dict(row.given)
    found = row.call(*given.pop("each"), **given) if "each" in given else row.call(**given)
    for step in row.part.split("."):
        if step:
            found = found[int(step)] if step.isdigit() else getattr(found, step)
    number = amount(found, row.unit) if row.unit else float(found)
    assert agrees(number, row.printed), f"{number!r} against {row.printed} {row.unit}"


@pytest.mark.parametrize(
    ("found", "printed", "agreed"),
    [
        (413.4, "413", True),
        (413.6, "413", False),
        (48.45, "48.5", True),
        (8230.0, "8.2e3", True),
        (8260.0, "8.2e3", False),
        (-0.1712, "-0.171", True),
    ],
)
def test_a_figure_agrees_within_half_its_last_digit(
    found: float, printed: str, agreed: bool
) -> None:
    assert agrees(found, printed) is agreed
