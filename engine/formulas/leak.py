"""How much water small openings pass, how a pocket's pressure falls, and what drinks without
leaking."""

from __future__ import annotations

import math
from typing import Final

from engine.formulas.water import density, viscosity
from engine.units import Quantity, amount, q

LAMINAR: Final = 2000.0
DROP: Final = q(0.05, "mL")
"""Twenty to the millilitre, as in pharmacy; household practice counts drops of up to 0.25 mL.
Weigh a hundred to know."""
SHARP_EDGE: Final = 0.61


def orifice_flow(
    diameter: Quantity, pressure: Quantity, temperature: Quantity, coefficient: float = SHARP_EDGE
) -> Quantity:
    """Flow through a sharp-edged round hole.

        Q = Cd A sqrt(2 P / rho)

    diameter  of the hole, A = pi d^2 / 4 [mm]     pressure  across it, P [psi]
    temperature  of the water [degC]     coefficient  Cd [1]     returns  [mL/min]
    Valid from 0 to 40 degC for P of zero or more; ValueError else.
    Source: HYDRAULICS, orifice. Check: published/test_leak.py.
    """
    area = math.pi * amount(diameter, "m") ** 2 / 4
    speed = math.sqrt(2 * _across(pressure) / amount(density(temperature), "kg/m**3"))
    return q(coefficient * area * speed, "m**3/s").to("mL/min")


def capillary_flow(
    diameter: Quantity, length: Quantity, pressure: Quantity, temperature: Quantity
) -> Quantity:
    """Flow through a fine round passage.

        Q = pi r^4 P / (8 mu L)

    diameter  2 r [mm]     length  L [mm]     pressure  across it, P [psi]
    temperature  of the water [degC]     returns  [mL/min]
    Valid for smooth flow, Reynolds number under 2000, from 0 to 40 degC; ValueError else.
    Source: CIVIL_HANDBOOK, eq. 6-11. Check: published/test_leak.py.
    """
    resistance = 8 * amount(viscosity(temperature), "Pa*s") * amount(length, "m")
    flow = q(math.pi * (amount(diameter, "m") / 2) ** 4 * _across(pressure) / resistance, "m**3/s")
    if (found := reynolds(flow, diameter, temperature)) >= LAMINAR:
        raise ValueError(f"Reynolds number {found:.0f}; expected less than {LAMINAR:g}")
    return flow.to("mL/min")


def reynolds(flow: Quantity, diameter: Quantity, temperature: Quantity) -> float:
    """Reynolds number of a flow in a round passage.

        Re = 4 rho Q / (pi mu d)

    flow  Q [mL/min]     diameter  d [mm]     temperature  of the water [degC]
    returns  a ratio [1]
    Valid from 0 to 40 degC; ValueError outside.
    Source: CIVIL_HANDBOOK, range of eq. 6-11. Check: published/test_leak.py.
    """
    inertia = 4 * amount(density(temperature), "kg/m**3") * amount(flow, "m**3/s")
    return inertia / (math.pi * amount(viscosity(temperature), "Pa*s") * amount(diameter, "m"))


def slot_flow(
    opening: Quantity, width: Quantity, length: Quantity, pressure: Quantity, temperature: Quantity
) -> Quantity:
    """Flow through a slot between two flat faces.

        Q = w h^3 P / (12 mu L)

    opening  h [mm]     width  across the flow, w [mm]     length  along it, L [mm]
    pressure  across it, P [psi]     temperature  of the water [degC]     returns  [mL/min]
    Valid for smooth flow in a slot far wider than open, from 0 to 40 degC; ValueError else.
    Source: HYDRAULICS, flow between plates. Check: published/test_leak.py.
    """
    gap = amount(width, "m") * amount(opening, "m") ** 3
    resistance = 12 * amount(viscosity(temperature), "Pa*s") * amount(length, "m")
    return q(gap * _across(pressure) / resistance, "m**3/s").to("mL/min")


def after_linear_leak(
    start: Quantity, flow: Quantity, stiffness: Quantity, time: Quantity
) -> Quantity:
    """Pressure left after a leak whose flow keeps step with the pressure.

        P = P0 exp(-t / tau)     with tau = C P0 / q0

    start  gauge pressure, P0 [psi]     flow  at the start, q0 [mL/min]
    stiffness  constant, C [mL/psi]     time  t [min]     returns  gauge [psi]
    Valid for a constant stiffness; ValueError for a start or a stiffness of zero or less.
    Source: DECAY, linear leak. Check: published/test_leak.py.
    """
    store = _stored(start, stiffness)
    share = amount(flow, "mL/min") * amount(time, "min") / store
    return q(amount(start, "psi") * math.exp(-share), "psi")


