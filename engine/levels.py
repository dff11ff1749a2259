"""What the gauge must show: the demanded pressure carried from its datum to the gauge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from engine.formulas import gauge as gauges
from engine.formulas import water
from engine.joint import Joint
from engine.procedure import Procedure
from engine.rig import Gauge, Supply
from engine.tables.gauges import WORST, accuracy
from engine.units import Quantity, amount, q


class Planned(Protocol):
    """As much of a plan file as the pressures at its gauge hang on."""

    @property
    def joint(self) -> Joint: ...
    @property
    def procedure(self) -> Procedure: ...
    @property
    def supply(self) -> Supply: ...


@dataclass(frozen=True)
class Levels:
    """Gauge pressures at one gauge's height, in psi; none of them holds the gauge's zero."""

    needed: float
    """True pressure that puts the demanded one at the datum: hydrostatics and nothing else."""
    least: float
    """As `needed`, but never below the demanded figure while the gauge stands above the datum."""
    guard: float
    """To be added where the rule is guarded; 0 where it is simple."""
    cap: float
    """As with the gauge's line bled, be it or not: it is the lower of the two, and stays one figure
    from the plan to the end of the test."""
    uncertainty: float
    """Standard uncertainty of a reading: the gauge's limit of error, and its graduation."""
    graduation: float
    scale_ends: float
    """Top of the scale."""
    height: float
    """Of the water surface that the gauge feels, in inches above the joint's centre."""

    @property
    def good_from(self) -> float:
        """A reading less its zero is good from here on."""
        return self.least + self.guard

    def mark_to_read(self, zero: float) -> float:
        """The lowest mark of the dial that is good, the gauge's zero allowed for."""
        wanted = self.good_from + zero
        marks = -(-(wanted - 1e-9) // self.graduation)
        return round(marks * self.graduation, 9)

    def mark_not_to_pass(self, zero: float) -> float:
        """The highest mark that the dial has and that is not above the cap."""
        most = min(self.cap + zero, self.scale_ends)
        return round((most + 1e-9) // self.graduation * self.graduation, 9)


def water_temperature(plan: Planned) -> Quantity:
    """Of the supply; 20 degC where it is not known."""
    known = plan.supply.temperature
    return q(20, "degC") if known is None else known


def water_weight(plan: Planned) -> float:
    """Psi for each inch of standing water."""
    return amount(water.specific_weight(water_temperature(plan)), "psi/in")


def datum_height(plan: Planned, gauge: Gauge) -> float:
    """Inches above the joint's centre at which the demanded pressure applies."""
    crown = amount(plan.joint.crown, "in")
    return {
        "crown": crown,
        "springline": 0.0,
        "invert": -crown,
        "gauge": gauge_height(plan, gauge, bled=True),
    }[plan.procedure.datum]


def vent_height(joint: Joint) -> float:
    """Inches above the joint's centre of a vent at the very top."""
    return amount(joint.crown, "in")


def gauge_height(plan: Planned, gauge: Gauge, bled: bool) -> float:
    """Inches above the joint's centre at which the gauge feels the water.

    A column of water from the port up to the gauge is there only once its line was bled; else,
    and where the height is not known, the port is where the pressure is felt.
    """
    port = vent_height(plan.joint)
    if gauge.height is None or (not bled and amount(gauge.height, "in") > port):
        return port
    return amount(gauge.height, "in")


def error_limit(gauge: Gauge, pressure: float) -> float:
    """The largest error, in psi, that the gauge may have at a pressure in psi.

    A gauge of unknown accuracy is taken for the worst grade; off the scale, the end of it counts.
    """
    low, high = (amount(end, "psi") for end in gauge.span)
    on_scale = min(max(pressure - low, 0.0), high - low)
    grade = accuracy(gauge.accuracy) if gauge.accuracy else WORST
    shares = (q(p, "percent") for p in grade[1:4])
    return amount(gauges.error_limit(q(high - low, "psi"), q(on_scale, "psi"), *shares), "psi")


def furthest_zero(gauge: Gauge) -> float:
    """How far off zero, in psi, a gauge may stand without pressure and still be believed.

    Its limit of error there and three graduations, which is a house rule: what stands farther off
    has been hurt, and taking its zero off every reading makes up for it no more.
    """
    return error_limit(gauge, 0.0) + 3 * amount(gauge.graduation, "psi")


def _guard(uncertainty: float) -> float:
    """So far above the limit that the true pressure is there with 95 %."""
    return amount(gauges.guard_band(q(uncertainty, "psi"), q(95, "percent")), "psi")


def levels(plan: Planned, gauge: Gauge, bled: bool) -> Levels:
    procedure, weight = plan.procedure, water_weight(plan)
    height = gauge_height(plan, gauge, bled)
    datum = datum_height(plan, gauge)
    column = (datum - height) * weight
    demanded = amount(procedure.pressure, "psi")
    needed = demanded + column
    least = max(needed, demanded) if procedure.floor and column < 0 else needed
    graduation = amount(gauge.graduation, "psi")
    limit = error_limit(gauge, max(needed, 0.0))
    uncertainty = amount(gauges.level_uncertainty(q(limit, "psi"), gauge.graduation), "psi")
    return Levels(
        needed=needed,
        least=least,
        guard=_guard(uncertainty) if procedure.rule == "guarded" else 0.0,
        cap=amount(procedure.limit, "psi")
        + (datum - gauge_height(plan, gauge, bled=True)) * weight,
        uncertainty=uncertainty,
        graduation=graduation,
        scale_ends=amount(gauge.span[1], "psi"),
        height=height,
    )
