"""Trapped air: how it yields, what it adds to the stiffness of a pocket, and how it is found.

Stiffness is volume per pressure, as the yard asks it: how many mL one psi is worth.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from engine.formulas.water import compressibility, expansion
from engine.units import Quantity, amount, q


def squeezed(free: Quantity, gauge: Quantity, atmosphere: Quantity) -> Quantity:
    """Volume of a gas under pressure, slowly squeezed from the atmosphere's.

        V = V0 Pa / (P + Pa)

    free  volume at atmospheric pressure, V0 [mL]     gauge  pressure, P [psi]
    atmosphere  absolute, Pa [psi]     returns  [mL]
    Valid at constant temperature, for P above -Pa; ValueError else.
    Source: BOYLE, constant p V. Check: published/test_air.py.
    """
    pressure, outside = _absolute(gauge, atmosphere)
    return q(amount(free, "mL") * outside / (pressure + outside), "mL")


def volume_in(
    gauge: Quantity, linear: Quantity, free_air: Quantity, atmosphere: Quantity
) -> Quantity:
    """Volume of water put in after the vent was closed, up to a pressure.

        V = C P + V0 P / (P + Pa)

    gauge  pressure, P [psi]     linear  stiffness without the air, C [mL/psi]
    free_air  trapped, measured at atmospheric pressure, V0 [mL]
    atmosphere  absolute, Pa [psi]     returns  [mL]
    Valid for a slow rise from zero and P above -Pa; ValueError else.
    Source: POCKET_96, added volume. Check: published/test_air.py.
    """
    pressure, outside = _absolute(gauge, atmosphere)
    share = pressure / (pressure + outside)
    return q(amount(linear, "mL/psi") * pressure + amount(free_air, "mL") * share, "mL")


def stiffness_of_water(volume: Quantity, temperature: Quantity) -> Quantity:
    """Volume that fits into a full rigid pocket for each unit of pressure.

        C = V kappa

    volume  of the water, V [mL]     temperature  of the water [degC]     returns  [mL/psi]
    Valid from 0 to 40 degC; ValueError outside.
    Source: KELL_1975, compressibility. Check: published/test_air.py.
    """
    return q(amount(volume, "mL") * amount(compressibility(temperature), "1/psi"), "mL/psi")


def stiffness_of_air(free_air: Quantity, gauge: Quantity, atmosphere: Quantity) -> Quantity:
    """Volume that trapped air gives way for each unit of pressure, at a pressure.

        C = V0 Pa / (P + Pa)^2

    free_air  trapped, measured at atmospheric pressure, V0 [mL]     gauge  pressure, P [psi]
    atmosphere  absolute, Pa [psi]     returns  [mL/psi]
    Valid at constant temperature and P above -Pa; ValueError else.
    Source: BOYLE, differentiated. Check: published/test_air.py.
    """
    pressure, outside = _absolute(gauge, atmosphere)
    return q(amount(free_air, "mL") * outside / (pressure + outside) ** 2, "mL/psi")


def stiffness_of_restraint(area: Quantity, spring: Quantity) -> Quantity:
    """Volume the pocket gains for each unit of pressure as the restraint stretches.

        C = A^2 / k

    area  that the thrust acts on, A [in**2]     spring  of the whole restraint, k [lbf/in]
    returns  [mL/psi]
    Valid once the thrust has overcome the preload; before that the restraint gives nothing.
    Source: POCKET_96, rods. Check: published/test_air.py.
    """
    stretch = amount(spring, "lbf/in")
    if stretch <= 0:
        raise ValueError(f"restraint of {stretch:g} lbf/in; expected more than zero")
    return q(amount(q(amount(area, "in**2") ** 2 / stretch, "in**3/psi"), "mL/psi"), "mL/psi")


def total_stiffness(
    gauge: Quantity, linear: Quantity, free_air: Quantity, atmosphere: Quantity
) -> Quantity:
    """Volume that one unit of pressure is worth at a pressure: everything that yields.

        C = C_linear + V0 Pa / (P + Pa)^2

    gauge  pressure, P [psi]     linear  stiffness of water, restraint and gasket [mL/psi]
    free_air  trapped, measured at atmospheric pressure, V0 [mL]
    atmosphere  absolute, Pa [psi]     returns  [mL/psi]
    Valid at constant temperature and P above -Pa; ValueError else.
    Source: POCKET_96, sum of stiffnesses. Check: published/test_air.py.
    """
    air = stiffness_of_air(free_air, gauge, atmosphere)
    return q(amount(linear, "mL/psi") + amount(air, "mL/psi"), "mL/psi")


def volume_per_degree(
    pocket: Quantity, air: Quantity, temperature: Quantity, concrete: Quantity
) -> Quantity:
    """Volume by which the contents outgrow the pocket for each degree of warming.

        dV/dT = (V - Va) alpha - 3 a V + Va / T

    pocket  volume, V [mL]     air  trapped, as squeezed now, Va [mL]
    temperature  of water and concrete, T absolute [degC]
    concrete  growth in length per degree, a [1/K]     returns  [mL/K]
    Valid from 0 to 40 degC with everything at one temperature; ValueError outside. Without air,
    negative below about 6 degC.
    Source: POCKET_96, temperature. Check: published/test_air.py.
    """
    volume, gas = amount(pocket, "mL"), amount(air, "mL")
    kelvin = amount(temperature, "degC") + 273.15
    water = (volume - gas) * amount(expansion(temperature), "1/K")
    return q(water - 3 * amount(concrete, "1/K") * volume + gas / kelvin, "mL/K")


def pressure_per_degree(per_degree: Quantity, stiffness: Quantity) -> Quantity:
    """Rise of pressure for each degree of warming, with nothing leaking.

        dP/dT = (dV/dT) / C

    per_degree  volume outgrown [mL/K]     stiffness  total, C [mL/psi]     returns  [psi/K]
    Valid for small changes; ValueError for a stiffness of zero or less.
    Source: POCKET_96, temperature. Check: published/test_air.py.
    """
    return q(amount(per_degree, "mL/K") / _positive(stiffness), "psi/K")


@dataclass(frozen=True)
class AirFit:
    """What pressures and added volumes say of a pocket; errors are standard errors."""

    linear: Quantity
    linear_error: Quantity
    free_air: Quantity
    air_error: Quantity
    covariance: Quantity
    """Of the two estimates: they pull against each other."""
    atmosphere: Quantity
    condition: float
    """Of the scaled equations: 1 when the two are seen apart, large when they look alike."""
    told_apart: bool
    """Neither part of the volume put in is in doubt by a quarter of it or more (two errors)."""
    bent: bool
    """The points cross the preload, or bend upwards, as no trapped air does: biased."""

    def stiffness(self, gauge: Quantity) -> tuple[Quantity, Quantity]:
        """Total stiffness at a pressure and its standard error; sure even where the parts are not.

        [mL/psi], gauge [psi].
        """
        per_air = amount(stiffness_of_air(q(1, "mL"), gauge, self.atmosphere), "mL/psi")
        variance = (
            amount(self.linear_error, "mL/psi") ** 2
            + (per_air * amount(self.air_error, "mL")) ** 2
            + 2 * per_air * amount(self.covariance, "mL**2/psi")
        )
        total = total_stiffness(gauge, self.linear, self.free_air, self.atmosphere)
        return total, q(math.sqrt(max(0.0, variance)), "mL/psi")


def fit_air(
    gauges: Sequence[Quantity],
    volumes: Sequence[Quantity],
    atmosphere: Quantity,
    graduation: Quantity,
    preload: Quantity | None = None,
    start: Quantity | None = None,
) -> AirFit:
    """Trapped air and linear stiffness from points of pressure and volume put in.

        least squares of V = C P + V0 P / (P + Pa)     on the columns P and P / (P + Pa)

    gauges  pressures, P [psi]     volumes  put in since the vent was closed, V [mL]
    atmosphere  absolute, Pa [psi]     graduation  of the dial; no error is taken as finer [psi]
    preload  pressure at which the thrust overcomes the preload, where known [psi]
    start  pressure before the first volume, where that was not zero: columns count from it [psi]
    returns  estimates with standard errors [mL/psi] and [mL]
    Valid for two points or more at different pressures above zero; ValueError else. A straight
    line through the last points, run back to zero, finds less than a quarter of the air at 13 psi.
    Source: AS_NZS_2885_5, p/V plot; POCKET_96, fit. Check: published/test_air.py.
    """
    pressures = [amount(p, "psi") for p in gauges]
    added = [amount(v, "mL") for v in volumes]
    outside, r = amount(atmosphere, "psi"), amount(graduation, "psi")
    lowest = 0.0 if start is None else max(0.0, amount(start, "psi"))
    if len(pressures) != len(added) or len(set(pressures)) < 2 or min(pressures) <= lowest:
        raise ValueError(
            f"{len(pressures)} pressures and {len(added)} volumes; expected a volume for each of "
            "two or more different pressures above that at the start"
        )
    shares = [p / (p + outside) - lowest / (lowest + outside) for p in pressures]
    rises = [p - lowest for p in pressures]
    pp, ss = sum(p * p for p in rises), sum(s * s for s in shares)
    ps = sum(p * s for p, s in zip(rises, shares, strict=True))
    pv = sum(p * v for p, v in zip(rises, added, strict=True))
    sv = sum(s * v for s, v in zip(shares, added, strict=True))
    determinant = pp * ss - ps * ps
    linear, air = (pv * ss - sv * ps) / determinant, (sv * pp - pv * ps) / determinant
    residuals = [v - linear * p - air * s for p, s, v in zip(rises, shares, added, strict=True)]
    spread = _spread(residuals, added, rises, r)
    linear_error, air_error = (spread * math.sqrt(x / determinant) for x in (ss, pp))
    alike = ps / math.sqrt(pp * ss)
    top, put_in = max(pressures), max(added)
    doubt = 2 * max(linear_error * max(rises), air_error * max(shares))
    crosses = preload is not None and min(pressures) < amount(preload, "psi") < top
    return AirFit(
        linear=q(linear, "mL/psi"),
        linear_error=q(linear_error, "mL/psi"),
        free_air=q(air, "mL"),
        air_error=q(air_error, "mL"),
        covariance=q(-(spread**2) * ps / determinant, "mL**2/psi"),
        atmosphere=atmosphere,
        condition=math.sqrt((1 + alike) / (1 - alike)),
        told_apart=len(pressures) > 2 and doubt < put_in / 4,
        bent=crosses or air < -2 * air_error,
    )


def _spread(
    residuals: list[float], added: list[float], pressures: list[float], graduation: float
) -> float:
    """Scatter of the volumes: as found, but never less than the dial's graduation explains."""
    freedom = len(residuals) - 2
    found = math.sqrt(sum(x * x for x in residuals) / freedom) if freedom > 0 else 0.0
    return max(found, max(added) / max(pressures) * graduation / math.sqrt(12))


def _absolute(gauge: Quantity, atmosphere: Quantity) -> tuple[float, float]:
    pressure, outside = amount(gauge, "psi"), amount(atmosphere, "psi")
    if outside <= 0 or pressure + outside <= 0:
        raise ValueError(
            f"gauge {pressure:g} psi at an atmosphere of {outside:g} psi; expected an absolute "
            "pressure above zero"
        )
    return pressure, outside


def _positive(stiffness: Quantity) -> float:
    found = amount(stiffness, "mL/psi")
    if found <= 0:
        raise ValueError(f"stiffness {found:g} mL/psi; expected more than zero")
    return found
