"""Remarks on a plan in words: doubts, cautions, refusals, cures."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from engine.plan.doubts import Doubt
from engine.plan.model import Part, Plan, Remark
from engine.plan.warnings import Caution, Refusal
from engine.present.figures import figure
from engine.present.quantities import System

PARTS: Final[dict[Part, str]] = {
    "rod": "rods",
    "beam": "beams",
    "washer": "washers",
    "frame": "rated frame",
}

DOUBTS: Final[dict[Doubt, str]] = {
    "authority": "who demands it, in which document and clause: NOT STATED",
    "unconfirmed": "the demand is recalled and was not held against its document",
    "cap_assumed": "no cap given: {0} at the datum is taken (house rule, {1} over the demand)",
    "lines_assumed": "seal lines assumed: mid-wall and a gap of {0}; the restraint is worked "
    "out with them at the outside face; measure them",
    "lines_bound": "seal lines not known: the wall as far as they could reach is taken; measure "
    "them, for thrust depends on them more than on anything",
    "lines_crossed": "the inner seal line was found outside the outer one, which cannot be: the "
    "whole wall is taken; measure both again",
    "closes": "thrust draws the joint together only if the spigot holds the primary and the bell "
    "the secondary; held otherwise it pushes as hard apart",
    "depth_assumed": "depth of the water in the pocket not given: taken as the gap between the "
    "seal lines",
    "primary_held": "whether a groove or a step holds the primary is not known: pressure from "
    "outside pushes it off a step",
    "width_unknown": "pocket width not known: measure it with the sections apart",
    "temperature_unknown": "water temperature not known: {0} taken",
    "gauge_height": "gauge height not known: taken at the top port; measure it when it hangs",
    "accuracy_unknown": "gauge accuracy not known: taken for grade {name}, the worst",
    "accuracy_stated": "gauge accuracy {name} as stated in the plan, by no grade of a standard",
    "from_memory": "{name}: from memory; look it up before relying on it",
    "no_due_date": "the plan does not say until when the gauge is in calibration: read its sticker",
    "no_day": "in calibration or not: depends on the day of the test",
    "relief_height": "height of the relief valve not known: taken at the crown, where the highest "
    "that can occur is most; at the invert it sees {0} more, and lifts so much sooner",
    "relief_tolerance": "tolerance of the relief valve taken as {0} (house rule)",
    "accumulation": "accumulation of the relief valve, {0} or a tenth of its setting: from memory",
    "supply_unknown": "neither relief setting nor supply pressure known: nobody knows what the rig "
    "will see",
    "supply_height": "supply pressure taken as at the gauge",
    "rod_unknown": "thread of the rods not known: measure diameter and pitch",
    "unmarked": "rods without a mark: taken for A307 at {0} of its strength (house rule)",
    "nut_factor": "torque that draws the rods up: of a thread plain and dry, and good to 30 % at "
    "best",
    "rod_length": "length of the rods not known: their stretch is left out",
    "beam_unknown": "beams not known: measure depth, flange and web",
    "beam_measured": "beam by measure: worked out as {name}, the strongest that is no larger",
    "beam_steel": "steel of {name} taken for A36 at 0.60 of yield: an older form, from memory",
    "span_from_rods": "span of the beams not given: the widest the rods stand apart is taken",
    "species_unknown": "timber not known: the lowest of every species and grade is taken, from "
    "memory",
    "small_timber": "{name} is smaller than 5x5: the values of posts and timbers are not its own",
    "wet_service": "factor of wet service on bearing: from memory",
    "washer_unknown": "washers on the timber not known, or no larger than their hole",
    "washer_on_steel": "washers bear on steel: their bending is not worked out",
    "astride": "two timbers side by side: the gap is taken as wide as the rod's hole",
    "rated_by": "who rated the frame, and when: not stated",
    "rated_whole": "the frame is taken by its rating alone: how it shares the thrust and how far "
    "it gives is not worked out",
    "no_flow": "flow of the supply not known: bucket and watch",
    "no_ramp": "no limit on the rate of rise is given",
    "stiffness_unknown": "what one unit is worth: not known before the pocket is",
    "air_assumed": "{0} of the pocket assumed to be trapped air: the stiffness taken in the vent "
    "stage says what it is",
    "drop_size": "twenty drops to the millilitre; drops differ by a factor of five",
    "growth": "expansion of concrete and steel: from memory; everything taken at one temperature",
    "spring_unknown": "how far the restraint gives is not known and left out: the pocket may be "
    "softer",
    "spring_partial": "bending of the beams is left out of the stiffness, for where the wall bears "
    "on them was not said: the pocket may be softer",
    "two_slopes": "rods stretch only once the thrust passes what was drawn up: two slopes, and "
    "below that the pocket is stiffer",
    "gasket_left_out": "how far the gaskets give is left out: measure it with the stiffness",
    "packing_left_out": "packing between frame and wall is left out: it gives, and it creeps",
    "section_length": "length of the sections not known: how far the far end stands out is not "
    "worked out",
    "slope_limit": "12 500/DN, at most 50: from memory",
    "slope_unknown": "no limit on the angle is known for boxes",
    "bond": "{0} of adhesive all round the nipple: common practice",
}

CAUTIONS: Final[dict[Caution, str]] = {
    "narrow_window": "Between {0} and {1} the dial leaves less than two graduations of {2}: a "
    "finer gauge, or a higher cap, makes it possible to hold.",
    "needle_valve": "As open as for filling, it is at the target in {0}: no ball valve is turned "
    "that well. Needle valve or hand pump.",
    "needle_valve_ramp": "As open as for filling, it is at the target in {0}: no ball valve is "
    "turned that well. Needle valve or hand pump, {1} at the most.",
    "needle_valve_flow": "No ball valve keeps the flow below {0}: needle valve or hand pump.",
    "relief_on_supply": "The relief valve is on the supply's side: with the inlet shut it protects "
    "nothing.",
    "relief_at_set_point": "The relief valve, set at {0}, lifts at {1} at the gauge, and the set "
    "point of {2} is not reached. Set it above {3}.",
    "relief_may_lift": "The relief valve, set at {0}, may lift from {1} at the gauge on, and the "
    "set point is {2}. Above {3} it is clear of that.",
    "relief_tight": "The relief valve, set at {0}, may lift from {1} at the gauge on, and the set "
    "point is {2}. A setting clear of that is more than cap and restraint allow: lift it off "
    "the joint first, or take one of less tolerance.",
    "no_relief": "Nothing limits the supply to the cap. What would: a relief valve on the "
    "pocket's side, a head tank with its water {0} to {1} above the centre, or a hand pump with a "
    "relief valve.",
    "unreached": "The supply gives {0}, and {1} must be shown: it does not reach.",
    "moment_left": "{0} of moment is balanced by no rod: it goes to the joint and its supports. "
    "Spread the rods above and below the centre.",
    "draw_up_over": "Drawn up by {0}, a rod carries more than the thrust brings it ({1}): draw up "
    "crosswise, and count it.",
    "gauge_range": "A gauge to {0} does not suit {1}: 1.5 to 4 times the pressure does.",
    "gauge_end": "The pressure lies outside the middle half of the scale, where the gauge errs "
    "more.",
    "overdue": "The gauge is out of calibration since {name}: what it shows decides nothing.",
    "gauge_above_datum": "The gauge stands above the datum: {0} is to be read though {1} would do, "
    "for a column of water up to it is only there once the line was bled.",
    "closing": "The thrust draws the joint together as the gaskets are held. Look again at who "
    "holds which before the rods are left light.",
    "secondary_back": "Back the secondary gasket all round: at the invert {0} push it out.",
    "primary_on_step": "The primary is held by a step: pressure from outside pushes it off.",
    "from_outside": "Pressure comes from outside the primary and does not by itself show that it "
    "holds pressure from inside.",
    "no_room": "Only {0} between the drilled hole and a gasket: mark the port anew.",
    "shallow": "The pocket is so shallow that it, and not the nipple, holds up the flow: a nipple "
    "that stands proud closes it.",
    "steep": "Opened by {0}, more than the {1} at which such a joint is tried deflected (from "
    "memory).",
    "soffit": "A soffit that is not level hides air: vent both top corners, or the higher one.",
    "hoop": "The bell carries {0} of hoop tension over the pocket: see that its steel is there.",
    "not_worked_out": "Not worked out here: beams buckling sideways, channels twisting, webs "
    "crippling, shear, washers bending. A qualified person has to judge these.",
}

REFUSALS: Final[dict[Refusal, str]] = {
    "restraint": "the {name} would carry {0} of what they may at {1}, the highest pressure that "
    "can occur at the gauge; they hold to {2}",
    "drawn_up": "drawn up as planned, the {name} carry {0} of what they may without any water",
    "cap_over_rig": "the cap, {0} at the gauge, lies above the {1} that the restraint holds",
    "supply_over_cap": "the supply is held back to {0} at the gauge, and the cap there is {1}",
    "gauge_short": "gauge {name} ends at {0} and may see {1}",
    "cap_below_needed": "the cap, {0} at the gauge, lies below the {1} that must be read there",
    "relief_early": "the relief valve, set at {0}, lifts before the gauge shows what is needed: "
    "set it between {1} and {2} where it stands",
    "relief_over_cap": "the relief valve, set at {0}, lets the gauge see {1}, and the cap there is "
    "{2}: set it between {3} and {4} where it stands",
    "relief_unfit": "the relief valve, set at {0}, suits no better at any other setting: where it "
    "stands it needs {1} to let the needed pressure come up, and cap and restraint allow {2}; "
    "change the cap, the restraint, or where it stands",
}

CURES: Final[dict[str, str]] = {
    "relief": "set the relief valve at {0} or less",
    "fit_relief": "fit a relief valve set at {0} or less",
    "rods": "{0} rods, spread alike, each pair with its beam",
    "rod": "rods {name}",
    "beam": "beams {name}",
    "washer": "washers of {0} or more",
    "frame": "a frame rated for {0} or more",
}
_ALONE: Final = ("relief", "fit_relief", "rods", "frame")
"""Each of these cures every part; the others the one part they are about."""


_RESTRAINT: Final = ("restraint", "drawn_up")

HEADS: Final[dict[Refusal, str]] = {
    "restraint": "{name} at {0}: hold to {2}, may see {1}",
    "drawn_up": "{name} at {0} by being drawn up alone",
    "cap_over_rig": "cap {0} at the gauge, restraint holds to {1}",
    "supply_over_cap": "supply gives {0} at the gauge, the cap is {1}",
    "gauge_short": "gauge {name} ends at {0}, may see {1}",
    "cap_below_needed": "cap {0} at the gauge, {1} must be read there",
    "relief_early": "relief valve at {0}: set it between {1} and {2}",
    "relief_over_cap": "relief valve at {0}: set it between {3} and {4}",
    "relief_unfit": "relief valve at {0}: needs {1}, may have {2} at the most",
}
"""The same in a few words, to stand in one line."""


def doubt(remark: Remark, system: System) -> str:
    return _filled(DOUBTS[remark.code], remark, system)  # type: ignore[index]


def caution(remark: Remark, system: System) -> str:
    return _filled(CAUTIONS[remark.code], remark, system)  # type: ignore[index]


def refusal(remark: Remark, worked: Plan, system: System) -> str:
    """Why not as planned; of the restraint, with what would cure it."""
    part = PARTS[worked.restraint.governs or "rod"]
    text = _filled(REFUSALS[remark.code], _of(remark, part), system)  # type: ignore[index]
    if remark.code not in _RESTRAINT:
        return text
    return f"{text}. {cures(worked, system)}".rstrip(". ")


def head(remark: Remark, worked: Plan, system: System) -> str:
    part = PARTS[worked.restraint.governs or "rod"]
    return _filled(HEADS[remark.code], _of(remark, part), system)  # type: ignore[index]


def _of(remark: Remark, part: str) -> Remark:
    """The restraint's are about the part that governs; the others name what they are about."""
    return replace(remark, name=part) if remark.code in _RESTRAINT else remark


def cures(worked: Plan, system: System) -> str:
    """What would make the restraint hold, in one sentence; empty where nothing is known to."""
    every = [c for c in worked.restraint.cures if c.code in _ALONE]
    single = [c for c in worked.restraint.cures if c.code not in _ALONE]
    ways = [_filled(CURES[c.code], c, system) for c in every]
    if single:
        ways.append(" and ".join(_filled(CURES[c.code], c, system) for c in single))
    return f"Cure: {'; or '.join(ways)}" if ways else ""


def _filled(text: str, remark: Remark, system: System) -> str:
    return text.format(*(figure(v, system) for v in remark.values), name=remark.name)
