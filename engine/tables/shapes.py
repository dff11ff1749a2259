"""Rolled steel shapes: channels, wide flanges and standard beams that plants have lying about."""

from __future__ import annotations

from typing import Final, NamedTuple

from engine import sources as s
from engine.sources import Source, Standing
from engine.tables.names import UnknownRow


class Shape(NamedTuple):
    """A rolled shape; x is the strong axis."""

    name: str
    weight_lb_ft: float
    area_in2: float
    depth_in: float
    flange_in: float
    """Width."""
    web_in: float
    """Thickness."""
    flange_thickness_in: float
    ix_in4: float
    sx_in3: float
    zx_in3: float
    rx_in: float
    sy_in3: float
    source: Source = s.AISC_SHAPES
    standing: Standing = "second_hand"


SHAPES: Final = (
    Shape("C3X4.1", 4.1, 1.2, 3, 1.41, 0.17, 0.273, 1.65, 1.1, 1.32, 1.18, 0.196),
    Shape("C4X5.4", 5.4, 1.58, 4, 1.58, 0.184, 0.296, 3.85, 1.92, 2.29, 1.56, 0.277),
    Shape("C4X7.25", 7.25, 2.13, 4, 1.72, 0.321, 0.296, 4.58, 2.29, 2.84, 1.47, 0.337),
    Shape("C5X6.7", 6.7, 1.97, 5, 1.75, 0.19, 0.32, 7.48, 2.99, 3.55, 1.95, 0.372),
    Shape("C5X9", 9, 2.64, 5, 1.89, 0.325, 0.32, 8.89, 3.56, 4.39, 1.84, 0.444),
    Shape("C6X8.2", 8.2, 2.39, 6, 1.92, 0.2, 0.343, 13.1, 4.35, 5.16, 2.34, 0.488),
    Shape("C6X10.5", 10.5, 3.07, 6, 2.03, 0.314, 0.343, 15.1, 5.04, 6.18, 2.22, 0.561),
    Shape("C6X13", 13, 3.82, 6, 2.16, 0.437, 0.343, 17.3, 5.78, 7.29, 2.13, 0.638),
    Shape("C8X11.5", 11.5, 3.37, 8, 2.26, 0.22, 0.39, 32.5, 8.14, 9.63, 3.11, 0.775),
    Shape("C8X13.75", 13.75, 4.03, 8, 2.34, 0.303, 0.39, 36.1, 9.02, 11, 2.99, 0.848),
    Shape("C10X15.3", 15.3, 4.48, 10, 2.6, 0.24, 0.436, 67.3, 13.5, 15.9, 3.88, 1.15),
    Shape("C10X20", 20, 5.87, 10, 2.74, 0.379, 0.436, 78.9, 15.8, 19.4, 3.67, 1.31),
    Shape("C12X20.7", 20.7, 6.08, 12, 2.94, 0.282, 0.501, 129, 21.5, 25.6, 4.61, 1.72),
    Shape("W4X13", 13, 3.83, 4.16, 4.06, 0.28, 0.345, 11.3, 5.46, 6.28, 1.72, 1.9),
    Shape("W5X16", 16, 4.71, 5.01, 5, 0.24, 0.36, 21.4, 8.55, 9.63, 2.13, 3),
    Shape("W6X9", 9, 2.68, 5.9, 3.94, 0.17, 0.215, 16.4, 5.56, 6.23, 2.47, 1.11),
    Shape("W6X12", 12, 3.55, 6.03, 4, 0.23, 0.28, 22.1, 7.31, 8.3, 2.49, 1.5),
    Shape("W6X15", 15, 4.43, 5.99, 5.99, 0.23, 0.26, 29.1, 9.72, 10.8, 2.56, 3.11),
    Shape("W6X20", 20, 5.87, 6.2, 6.02, 0.26, 0.365, 41.4, 13.4, 14.9, 2.66, 4.41),
    Shape("W6X25", 25, 7.34, 6.38, 6.08, 0.32, 0.455, 53.4, 16.7, 18.9, 2.7, 5.61),
    Shape("W8X10", 10, 2.96, 7.89, 3.94, 0.17, 0.205, 30.8, 7.81, 8.87, 3.22, 1.06),
    Shape("W8X15", 15, 4.44, 8.11, 4.02, 0.245, 0.315, 48, 11.8, 13.6, 3.29, 1.7),
    Shape("W8X18", 18, 5.26, 8.14, 5.25, 0.23, 0.33, 61.9, 15.2, 17, 3.43, 3.04),
    Shape("W8X21", 21, 6.16, 8.28, 5.27, 0.25, 0.4, 75.3, 18.2, 20.4, 3.49, 3.71),
    Shape("W8X24", 24, 7.08, 7.93, 6.5, 0.245, 0.4, 82.7, 20.9, 23.1, 3.42, 5.63),
    Shape("W8X31", 31, 9.13, 8, 8, 0.285, 0.435, 110, 27.5, 30.4, 3.47, 9.27),
    Shape("W10X22", 22, 6.49, 10.2, 5.75, 0.24, 0.36, 118, 23.2, 26, 4.27, 3.97),
    Shape("S4X7.7", 7.7, 2.26, 4, 2.66, 0.193, 0.293, 6.05, 3.03, 3.5, 1.64, 0.562),
    Shape("S6X12.5", 12.5, 3.66, 6, 3.33, 0.232, 0.359, 22, 7.34, 8.45, 2.45, 1.08),
    Shape("S8X18.4", 18.4, 5.4, 8, 4, 0.271, 0.425, 57.5, 14.4, 16.5, 3.26, 1.84),
)

STEEL_MODULUS_KSI: Final = 29_000.0
A36_YIELD_KSI: Final = 36.0
"""What an unmarked shape is taken for; newer wide flanges have more."""

_TAPE_IN: Final = 1 / 32
_CALIPER_IN: Final = 0.01


def by_measure(letter: str, depth_in: float, flange_in: float, web_in: float) -> Shape:
    """The strongest shape of a kind (`C`, `W`, `S`) no larger than what was measured.

    Depth and flange width as by tape, web thickness as by caliper. Raises UnknownRow where even
    the smallest is larger.
    """
    most = (depth_in + _TAPE_IN, flange_in + _TAPE_IN, web_in + _CALIPER_IN)
    kind = [row for row in SHAPES if row.name.startswith(letter.strip().upper())]
    fitting = [
        row for row in kind
        if all(a <= b for a, b in zip((row.depth_in, row.flange_in, row.web_in), most, strict=True))
    ]  # fmt: skip
    if not kind or not fitting:
        raise UnknownRow(
            f"{letter} shape {depth_in:g} in deep, flange {flange_in:g} in, web {web_in:g} in: "
            f"none that small is known; known: {', '.join(r.name for r in kind[:8]) or 'C, W, S'}"
        )
    return max(fitting, key=lambda row: row.sx_in3)