def after_orifice_leak(
    start: Quantity, flow: Quantity, stiffness: Quantity, time: Quantity
) -> Quantity:
    """Pressure left after a leak through a sharp-edged hole.

        sqrt(P) = sqrt(P0) - k t / (2 C)     with k = q0 / sqrt(P0)

    start  gauge pressure, P0 [psi]     flow  at the start, q0 [mL/min]
    stiffness  constant, C [mL/psi]     time  t [min]     returns  gauge, zero once empty [psi]
    Valid for a constant stiffness; ValueError for a start or a stiffness of zero or less.
    Source: DECAY, orifice leak. Check: published/test_leak.py.
    """
    share = amount(flow, "mL/min") * amount(time, "min") / (2 * _stored(start, stiffness))
    return q(amount(start, "psi") * max(0.0, 1 - share) ** 2, "psi")


def time_to_empty(start: Quantity, flow: Quantity, stiffness: Quantity) -> Quantity:
    """Time until an orifice leak has let all pressure go.

        t = 2 C P0 / q0

    start  gauge pressure, P0 [psi]     flow  at the start, q0 [mL/min]
    stiffness  constant, C [mL/psi]     returns  [min]
    Valid for a constant stiffness; ValueError for anything of zero or less.
    Source: DECAY, orifice leak. Check: published/test_leak.py.
    """
    if amount(flow, "mL/min") <= 0:
        raise ValueError(f"flow of {amount(flow, 'mL/min'):g} mL/min; expected more than zero")
    return q(2 * _stored(start, stiffness) / amount(flow, "mL/min"), "min")


def creep_volume(
    area: Quantity, movement: Quantity, per_decade: Quantity, start: Quantity, end: Quantity
) -> Quantity:
    """Volume the pocket gains as timber, washers or rubber creep, between two times under load.

        V = A x1 m log10(t2 / t1)

    area  that the thrust acts on, A [in**2]     movement  at time t1, x1 [in]
    per_decade  share of it added for each tenfold time, m [percent]     start  t1 [min]
    end  t2 [min]     returns  [mL]
    Valid for times above zero; ValueError else. How much timber creeps is known roughly at best.
    Source: CREEP, log time; ISO_3384 for rubber. Check: published/test_leak.py.
    """
    first, last = amount(start, "min"), amount(end, "min")
    if first <= 0 or last <= 0:
        raise ValueError(f"times {first:g} and {last:g} min; expected more than zero")
    share = amount(per_decade, "percent") / 100 * math.log10(last / first)
    return q(amount(area, "in**2") * amount(movement, "in") * share, "in**3").to("mL")


def absorbed(sorptivity: Quantity, area: Quantity, start: Quantity, end: Quantity) -> Quantity:
    """Volume that concrete drinks between two times since it was wetted.

        V = S A (sqrt(t2) - sqrt(t1))

    sorptivity  S [mm/min**0.5]     area  of wet concrete, A [m**2]     start  t1 [min]
    end  t2 [min]     returns  [mL]
    Valid for times of zero or more; ValueError else. S of concrete runs from 0.05 to 0.2.
    Source: CREEP, root time. Check: published/test_leak.py.
    """
    first, last = amount(start, "min"), amount(end, "min")
    if first < 0 or last < 0:
        raise ValueError(f"times {first:g} and {last:g} min; expected zero or more")
    depth = amount(sorptivity, "m/min**0.5") * (math.sqrt(last) - math.sqrt(first))
    return q(depth * amount(area, "m**2"), "m**3").to("mL")


def drops_per_minute(flow: Quantity, drop: Quantity = DROP) -> float:
    """A flow as drops counted.

        n = Q / v

    flow  Q [mL/min]     drop  volume of one, v [mL]     returns  for each minute [1]
    Valid for a drop above zero; ValueError else. Drops differ by a factor of five.
    Source: PHARMACY_DROP, 0.05 mL. Check: published/test_leak.py.
    """
    if amount(drop, "mL") <= 0:
        raise ValueError(f"drop of {amount(drop, 'mL'):g} mL; expected more than zero")
    return amount(flow, "mL/min") / amount(drop, "mL")


def _across(pressure: Quantity) -> float:
    found = amount(pressure, "Pa")
    if found < 0:
        raise ValueError(f"pressure {amount(pressure, 'psi'):g} psi; expected zero or more")
    return found


def _stored(start: Quantity, stiffness: Quantity) -> float:
    """C P0, in mL."""
    pressure, worth = amount(start, "psi"), amount(stiffness, "mL/psi")
    if pressure <= 0 or worth <= 0:
        raise ValueError(
            f"start {pressure:g} psi and stiffness {worth:g} mL/psi; expected more than zero"
        )
    return pressure * worth
