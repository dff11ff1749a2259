"""The six stages and the checks of each, as data; limits without a source are house rules."""

from __future__ import annotations

from typing import Final

from engine.checks import Check
from engine.planfile import PlanFile
from engine.units import q

CHECKS: Final = (
    # --- prepare --------------------------------------------------------------------------------
    Check(id="demand", stage="prepare", asks="text", stands="product",
          do="Read the demand: document, edition, clause, and who ordered the test"),
    Check(id="marks", stage="prepare", asks="text", stands="specimen",
          do="Read the marks off both sections: spigot / bell"),
    Check(id="faces", stage="prepare", stands="specimen",
          do="See that the sealing faces are sound: no spall, crack or void"),
    Check(id="sizes", stage="prepare", stands="specimen",
          do="Measure the joint with the sections apart, against the plan"),
    Check(id="inner_seal", stage="prepare", kind="measure", asks="length", stands="specimen",
          field="joint.inner_seal", only=("lines_unknown",),
          do="Measure the inner seal line: inside face out to where the primary seals"),
    Check(id="outer_seal", stage="prepare", kind="measure", asks="length", stands="specimen",
          field="joint.outer_seal", only=("lines_unknown",),
          do="Measure the outer seal line: inside face out to where the secondary seals"),
    Check(id="pocket_width", stage="prepare", kind="measure", asks="length", stands="specimen",
          field="joint.pocket_width", only=("width_unknown",),
          do="Measure the pocket's width along the axis, gasket to gasket"),
    Check(id="warmth", stage="prepare", kind="measure", asks="temperature",
          at_least=q(4, "degC"), at_most=q(60, "degC"),
          do="Find the sections' lowest temperature in the last 24 h"),
    Check(id="gauge_fit", stage="prepare", kind="compute", rule="gauge_fit",
          do="Gauge suits the pressure: 1.5 to 4 times it, and fine enough"),
    Check(id="gauge_in_date", stage="prepare", kind="compute", rule="gauge_in_date",
          asks="date", field="gauge.calibration_due",
          do="Gauge in calibration on this day, by its date"),
    Check(id="gauge_survives", stage="prepare", kind="compute", rule="gauge_survives",
          rank="safety",
          do="Gauge survives, and can show, the highest pressure that can occur"),
    Check(id="restraint", stage="prepare", kind="compute", rule="restraint_enough",
          rank="safety", caution="move", asks="voucher",
          do="Restraint holds at the highest pressure that can occur"),
    Check(id="vent_top", stage="prepare", kind="measure", asks="length", only=("circle",),
          at_most=q(0.5, "in"), stands="specimen",
          do="Mark the vent at the very top: how far off, along the wall"),
    Check(id="vent_corner", stage="prepare", only=("box",), stands="specimen",
          do="Mark a vent in each top corner, or in the corner that will stand highest"),
    Check(id="port_places", stage="prepare", stands="specimen",
          do="Ports between the seal lines and clear of the reinforcement"),
    Check(id="ports_fit", stage="prepare", kind="compute", rule="ports_fit", stands="specimen",
          do="Drill and nipple fit the room between the seal lines"),
    Check(id="drilled", stage="prepare", caution="silica", stands="specimen",
          do="Drill the ports from inside, slow where the bit breaks through"),
    Check(id="bonded", stage="prepare", stands="specimen",
          do="Bond the nipples flush, or up to 1/16 in short"),
    Check(id="bond_cured", stage="prepare", kind="wait", wait="bond", stands="specimen",
          do="Let the bond cure"),
    Check(id="bores_open", stage="prepare", stands="specimen",
          do="Prove both bores open: blow through each"),
    # --- seal -----------------------------------------------------------------------------------
    Check(id="secondary", stage="seal",
          do="Seat the secondary gasket and even out its stretch"),
    Check(id="adhesive", stage="seal", kind="wait", wait="adhesive", only=("box",),
          do="Let the gasket adhesive set"),
    Check(id="primary", stage="seal", asks="text",
          do="Seat the primary gasket, even out its stretch; note its lot"),
    Check(id="haunch_hold", stage="seal", kind="wait", wait="haunch_hold", only=("box",),
          do="Hold up the gasket at the soffit until it stays"),
    Check(id="lubricant", stage="seal", asks="text",
          do="Lubricate as its maker says; note which"),
    Check(id="supports", stage="seal", rank="safety", caution="lifting",
          do="Each section on two bunks of its own, chocked; no weight on the joint"),
    Check(id="bearing", stage="seal", rank="safety",
          do="End frames bear on full wall through timber, clear of nose and lip"),
    Check(id="homed", stage="seal", caution="lifting",
          do="Home the sections level and in line"),
    Check(id="soffit_level", stage="seal", kind="measure", asks="length", only=("box",),
          at_least=q(0, "in"),
          do="Level the soffit: vent corner higher than the other by"),
    Check(id="feeler", stage="seal", asks="positions",
          do="Feel for the primary gasket at 12, 3, 6 and 9: is it in its place"),
    Check(id="ports_clear", stage="seal",
          do="See that neither gasket sits on a port"),
    Check(id="spacers", stage="seal", only=("deflected",),
          do="Set the spacers on the open side before the rods are drawn"),
    Check(id="restraint_on", stage="seal", kind="measure", asks="count", rank="safety",
          caution="tighten", at_least=q(0, "count"),
          do="Draw the rods up evenly, crosswise: turns past snug, each nut"),
    Check(id="openings", stage="seal", kind="compute", rule="openings",
          do="Measure the opening at four clock positions or more"),
    Check(id="backed", stage="seal", only=("deflected",),
          do="Back up the secondary gasket on the open side"),
    Check(id="fittings", stage="seal",
          do="Valves, tee and gauge on; cock open"),
    Check(id="relief_place", stage="seal", rank="safety", only=("relief",),
          do="Relief valve on the pocket's side, with no valve in between"),
    Check(id="vent_hose", stage="seal",
          do="Lead the vent hose clear of the joint, so that its water is no leak"),
    Check(id="gauge_height", stage="seal", kind="measure", asks="length", field="gauge.height",
          do="Measure the gauge's height above the joint's centre"),
    Check(id="gauge_zeroed", stage="seal", kind="compute", rule="gauge_zeroed",
          do="Read the gauge with no pressure on it"),
    # --- fill -----------------------------------------------------------------------------------
    Check(id="clear", stage="fill", rank="safety", caution="line_of_fire",
          do="People clear of both ends and of the line of the rods"),
    Check(id="relief_lifts", stage="fill", kind="measure", asks="pressure", rank="safety",
          only=("relief",), field="supply.relief", rule="relief_least",
          do="Lift the relief valve today, off the joint: it lifts at"),
    Check(id="supply_limited", stage="fill", kind="compute", rule="supply_limited",
          rank="safety", caution="move",
          do="Supply regulated or relieved at or below the cap"),
    Check(id="valves_open", stage="fill", kind="compute", rule="valves_open", caution="air",
          do="Open the vent, then the inlet, slow"),
    Check(id="full", stage="fill", caution="air",
          do="Fill until water comes from the vent"),
    # --- vent -----------------------------------------------------------------------------------
    Check(id="soak", stage="vent", kind="wait", wait="soak",
          do="Let the concrete soak, full and vented"),
    Check(id="vent_flow", stage="vent", kind="wait", wait="vent_flow", caution="air",
          do="Flow from the vent steady and free of bubbles"),
    Check(id="through", stage="vent", kind="measure", asks="volume", rule="pocket_volume",
          do="Catch what comes out of the vent: at least one pocket volume"),
    Check(id="line_bled", stage="vent",
          do="Bleed the line up to the gauge until it gives only water"),
    Check(id="wiped", stage="vent",
          do="Look all round inside and wipe dry, before there is pressure"),
    Check(id="inlet_first", stage="vent", kind="compute", rule="inlet_first",
          do="Close the inlet, before the vent"),
    Check(id="vent_shut", stage="vent", kind="compute", rule="vent_shut",
          do="Close the vent"),
    Check(id="burp_read", stage="vent", kind="compute", rule="burp_read",
          do="Raise to about 5 psi, close the inlet again, read the gauge"),
    Check(id="burp", stage="vent", caution="air", asks="air", rule="burp",
          do="Crack the vent: air, or only water"),
    Check(id="stiffness", stage="vent", kind="compute", rule="stiffness_taken", rank="advice",
          do="Take the stiffness: measured volumes in, pressure after each"),
    # --- hold -----------------------------------------------------------------------------------
    Check(id="raised", stage="hold", kind="compute", rule="raised", caution="move",
          do="Raise to the pressure needed, never above the cap"),
    Check(id="inlet_shut", stage="hold", kind="compute", rule="inlet_shut_again",
          do="Close the inlet"),
    Check(id="ramp", stage="hold", kind="measure", asks="time", rule="ramp_time",
          do="Time from closed vent to target"),
    Check(id="needle_rose", stage="hold", kind="compute", rule="needle_rose",
          do="Needle answered on the way up: two readings, apart"),
    Check(id="settle", stage="hold", kind="wait", wait="settle",
          do="Let it settle at pressure, topped up as needed"),
    Check(id="openings_held", stage="hold", kind="compute", rule="openings_held", rank="advice",
          do="Measure the openings again at pressure"),
    Check(id="credit", stage="hold", kind="compute", rule="credit_complete",
          do="Hold until the credit is complete"),
    Check(id="looked_during", stage="hold", kind="compute", rule="looked_during",
          caution="confined",
          do="Look along the primary gasket during the hold"),
    Check(id="looked_at_end", stage="hold", kind="compute", rule="looked_at_end",
          do="Look all round at the end, under pressure"),
    # --- verdict --------------------------------------------------------------------------------
    Check(id="needle_fell", stage="verdict", kind="compute", rule="needle_fell",
          caution="release",
          do="Bleed to about half and read: the needle answers on the way down"),
    Check(id="released", stage="verdict", kind="compute", rule="released", rank="safety",
          caution="release",
          do="Release: gauge at its zero AND vent open without flow"),
    Check(id="drained", stage="verdict", rank="safety",
          do="Drain by the inlet with the vent open; in frost blow it out"),
    Check(id="zero_again", stage="verdict", kind="compute", rule="zero_again",
          do="Read the gauge's zero again"),
    Check(id="peak_inspected", stage="verdict", kind="compute", rule="within_cap",
          do="Cap kept; if not: nuts and concrete looked at after release"),
    Check(id="openings_after", stage="verdict", kind="compute", rule="openings_after",
          rank="advice",
          do="Measure the openings again after release"),
    Check(id="no_crack", stage="verdict",
          do="See that there is no crack at the joint"),
    Check(id="announced", stage="verdict", kind="compute", rule="announced",
          do="Review the verdict and announce it"),
    Check(id="signed", stage="verdict", kind="compute", rule="signed",
          do="Sign; the witness too, where there is one"),
)  # fmt: skip
"""In the order in which they are done."""


