"""How long the pocket takes to fill, and how little flow it bears once the vent is closed."""

from __future__ import annotations

from engine.formulas.air import total_stiffness, volume_in
from engine.units import Quantity, amount, q


def time_to_fill(volume: Quantity, flow: Quantity) -> Quantity:
    """Time to put a volume in.

        t = V / Q

    volume  V [mL]     flow  Q [mL/s]     returns  [s]
    Valid for a steady flow above zero; ValueError else.
    Source: GEOMETRY, volume over flow. Check: published/test_filling.py.
    """
    return q(amount(volume, "mL") / _running(flow), "s")


def time_to_target(
    target: Quantity, linear: Quantity, free_air: Quantity, atmosphere: Quantity, flow: Quantity
) -> Quantity:
    """Time from the closed vent to a pressure, at a steady flow.

        t = V(P) / Q     with V(P) = C P + V0 P / (P + Pa)

    target  gauge pressure, P [psi]     linear  stiffness without the air, C [mL/psi]
    free_air  trapped, at atmospheric pressure, V0 [mL]     atmosphere  absolute, Pa [psi]
    flow  Q [mL/s]     returns  [s]
    Valid for a steady flow above zero; ValueError else.
    Source: POCKET_96, added volume. Check: published/test_filling.py.
    """
    return q(amount(volume_in(target, linear, free_air, atmosphere), "mL") / _running(flow), "s")


def flow_within_ramp(
    ramp: Quantity, target: Quantity, linear: Quantity, free_air: Quantity, atmosphere: Quantity
) -> Quantity:
    """The largest flow that nowhere on the way to the target raises pressure faster than allowed.

        Q = C_min dP/dt     the stiffness is least at the target, where the air is squeezed most

    ramp  the fastest rise allowed, dP/dt [psi/s]     target  gauge pressure [psi]
    linear  stiffness without the air, C [mL/psi]     free_air  trapped, at atmosphere [mL]
    atmosphere  absolute [psi]     returns  [mL/s]
    Valid for a linear stiffness that does not fall on the way.
    Source: POCKET_96, sum of stiffnesses. Check: published/test_filling.py.
    """
    least = total_stiffness(target, linear, free_air, atmosphere)
    return q(amount(least, "mL/psi") * amount(ramp, "psi/s"), "mL/s")


def _running(flow: Quantity) -> float:
    found = amount(flow, "mL/s")
    if found <= 0:
        raise ValueError(f"flow of {found:g} mL/s; expected more than zero")
    return found
