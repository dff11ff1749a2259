"""The figures of a plan as rows of tables, in the order in which the work goes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from engine.plan.model import Beam, Plan, Pressures, Rod, Washer
from engine.planfile import PlanFile
from engine.present.figures import figure, movement, share, step, stress
from engine.present.quantities import System, clock_position, number, quantity
from engine.units import Quantity, amount, q

UNKNOWN = "not known"
_TURNS = q(6, "degC")
"""Where water in concrete swells neither way: told to a degree."""


@dataclass(frozen=True)
class Row:
    """A line of a table: what it is, its figure, and what belongs beside it."""

    what: str
    value: str
    beside: str = ""


@dataclass(frozen=True)
class Table:
    title: str
    rows: tuple[Row, ...]


def tables(plan: PlanFile, worked: Plan) -> tuple[Table, ...]:
    """Every figure there is, in the order in which the work goes."""
    system = plan.units
    made = (
        Table("Demand", tuple(_demand(plan, system))),
        Table("Pocket", tuple(_pocket(worked, system))),
        Table("Pressure (gauge)", tuple(_pressure(plan, worked, system))),
        Table("Thrust", tuple(_thrust(worked, system))),
        Table("Restraint", tuple(_restraint(worked, system))),
        Table("Gauge", tuple(_dial(plan, worked, system))),
        Table("Filling", tuple(_filling(worked, system))),
        Table(f"What {_one(worked, system)} is worth here", tuple(_unit(worked, system))),
        Table("Deflection", tuple(_deflection(plan, worked, system))),
        Table("Ports", tuple(_ports(worked, system))),
    )
    return tuple(table for table in made if table.rows)


def _demand(plan: PlanFile, system: System) -> Iterator[Row]:
    """What the plan asks for, to be read back."""
    asked = plan.procedure
    yield Row("Hold", quantity(asked.hold_time), f"{asked.continuity}, rule {asked.rule}")
    opened = asked.opening
    side = "" if opened is None else f"by {figure(opened, system)} at {asked.open_side:g}"
    yield Row("Alignment", asked.alignment, side)
    gap = f"at most {quantity(asked.longest_gap)} apart"
    yield Row("Readings every", quantity(asked.reading_every), gap)
    stands = "counts at once" if asked.may_stand is None else (
        f"may stand {quantity(asked.may_stand)} to dry")  # fmt: skip
    yield Row("Leakage from", asked.leak_from, f"a drip {stands}")
    waits = plan.waits
    yield Row("Bond cures", quantity(waits.bond), f"soak {quantity(waits.soak)}")
    yield Row("Flow from the vent", quantity(waits.vent_flow), f"settle {quantity(waits.settle)}")


def _known(value: Quantity | None, system: System) -> str:
    return UNKNOWN if value is None else figure(value, system)


def _pocket(worked: Plan, system: System) -> Iterator[Row]:
    pocket = worked.pocket
    lines = {
        "measured": "lines measured",
        "drawing": "lines from the drawing",
        "assumed": "lines ASSUMED",
        "bound": "lines NOT KNOWN: bound",
    }
    yield Row("Area between the seal lines", figure(pocket.area, system), lines[pocket.seal_lines])
    yield Row("Inside perimeter", figure(pocket.inner_perimeter, system))
    volume = pocket.volume
    yield Row(
        "Volume",
        UNKNOWN if volume is None else f"{number(amount(volume, 'L'), 2)} L",
        "" if volume is None else f"{number(amount(volume, 'gal'), 2)} gal",
    )


def _pressure(plan: PlanFile, worked: Plan, system: System) -> Iterator[Row]:
    pressure, known = worked.pressure, worked.restraint.enough
    yield Row("Demanded", figure(plan.procedure.pressure, system), f"at {plan.procedure.datum}")
    for what, value in heights(pressure):
        yield Row(what, figure(value, system), bar(value, pressure))
    yield Row("Needed at the gauge", figure(pressure.needed_at_gauge, system))
    yield Row("Cap at the gauge", figure(pressure.cap_at_gauge, system))
    yield Row(
        "Highest that can occur", _known(pressure.highest, system), _why_highest(plan, system)
    )
    if pressure.relief_least is not None:
        yield Row(
            "Relief valve: at least",
            figure(pressure.relief_least, system),
            "lower, it lifts too early",
        )
    if known is None:
        yield Row("Restraint holds to", UNKNOWN, "before all its parts are")
    elif pressure.limit_of_rig is not None:
        yield Row("Restraint holds to", figure(pressure.limit_of_rig, system), "at the gauge")


def heights(pressure: Pressures) -> tuple[tuple[str, Quantity], ...]:
    """From the top of the joint down."""
    return (
        ("Crown", pressure.crown),
        ("Springline", pressure.springline),
        ("Invert", pressure.invert),
    )


def bar(value: Quantity, pressure: Pressures, cells: int = 24) -> str:
    """A pressure drawn beside the others along the height of the joint."""
    most = max(amount(p, "psi") for _, p in heights(pressure))
    return "#" * round(cells * max(0.0, amount(value, "psi")) / most) if most > 0 else ""


def _why_highest(plan: PlanFile, system: System) -> str:
    relief = plan.supply.relief
    if relief is None:
        return "all the supply can give"
    return f"relief {figure(relief, system)}, late and full open"


def _thrust(worked: Plan, system: System) -> Iterator[Row]:
    thrust = worked.thrust
    yield Row("Rule of thumb", figure(thrust.rule_of_thumb, system), "pressure x gap x perimeter")
    closing = "draws the joint together" if amount(thrust.at_test, "lbf") < 0 else ""
    yield Row("At test", figure(thrust.at_test, system), closing or "with the water column")
    yield Row("At the highest", _known(thrust.at_highest, system))
    below = thrust.below_centre
    yield Row(
        "Moment",
        figure(thrust.moment, system),
        "" if below is None else f"acts {figure(below, system)} below centre",
    )
    across = worked.across
    if across.hoop_tension is not None:
        yield Row("Hoop tension in the bell", figure(across.hoop_tension, system), "at test")
    yield Row("Push on the secondary", figure(across.secondary_push, system), "at the invert")
    if across.spigot_uplift is not None:
        yield Row("Uplift on the spigot", figure(across.spigot_uplift, system), "no alarm")


def _restraint(worked: Plan, system: System) -> Iterator[Row]:
    held = worked.restraint
    for rod in held.rods:
        place = f"{_coordinate(rod.x, system)} / {_coordinate(rod.y, system)}"
        unit = "in" if system == "us" else "mm"
        yield Row(f"Rod at {place} {unit}", figure(rod.force, system))
    if held.frame is not None:
        yield Row("Rated frame", share(held.frame.use), f"rated {figure(held.frame.rated, system)}")
    else:
        yield from _parts(held.rod, held.beam, held.washer, system)
    if amount(held.moment_left, "in*lbf") > 1:
        yield Row("To joint and supports", figure(held.moment_left, system), "no rods balance it")
    if held.opening is not None:
        yield Row("The joint opens by", *movement(held.opening, system))


def _coordinate(value: Quantity, system: System) -> str:
    unit = "in" if system == "us" else "mm"
    return f"{amount(value, unit):+.4g}"


def _parts(
    rod: Rod | None, beam: Beam | None, washer: Washer | None, system: System
) -> Iterator[Row]:
    if rod is None:
        yield Row("Rods", UNKNOWN)
    else:
        yield Row(
            "Rods",
            share(rod.use),
            f"{figure(rod.demand, system)} of {figure(rod.allowable, system)}",
        )
    if beam is None:
        yield Row("Beams", UNKNOWN)
    else:
        yield Row(
            "Beams",
            share(beam.use),
            f"{stress(beam.stress, system)} of {stress(beam.allowable, system)}",
        )
        yield Row("Beams bend by", figure(beam.deflection, system))
    if washer is not None:
        yield Row(
            "Washers on timber",
            share(washer.use),
            f"{stress(washer.bearing, system)} of {stress(washer.allowable, system)}",
        )


def _dial(plan: PlanFile, worked: Plan, system: System) -> Iterator[Row]:
    dial = worked.gauge
    full = figure(plan.gauge.span[1], system)
    yield Row(
        "Range",
        "suits" if dial.range_ok else "DOES NOT SUIT",
        f"to {full}; {'' if dial.middle_half else 'not '}in its middle half",
    )
    dated = {True: "yes", False: "NO", None: "see sticker"}[dial.in_calibration]
    yield Row("In calibration", dated)
    yield Row("A reading is good from", figure(dial.to_read, system), "its zero added")
    if dial.set_point is None or dial.not_below is None:
        yield Row("Set to", "NO MARK", f"that is good: the dial ends at {full}")
    else:
        yield Row("Set to", figure(dial.set_point, system), "a mark of the dial")
        yield Row("Not below", figure(dial.not_below, system), "the lowest mark that is good")
    yield Row("Not above", figure(dial.not_above, system), "the highest mark within the cap")
    yield Row("Uncertainty", figure(dial.uncertainty, system), "standard")
    yield Row("Sure with 95 % from", figure(dial.guarded_reading, system))


def _filling(worked: Plan, system: System) -> Iterator[Row]:
    filling = worked.filling
    yield Row("Time to fill", _known(filling.time_to_fill, system))
    yield Row(
        "Closed vent to target",
        _known(filling.time_to_target, system),
        "if left as open as for filling",
    )
    yield Row("Flow that keeps the ramp", _known(filling.flow_for_ramp, system))
    yield Row("Time to target, at least", _known(filling.least_time, system))


def _one(worked: Plan, system: System) -> str:
    if worked.one_unit is None:
        return "1 psi" if system == "us" else "10 kPa"
    return figure(worked.one_unit.of, system)


def _unit(worked: Plan, system: System) -> Iterator[Row]:
    unit = worked.one_unit
    if unit is None:
        yield Row("Stiffness", UNKNOWN)
        return
    parts = [f"water {_bare(unit.water, system)}", f"air {_bare(unit.air, system)}"]
    if unit.restraint is not None:
        parts.append(f"rig {_bare(unit.restraint, system)}")
    yield Row("Stiffness", figure(unit.stiffness, system), ", ".join(parts))
    yield Row(
        "Water lost",
        f"{number(amount(unit.lost_volume, 'mL'), 2)} mL",
        f"{figure(unit.drops, system)} drops",
    )
    if unit.movement is not None:
        yield Row("Restraint moved", *movement(unit.movement, system))
    if unit.warming is not None:
        warmer = unit.warming.magnitude > 0
        yield Row(
            "Water and concrete",
            step(_size(unit.warming), system),
            "colder lowers it"
            if warmer
            else f"WARMER lowers it: water below {quantity(_TURNS, system)}",
        )
    if unit.rod_warming is not None:
        yield Row("Rods alone, in the sun", step(unit.rod_warming, system), "warmer lowers it")


def _size(value: Quantity) -> Quantity:
    return value if value.magnitude >= 0 else -1 * value


def _bare(value: Quantity, system: System) -> str:
    return figure(value, system).split(" ")[0]


def _deflection(plan: PlanFile, worked: Plan, system: System) -> Iterator[Row]:
    bent = worked.deflection
    if bent is None:
        return
    yield Row("Angle", figure(bent.angle, system), f"slope {figure(bent.slope, system)}")
    if bent.slope_limit is not None:
        yield Row("Slope tried at", figure(bent.slope_limit, system), "12 500/DN, from memory")
    for at in bent.openings:
        yield Row(f"Wider {clock_position(at.clock)}", figure(at.wider, system))
    yield Row("Spacer", figure(bent.spacer, system), "beyond the closed side's opening")
    yield Row("Far end out of line", _known(bent.far_end, system))


def _ports(worked: Plan, system: System) -> Iterator[Row]:
    fit = worked.ports
    yield Row("Nipple", fit.nipple, f"schedule {fit.schedule}, bore {figure(fit.bore, system)}")
    yield Row(
        "Drill bit",
        fit.bit,
        f"{fit.vents} vent{'s' * (fit.vents > 1)}, 1 inlet; needs {figure(fit.hole, system)}",
    )
    fits = {True: "fits", False: "DOES NOT FIT", None: ""}[fit.fits]
    yield Row("Room on each side", _known(fit.room, system), fits)
    if fit.room_opened is not None:
        yield Row("... opened", figure(fit.room_opened, system))