_SI: Final = {"about 5 psi": "about 35 kPa", "1/16 in": "1.5 mm"}
"""What a check says in psi or inches, and as it is said where kPa and mm are shown."""


def _in_si(check: Check) -> Check:
    do = check.do
    for us, si in _SI.items():
        do = do.replace(us, si)
    return check if do == check.do else check.model_copy(update={"do": do})


def checks_for(plan: PlanFile) -> tuple[Check, ...]:
    """The checks that apply to a plan, the plant's own after ours in their stage."""
    true = conditions(plan)
    ours = CHECKS if plan.units == "us" else map(_in_si, CHECKS)
    applying = [c for c in (*ours, *plan.check) if true.issuperset(c.only)]
    order = {stage: n for n, stage in enumerate(("prepare", "seal", "fill", "vent", "hold"))}
    return tuple(sorted(applying, key=lambda c: order.get(c.stage, len(order))))


def conditions(plan: PlanFile) -> set[str]:
    """What a check's `only` may ask for."""
    joint = plan.joint
    true: set[str] = {joint.shape, plan.procedure.alignment}
    if not joint.lines_known:
        true.add("lines_unknown")
    if joint.pocket_width is None:
        true.add("width_unknown")
    if plan.supply.relief is not None:
        true.add("relief")
    return true
