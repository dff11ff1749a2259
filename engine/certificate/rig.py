"""What it was tested with: gauges, restraint, supply, and what was unknown about them."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from engine.certificate.tree import Row
from engine.certificate.words import NOT_STATED, plain, whole_first
from engine.judging.holding import levels_of, zero
from engine.judging.rules import find
from engine.levels import error_limit, water_temperature
from engine.present import clock_position, number, pressure, quantity, time_of_day
from engine.present.plan import unknown_parts
from engine.present.quantities import System
from engine.present.remarks import PARTS, doubt
from engine.rig import Gauge, Restraint
from engine.session import Session
from engine.units import Quantity


def _or_unknown(value: Quantity | None, system: System, otherwise: str = "unknown") -> str:
    return otherwise if value is None else quantity(value, system)


def gauge(session: Session) -> tuple[Row, ...]:
    """Every gauge, the governing one first."""
    governing = session.plan.gauge
    others = [g for g in session.plan.gauges if g.mark != governing.mark]
    return tuple(row for g in (governing, *others) for row in _gauge(session, g))


def _gauge(session: Session, gauge: Gauge) -> Iterator[Row]:
    system, bounds = session.plan.units, levels_of(session, gauge.mark)
    governs = gauge is session.plan.gauge and len(session.plan.gauges) > 1
    yield Row("Gauge", plain(gauge.mark), "governs" if governs else "")
    low, high = (quantity(end, system) for end in gauge.span)
    step = quantity(gauge.graduation, system)
    yield Row("Range", f"{low} to {high}, graduated {step}")
    accuracy = plain(gauge.accuracy, 20) if gauge.accuracy else "unknown: taken for the worst grade"
    limit = pressure(error_limit(gauge, max(bounds.needed, 0.0)), system)
    yield Row("Accuracy", f"{accuracy}; {limit} at the pressure needed")
    yield Row("Height", _height(session, gauge))
    yield Row("Calibrated", str(gauge.calibrated or NOT_STATED))
    yield Row("Calibration due", str(gauge.calibration_due or NOT_STATED))
    yield Row("Calibration paper", whole_first(gauge.certificate))
    yield Row("Zero", _zeros(session, gauge))


def _height(session: Session, gauge: Gauge) -> str:
    if gauge.height is None:
        return "unknown: the vent port's is taken"
    measured = session.checking.settled.get("gauge_height")
    fitted = any(f.mark == gauge.mark for f in session.checking.fitted)
    known = fitted or (measured is not None and measured.how == "measured"
                       and gauge.mark == session.plan.gauge.mark)  # fmt: skip
    how = "measured" if known else "as planned"
    return f"{quantity(gauge.height, session.plan.units)} above the joint's centre, {how}"


def _zeros(session: Session, gauge: Gauge) -> str:
    system = session.plan.units
    zeros = [z for z in session.water.zeros if z.mark == gauge.mark]
    taken = zero(session, gauge.mark)
    if taken is None:
        return "never read"
    read = [f"{pressure(z.psi, system)} at {time_of_day(session, z.t)}" for z in zeros[-4:]]
    pin = "; on a stop pin, so a low zero cannot be seen" if gauge.stop_pin else ""
    return f"{', '.join(read)}; {pressure(taken, system)} taken off{pin}"


def rig(session: Session) -> tuple[Row, ...]:
    return tuple(_rig(session))


def _rig(session: Session) -> Iterator[Row]:
    plan, system = session.plan, session.plan.units
    yield Row("Restraint", restraint(plan.restraint, system))
    yield from _thrust(session)
    yield Row("Supply", _supply(session))
    ports = plan.ports
    vents = len(plan.ports.vents) or 1
    where = "as drawn" if ports.vents else "at the very top"
    yield Row("Ports", f"{plain(ports.nipple)} in nipples; {vents} vent {where}, inlet "
              f"{clock_position(ports.inlet)}")  # fmt: skip
    width = _or_unknown(plan.joint.pocket_width, system)
    yield Row("Pocket", f"{width} wide along the axis")
    yield Row("Water", _water(session))


def _water(session: Session) -> str:
    plan, system = session.plan, session.plan.units
    taken = f"unknown: {quantity(water_temperature(plan), system)} is taken"
    return _or_unknown(plan.supply.temperature, system, taken)


def _thrust(session: Session) -> Iterator[Row]:
    """At the highest pressure that can occur, as the plan works it out with what was measured."""
    worked, system = session.checking.worked, session.plan.units
    highest, thrust = worked.pressure.highest, worked.thrust.at_highest
    if highest is not None and thrust is not None:
        text = f"{quantity(thrust, system)} at {quantity(highest, system)}, the highest that can be"
        yield Row("Thrust", text)
    held = worked.restraint
    if held.use is not None and held.governs is not None:
        share = number(100 * held.use, 0)
        yield Row("Used", f"{share} % of what the {PARTS[held.governs]} may carry")
    elif held.enough is None:
        yield Row("Used", f"not known: {unknown_parts(worked)}")


def restraint(restraint: Restraint, system: System) -> str:
    if restraint.rated is not None:
        by = f" by {plain(restraint.rated_by)}" if restraint.rated_by else ""
        on = f" on {restraint.rated_on}" if restraint.rated_on else ""
        return f"frame rated {quantity(restraint.rated, system)}{by}{on}"
    rod = plain(restraint.rod) if restraint.rod else "of unknown thread"
    grade = f", {plain(restraint.grade)}" if restraint.grade else ", of unknown grade"
    parts = [f"{len(restraint.at)} rods {rod}{grade}"]
    if restraint.beam:
        parts.append(f"beams {plain(restraint.beam)}, {restraint.beams_per_end} at each end")
    if restraint.washer:
        parts.append(f"washers {plain(restraint.washer)}")
    if restraint.timber:
        parts.append(f"timber {plain(restraint.timber)}")
    return "; ".join(parts)


def _supply(session: Session) -> str:
    supply, system = session.plan.supply, session.plan.units
    kind = supply.kind.replace("_", " ")
    text = f"{kind}, {_or_unknown(supply.pressure, system, 'pressure unknown')}"
    if supply.relief is None:
        return f"{text}; no relief valve"
    found = session.checking.settled.get("relief_lifts")
    lifted = "lifted today at" if found and found.how == "measured" else "relief valve set at"
    return f"{text}; {lifted} {quantity(supply.relief, system)}"


_OF_THE_RESULT = frozenset(
    {
        *("pressure", "pressure.needed_at_gauge", "pressure.cap_at_gauge"),
        *("gauge.uncertainty", "gauge.guarded_reading", "gauge.in_calibration"),
    }
)
_OF_THE_RIG = ("pressure.", "thrust", "restraint")
_KNOWN_BY_NOW = frozenset({"no_day", "authority"})
"""The day of the test is known, and the authority is printed large."""


def doubts(session: Session) -> tuple[str, ...]:
    """What the pressures rest on where something was not known."""
    found = (*_answered_for(session), *_said(session, lambda figure: figure in _OF_THE_RESULT))
    if session.checking.line_bled:
        return found
    return (*found, "The gauge's line was not bled: no water above the port is counted.")


def _answered_for(session: Session) -> Iterator[str]:
    """That the restraint holds is somebody's word, where it could not be worked out."""
    for check in session.checking.checks:
        found = session.checking.settled.get(check.id)
        if check.rule != "restraint_enough" or find(session, check.rule).ok is not None:
            continue
        parts = unknown_parts(session.checking.worked)
        why = f"{parts} not known" if parts else "thrust that draws the joint together"
        if found is None:
            yield f"Whether the restraint holds was not shown: {why}."
            continue
        said = f": {plain(found.answer)}" if found.answer else ", and nobody was named for it"
        yield f"That the restraint holds was not worked out ({why}){said} (record {found.seq})."


def rig_doubts(session: Session) -> tuple[str, ...]:
    """What thrust and restraint rest on where something was not known."""
    known = set(doubts(session))
    rest = _said(session, lambda figure: figure.startswith(_OF_THE_RIG))
    return tuple(said for said in rest if said not in known)


def _said(session: Session, about: Callable[[str], bool]) -> Iterator[str]:
    for remark in session.checking.worked.doubts:
        if remark.code not in _KNOWN_BY_NOW and any(about(f) for f in remark.figures):
            text = plain(doubt(remark, session.plan.units), 280)
            yield f"{text[0].upper()}{text[1:]}."
