"""What a plan holds: quantities under the names by which they are shown and written to files."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from engine.units import Quantity

Basis = Literal["measured", "drawing", "assumed", "bound"]
"""What the seal lines rest on; `bound`: not known, so the whole wall is taken for the pocket."""
Part = Literal["rod", "beam", "washer", "frame"]


@dataclass(frozen=True)
class Remark:
    """Something to be said of a plan, by its code: which figures it concerns, and with what in it.

    The words are present's.
    """

    code: str
    figures: tuple[str, ...] = ()
    name: str = ""
    values: tuple[Quantity, ...] = ()


@dataclass(frozen=True)
class Pocket:
    """The room between the seal lines; the area is signed, negative where thrust closes."""

    area: Quantity
    inner_perimeter: Quantity
    """Of the inside face."""
    volume: Quantity | None
    gap: Quantity
    second_moment: Quantity
    seal_lines: Basis


@dataclass(frozen=True)
class Pressures:
    """Gauge pressures: at three heights while the demanded one stands at its datum, and at the
    gauge."""

    crown: Quantity
    springline: Quantity
    invert: Quantity
    needed_at_gauge: Quantity
    """Hydrostatics and nothing else: no zero, no guard band, no floor."""
    highest: Quantity | None
    """That can occur, at the gauge."""
    cap_at_gauge: Quantity
    relief_at_gauge: Quantity | None
    """What the gauge shows as the relief valve begins to lift."""
    relief_from: Quantity | None
    """The least it may show then: the valve early by its tolerance, and low where its height is
    not known."""
    relief_least: Quantity | None
    """Setting below which the valve lifts before the needed pressure is there."""
    limit_of_rig: Quantity | None
    """At the gauge: beyond it some part of the restraint carries more than it may."""


@dataclass(frozen=True)
class Thrust:
    """What pushes the sections apart; negative where it draws them together."""

    rule_of_thumb: Quantity
    at_test: Quantity
    at_highest: Quantity | None
    moment: Quantity
    below_centre: Quantity | None


@dataclass(frozen=True)
class Across:
    """What the pocket does across the axis, at the demanded pressure."""

    hoop_tension: Quantity | None
    """In the bell, over the pocket's width, at the springline; of a box there is none."""
    secondary_push: Quantity
    """On each unit of length of the secondary gasket, at the invert, where it is most."""
    spigot_uplift: Quantity | None


@dataclass(frozen=True)
class RodForce:
    x: Quantity
    y: Quantity
    force: Quantity


@dataclass(frozen=True)
class Rod:
    stress_area: Quantity
    demand: Quantity
    """Of the rod pulled most, what is drawn into it included."""
    allowable: Quantity
    use: float


@dataclass(frozen=True)
class Beam:
    load: Quantity
    moment: Quantity
    stress: Quantity
    allowable: Quantity
    use: float
    deflection: Quantity


@dataclass(frozen=True)
class Washer:
    bearing: Quantity
    allowable: Quantity
    use: float


@dataclass(frozen=True)
class Frame:
    """A frame with a rating, in place of rods and beams."""

    rated: Quantity
    use: float


@dataclass(frozen=True)
class Restrained:
    """The restraint at the highest pressure that can occur."""

    thrust: Quantity
    rods: tuple[RodForce, ...]
    rod: Rod | None
    beam: Beam | None
    washer: Washer | None
    frame: Frame | None
    moment_left: Quantity
    """That no rods balance: it goes to the joint and its supports."""
    opening: Quantity | None
    """By which the joint opens, where the most pulled rod stands, beyond what was drawn up."""
    governs: Part | None
    """None, as its use, while some part is not known: that one may be what governs."""
    use: float | None
    enough: bool | None
    """None where something it needs is not known: somebody has to answer for it."""
    unknown: tuple[Part, ...] = ()
    cures: tuple[Remark, ...] = ()


@dataclass(frozen=True)
class Dial:
    """The gauge against what it has to show; marks are marks of its dial, its zero at zero."""

    range_ok: bool
    middle_half: bool
    in_calibration: bool | None
    uncertainty: Quantity
    """Standard, of the pressure that a reading stands for."""
    guarded_reading: Quantity
    """From here on the pressure is there with 95 %."""
    to_read: Quantity
    not_below: Quantity | None
    """None where the scale ends below it, as of the set point."""
    set_point: Quantity | None
    not_above: Quantity


@dataclass(frozen=True)
class Filling:
    time_to_fill: Quantity | None
    time_to_target: Quantity | None
    """From the closed vent, the supply left as open as it was for filling."""
    flow_for_ramp: Quantity | None
    least_time: Quantity | None
    """To the target, at the fastest rise allowed."""


@dataclass(frozen=True)
class OneUnit:
    """What one psi, or 10 kPa, is worth in this pocket at the demanded pressure."""

    of: Quantity
    stiffness: Quantity
    water: Quantity
    air: Quantity
    restraint: Quantity | None
    lost_volume: Quantity
    drops: Quantity
    movement: Quantity | None
    warming: Quantity | None
    """Of water and concrete together; negative where colder water swells."""
    rod_warming: Quantity | None
    """Of the rods alone, that loses one unit: sun on free rods."""


@dataclass(frozen=True)
class OpeningAt:
    clock: float
    wider: Quantity
    """Than at the closed side."""


@dataclass(frozen=True)
class Deflected:
    angle: Quantity
    openings: tuple[OpeningAt, ...]
    spacer: Quantity
    slope: Quantity
    slope_limit: Quantity | None
    far_end: Quantity | None
    """How far the far end of a section stands out of line."""


@dataclass(frozen=True)
class PortFit:
    nipple: str
    schedule: str
    bore: Quantity
    hole: Quantity
    """That takes the nipple and its bond."""
    drill: Quantity
    """The next size that is kept: the hole as it is drilled, of which the room is reckoned."""
    bit: str
    """That size as it is asked for."""
    room: Quantity | None
    """On each side of the hole, before it reaches a gasket."""
    room_opened: Quantity | None
    """The same with the joint opened, where a port stands widest open."""
    throttling: float
    """Below 1 the pocket and not the nipple holds up the flow."""
    vents: int
    fits: bool | None


@dataclass(frozen=True)
class Item:
    """One line of what to bring along."""

    what: str
    count: int = 1
    size: Quantity | None = None
    name: str = ""


@dataclass(frozen=True)
class Plan:
    """Everything that can be worked out before there is water; None where it cannot."""

    pocket: Pocket
    pressure: Pressures
    thrust: Thrust
    across: Across
    restraint: Restrained
    gauge: Dial
    filling: Filling
    one_unit: OneUnit | None
    deflection: Deflected | None
    ports: PortFit
    kit: tuple[Item, ...]
    cautions: tuple[Remark, ...]
    doubts: tuple[Remark, ...]
    refusals: tuple[Remark, ...]
    """Why the test must not be run as planned."""
