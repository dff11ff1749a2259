"""What to bring along for a test as planned."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from engine.formulas import rods
from engine.plan import members
from engine.plan.model import Item, Plan
from engine.planfile import PlanFile
from engine.units import amount, q

NUT_FACTOR: Final = 0.20
"""Of a thread plain and dry; what is drawn up by a torque scatters by 30 %.  Common practice, no
source."""

_TO_FILL: Final = {
    "hose": "supply hose",
    "hand_pump": "hand pump",
    "head_tank": "head tank and hose",
}
_TO_LOOK: Final = {
    "camera": "camera on a pole, with light",
    "mirror": "mirror and light",
    "entry": "light, attendant and the plant's permit",
}


def kit(plan: PlanFile, worked: Plan) -> Iterator[Item]:
    """In the order in which it is used; sizes in the units they were written in."""
    yield from _for_the_ports(worked)
    yield from _for_the_frame(plan)
    yield from _for_the_water(plan, worked)
    yield from _for_looking(plan, worked)


def _for_the_ports(worked: Plan) -> Iterator[Item]:
    fit, count = worked.ports, worked.ports.vents + 1
    yield Item("wet core bit or hammer drill bit", name=fit.bit)
    yield Item("dust mask and water for the bit")
    yield Item("nipple", count, name=f"{fit.nipple} schedule {fit.schedule}")
    yield Item("bonding adhesive for the nipples")
    yield Item("valve for each nipple", count)


def _for_the_frame(plan: PlanFile) -> Iterator[Item]:
    restraint = plan.restraint
    if restraint.rated is not None:
        yield Item("rated frame", size=restraint.rated)
        return
    count = len(restraint.at)
    if restraint.rod is not None:
        yield Item("rod", count, restraint.length, restraint.rod)
        yield Item("nut", 2 * count, name=restraint.rod)
    if restraint.washer is not None:
        yield Item("washer", 2 * count, name=restraint.washer)
    if restraint.beam is not None:
        yield Item("beam", 2 * restraint.beams_per_end, name=restraint.beam)
    yield Item("timber packing between frame and wall")
    yield Item("wrench and chalk to count turns")
    kind, drawn = members.rod_kind(restraint), restraint.draw_up
    if kind is not None and drawn is not None and restraint.is_drawn_up:
        turned = rods.torque(NUT_FACTOR, kind.diameter, drawn)
        yield Item("torque wrench, each nut drawn to about", size=turned)


def _for_the_water(plan: PlanFile, worked: Plan) -> Iterator[Item]:
    supply = plan.supply
    for gauge in plan.gauges:
        yield Item("gauge", size=gauge.span[1], name=gauge.mark)
    yield Item("tee and cock for the gauge", len(plan.gauges))
    if supply.relief is not None:
        yield Item("relief valve", size=supply.relief)
    elif any(r.code in ("supply_over_cap", "restraint") for r in worked.refusals):
        yield Item("relief valve, or a head tank, or a hand pump with one")
    if any(c.code.startswith("needle_valve") for c in worked.cautions):
        yield Item("needle valve for the inlet, or a hand pump")
    yield Item(_TO_FILL[supply.kind])
    yield Item("vent hose, long enough to end clear of the joint")
    if worked.pocket.volume is not None:
        litres = amount(worked.pocket.volume, "L")
        yield Item("bucket of known volume, at least", size=q(round(litres + 0.05, 1), "L"))
    yield Item("measuring jug, watch and thermometer")


def _for_looking(plan: PlanFile, worked: Plan) -> Iterator[Item]:
    procedure = plan.procedure
    yield Item(_TO_LOOK[procedure.look_from])
    yield Item("wipes, chalk, feeler for the gasket, and a gauge for the openings")
    if worked.deflection is not None:
        yield Item("spacer for the open side: the closed side's opening and", 1,
                   worked.deflection.spacer)  # fmt: skip
        yield Item("backing for the secondary gasket, all round and on the open side")
    else:
        yield Item("backing for the secondary gasket, all round")
    if plan.joint.shape == "box":
        yield Item("level for the soffit, and supports for gaskets at the soffit")
