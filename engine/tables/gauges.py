"""Gauge grades: the error each permits, in percent of the span."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from engine import sources as s
from engine.sources import Source, Standing
from engine.tables.names import UnknownRow, find


class GaugeGrade(NamedTuple):
    """The error permitted in the lower quarter, the middle half and the upper quarter."""

    name: str
    lower_percent: float
    middle_percent: float
    upper_percent: float
    source: Source
    standing: Standing


GRADES: Final = (
    GaugeGrade("4A", 0.1, 0.1, 0.1, s.ASME_B40_100, "second_hand"),
    GaugeGrade("3A", 0.25, 0.25, 0.25, s.ASME_B40_100, "second_hand"),
    GaugeGrade("2A", 0.5, 0.5, 0.5, s.ASME_B40_100, "second_hand"),
    GaugeGrade("1A", 1, 1, 1, s.ASME_B40_100, "second_hand"),
    GaugeGrade("A", 2, 1, 2, s.ASME_B40_100, "second_hand"),
    GaugeGrade("B", 3, 2, 3, s.ASME_B40_100, "from_memory"),
    GaugeGrade("C", 4, 3, 4, s.ASME_B40_100, "from_memory"),
    GaugeGrade("D", 5, 5, 5, s.ASME_B40_100, "second_hand"),
)

CLASSES: Final = tuple(
    GaugeGrade(f"class {c:g}", c, c, c, s.EN_837_1, "seen")
    for c in (0.1, 0.25, 0.6, 1, 1.6, 2.5, 4)
)

WORST: Final = GRADES[-1]
"""What a gauge of unknown accuracy is taken for."""

_OF_SPAN = re.compile(r"(?:±\s*)?(\d{1,2}(?:\.\d{1,4})?)\s*%(?:\s*of\s+(?:span|full scale))?", re.I)


def accuracy(written: str) -> GaugeGrade:
    """The grade of that name, or a share of the span as written: `A`, `class 1.6`, `1 %`.

    Raises UnknownRow for another name, naming the closest ones, and for a share of nothing or of
    more than a tenth.
    """
    if share := _OF_SPAN.fullmatch(written.strip()):
        percent = float(share[1])
        if not 0 < percent <= 10:
            raise UnknownRow(f"{written.strip()!r} of span; expected more than 0 and at most 10 %")
        return GaugeGrade(
            f"{percent:g} %", percent, percent, percent, s.PRACTICE, "common_practice"
        )
    return find(written, (*GRADES, *CLASSES), "gauge grade")
