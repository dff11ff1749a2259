"""What water weighs, swells and yields, at atmospheric pressure between 0 and 40 degC."""

from __future__ import annotations

from typing import Final

from engine.units import Quantity, amount, q

COLDEST: Final = 0.0
WARMEST: Final = 40.0

# The page this numerator is known from prints the denominator as 16.897850e-3, which is wrong by
# 0.27 kg/m3 at 20 degC: two digits are swapped there.
_DENSITY: Final = (
    999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12,
)  # fmt: skip
_DENSITY_BELOW: Final = 16.879850e-3
_COMPRESSIBILITY: Final = (
    50.88496, 0.6163813, 1.459187e-3, 20.08438e-6, -58.47727e-9, 410.4110e-12,
)  # fmt: skip
_COMPRESSIBILITY_BELOW: Final = 19.67348e-3
_GRAVITY: Final = 9.80665


def density(temperature: Quantity) -> Quantity:
    """Mass of air-free water per volume.

        rho = (a0 + a1 t + ... + a5 t^5) / (1 + b t)

    temperature  of the water, t [degC]     returns  [kg/m3]
    Valid from 0 to 40 degC, within 4 parts in a million of IAPWS-95; ValueError outside.
    Source: KELL_1975, density; held against IAPWS_95 and table 1 of PIPE_HANDBOOK. Check:
    published/test_water.py.
    """
    t = _celsius(temperature)
    return q(_polynomial(_DENSITY, t) / (1 + _DENSITY_BELOW * t), "kg/m**3")


def expansion(temperature: Quantity) -> Quantity:
    """Share by which the volume grows per degree; negative below 4 degC.

        alpha = -rho' / rho = b / (1 + b t) - N' / N     where N is the numerator of the density

    temperature  of the water, t [degC]     returns  [1/K]
    Valid from 0 to 40 degC, within 3e-7 per K of IAPWS-95; ValueError outside.
    Source: KELL_1975, density differentiated. Check: published/test_water.py.
    """
    t = _celsius(temperature)
    slope = _polynomial([n * a for n, a in enumerate(_DENSITY)][1:], t)
    alpha = _DENSITY_BELOW / (1 + _DENSITY_BELOW * t) - slope / _polynomial(_DENSITY, t)
    return q(alpha, "1/K")


def compressibility(temperature: Quantity) -> Quantity:
    """Share by which the volume shrinks per pressure, at constant temperature.

        kappa = (c0 + c1 t + ... + c5 t^5) / (1 + d t)

    temperature  of the water, t [degC]     returns  [1/Pa]
    Valid from 0 to 40 degC, within 5 parts in 100 000 of IAPWS-95; ValueError outside.
    Source: KELL_1975, compressibility. Check: published/test_water.py.
    """
    t = _celsius(temperature)
    per_bar = _polynomial(_COMPRESSIBILITY, t) / (1 + _COMPRESSIBILITY_BELOW * t) * 1e-6
    return q(per_bar, "1/bar").to("1/Pa")


def specific_weight(temperature: Quantity) -> Quantity:
    """Pressure that each foot of standing water adds, going down.

        gamma = rho g

    temperature  of the water [degC]     returns  [psi/ft]
    Valid from 0 to 40 degC at standard gravity, 9.80665 m/s2; ValueError outside.
    Source: KELL_1975, density. Check: published/test_water.py.
    """
    pascals_per_metre = amount(density(temperature), "kg/m**3") * _GRAVITY
    return q(pascals_per_metre, "Pa/m").to("psi/ft")


def _celsius(temperature: Quantity) -> float:
    """The temperature as a number; a hair outside the range, from unit conversion, is let pass."""
    t = amount(temperature, "degC")
    if not COLDEST - 1e-9 <= t <= WARMEST + 1e-9:
        raise ValueError(
            f"water at {t:.4g} degC; expected {COLDEST:g} to {WARMEST:g} degC (32 to 104 degF)"
        )
    return t


def _polynomial(coefficients: list[float] | tuple[float, ...], t: float) -> float:
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * t + coefficient
    return total
