"""The rules behind computed checks: each looks at a session and finds yes, no, or cannot tell."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import takewhile
from typing import Final, Literal, NamedTuple

from engine.checks import Stage
from engine.formulas import gauge as gauges
from engine.judging.finding import Finding
from engine.judging.holding import (
    alike_gauges,
    corrected,
    counted,
    holding,
    judge,
    let_down_at,
    levels_of,
    over_cap,
    peak_over_cap,
    zeros_of,
)
from engine.judging.looks import looks_at_end, looks_before_end, proven_at_end
from engine.judging.planrules import PLAN_RULES
from engine.levels import error_limit, furthest_zero
from engine.session import Session
from engine.session.evidence import Reading
from engine.session.session import HoldSpan
from engine.session.water import Turn
from engine.units import amount, q


@lru_cache(maxsize=256)
def find(session: Session, rule: str) -> Finding:
    """What `rule` finds; a rule that is not known here has to be answered by somebody."""
    known = RULES.get(rule)
    return known(session) if known else Finding(None)


# --- prepare ------------------------------------------------------------------------------------


def _gauge_fit(session: Session) -> Finding:
    """The scale suits the pressure; the graduation is no coarser than twice the error allowed."""
    gauge, bounds = session.plan.gauge, levels_of(session)
    full, needed = gauge.span[1], q(max(bounds.needed, 0.01), "psi")
    if not gauges.in_range(full, needed):
        return Finding(False, full, 1.5 * needed, why="range")
    finest = 2 * error_limit(gauge, bounds.needed) if gauge.accuracy else None
    if finest is not None and bounds.graduation > finest + 1e-9:
        return Finding(False, gauge.graduation, q(finest, "psi"), why="graduation")
    return Finding(True, full, needed, why="range")


def _gauge_in_date(session: Session) -> Finding:
    """Every gauge that counts; a day nobody knows is asked for of the one that governs."""
    alike = alike_gauges(session)
    counting = [g for g in session.plan.gauges if g is session.plan.gauge or g.mark in alike]
    opened = session.records[0].at.date()
    if any(g.calibration_due is not None and g.calibration_due < opened for g in counting):
        return Finding(False, why="due")
    return Finding(None if session.plan.gauge.calibration_due is None else True, why="due")


# --- seal ---------------------------------------------------------------------------------------


def _openings(session: Session) -> Finding:
    """Measured at four clock positions or more since the rods were drawn, and straight or
    deflected as demanded."""
    since = session.checking.since("seal")
    found = [o for o in session.checking.openings if o.seq > since and o.stage == "seal"]
    latest = {o.clock: o for o in found}
    records = tuple(sorted(o.seq for o in latest.values()))
    if len(latest) < 4:
        return Finding(False, q(len(latest), "count"), q(4, "count"), records, "positions")
    widths = [o.inches for o in latest.values()]
    spread = max(widths) - min(widths)
    procedure = session.plan.procedure
    tolerance = amount(procedure.opening_tolerance, "in")
    if procedure.alignment == "straight":
        ok = spread <= tolerance + 1e-9
        return Finding(ok, q(spread, "in"), procedure.opening_tolerance, records, "straight")
    wanted = amount(procedure.opening or q(0, "in"), "in")
    side = procedure.open_side
    opened = min(latest.values(), key=lambda o: _hours(o.clock, side))
    other = min(latest.values(), key=lambda o: _hours(o.clock, side + 6))
    wider = opened.inches - other.inches
    if wider <= 0 or _hours(opened.clock, side) > 1.5 or _hours(other.clock, side + 6) > 1.5:
        return Finding(False, q(wider, "in"), procedure.opening, records, "side")
    ok = abs(wider - wanted) <= tolerance + 1e-9 and spread <= wanted + tolerance + 1e-9
    return Finding(ok, q(wider, "in"), procedure.opening, records, "deflected")


def _hours(clock: float, other: float) -> float:
    """How far apart two clock positions are."""
    apart = abs(clock - other) % 12
    return min(apart, 12 - apart)


def _openings_held(session: Session) -> Finding:
    return _openings_in(session, "hold")


def _openings_after(session: Session) -> Finding:
    return _openings_in(session, "verdict")


def _openings_in(session: Session, stage: Stage) -> Finding:
    """Measured at four clock positions or more while the stage was on."""
    since = session.checking.since(stage)
    found = {o.clock: o.seq for o in session.checking.openings
             if o.seq > since and o.stage == stage}  # fmt: skip
    enough, records = len(found) >= 4, tuple(sorted(found.values()))
    return Finding(enough, q(len(found), "count"), q(4, "count"), records, "positions")


def _gauge_zeroed(session: Session) -> Finding:
    """Every gauge was read without pressure, and stood near enough to zero to be believed."""
    since = session.checking.since("seal")
    records = tuple(z.seq for z in session.water.zeros if z.seq > since)
    for gauge in session.plan.gauges:
        zeros = [z for z in zeros_of(session, gauge.mark) if z.seq > since]
        read, most = zeros[-1] if zeros else None, furthest_zero(gauge)
        if read is None:
            return Finding(False, records=records)
        if abs(read.psi) > most + 1e-9:
            return Finding(False, q(read.psi, "psi"), q(most, "psi"), (read.seq,), "far_off_zero")
    return Finding(True, records=records)


# --- fill and vent ------------------------------------------------------------------------------


def _valves_open(session: Session) -> Finding:
    turned = {
        v.which for v in session.water.turns if v.share > 0 and _since(session, "fill", v.seq)
    }
    return Finding(turned == {"inlet", "vent"})


def _vent_shut(session: Session) -> Finding:
    return _shut(session, "vent", "vent")


def _inlet_shut(session: Session) -> Finding:
    return _shut(session, "inlet", "hold")


def _shut(session: Session, which: Literal["inlet", "vent"], stage: Stage) -> Finding:
    """How the valve stood when the stage was passed, or stands now."""
    passing = session.checking.passing(stage)
    until = passing.seq if passing else session.seq + 1
    turns = [v for v in session.water.turns if v.which == which and v.seq < until]
    last = turns[-1] if turns else None
    return Finding(last is not None and last.share == 0, records=(last.seq,) if last else ())


def _inlet_shut_again(session: Session) -> Finding:
    """As `inlet_shut`; and turned since the vent stage, where it had to be shut already, and since
    the stage was taken up again or the pressure released: it was opened to raise it afresh."""
    found, vented = _shut(session, "inlet", "hold"), session.checking.passing("vent")
    span = _standing_hold(session)
    before = span.seq if span else session.seq + 1
    released = (r.seq for r in session.water.released if r.seq < before)
    since = max([session.checking.since("hold"), *released])
    again = vented is not None and any(seq > max(vented.seq, since) for seq in found.records)
    return Finding(found.ok is True and again, records=found.records)


def _inlet_first(session: Session) -> Finding:
    """The inlet was shut when the vent was closed, or was shut since: else the supply stands on a
    pocket that nobody has proved."""
    turns = _vent_stage_turns(session)
    vent = [v for v in turns if v.which == "vent"]
    closed = vent[-1].seq if vent and vent[-1].share == 0 else session.seq + 1
    inlet = [v for v in turns if v.which == "inlet"]
    stood = [v for v in inlet if v.seq < closed][-1:]
    shut = [v for v in (*stood, *(v for v in inlet if v.seq > closed)) if v.share == 0]
    return Finding(bool(shut), records=tuple(v.seq for v in shut[:1]))


def _vent_stage_turns(session: Session) -> list[Turn]:
    """How the valves were turned until the vent stage was passed."""
    passing = session.checking.passing("vent")
    return [v for v in session.water.turns if passing is None or v.seq < passing.seq]


def _read_while_shut(session: Session) -> Finding:
    """A pressure was read since the vent stage began: more than the gauge at rest."""
    said, end = _said(session), session.seq + 1
    readings = (said and _burp_readings(session, said)) or _burp_readings(session, end)
    return Finding(bool(readings), records=tuple(r.seq for r in readings[:1]), why="burp_unread")


_BURP_PSI: Final = 2.5
"""The least a burp is read at, or half of what the hold needs where that is less (house rule): the
half of the 5 psi that are asked for."""


def _said(session: Session) -> int | None:
    """The record of what came from the cracked vent."""
    found = session.checking.settled.get("burp")
    return found.seq if found and found.how == "confirmed" else None


def _burp_readings(session: Session, until: int) -> list[Reading]:
    """Readings of the vent stage before record `until` with which air can be proved out: well above
    the gauge at rest, and not above the cap."""
    filled, passed = session.checking.passing("fill"), session.checking.passing("vent")
    since = max(filled.seq if filled else 0, session.checking.since("vent"))
    until = min(until, passed.seq) if passed else until

    def proves(r: Reading) -> bool:
        psi, bounds = corrected(session, r), levels_of(session, r.mark)
        least = max(2 * bounds.graduation + _TINY, min(_BURP_PSI, bounds.good_from / 2))
        return least <= psi <= bounds.cap + _TINY

    return [r for r in session.evidence.readings
            if (r.t, r.seq) > session.moment(since) and r.seq < until and proves(r)]  # fmt: skip


_TINY: Final = 1e-9  # psi, so that a reading on the mark is on the mark


class Burp(NamedTuple):
    """A pressure read behind a shut vent, and when the vent was cracked after it."""

    reading: Reading
    cracked: Turn | None = None


def _burps(session: Session) -> list[Burp]:
    """Those that what was said of the vent rests on; where none is left, those made since."""
    said = _said(session)
    rested_on = list(_burps_until(session, said)) if said else []
    return rested_on or list(_burps_until(session, session.seq + 1))


def _burps_until(session: Session, until: int) -> Iterator[Burp]:
    """The vent opened a second time since the reading: that pressure is spent."""
    vent = [v for v in session.water.turns if v.which == "vent"]
    for reading in _burp_readings(session, until):
        at = (reading.t, reading.seq)
        stood = [v for v in vent if session.moment(v.seq) <= at][-1:]
        opened = [v for v in vent if session.moment(v.seq) > at and v.seq < until and v.share > 0]
        if stood and stood[0].share == 0 and len(opened) <= 1:
            yield Burp(reading, opened[0] if opened else None)


def _burp_read(session: Session) -> Finding:
    """Raised behind a shut vent, read, and the inlet shut again."""
    burps = _burps(session)
    if not burps:
        return Finding(False, why="burp_unread")
    inlet = [v for v in _vent_stage_turns(session) if v.which == "inlet"]
    shut = not inlet or inlet[-1].share == 0
    records = (burps[-1].reading.seq,)
    return Finding(shut, records=records, why="" if shut else "inlet_open")


def _burp(session: Session) -> Finding:
    """Read so, and the vent cracked after it: what came then can be said."""
    read, cracked = _burp_read(session), [b for b in _burps(session) if b.cracked]
    if not read.ok:
        return read
    if not cracked or cracked[-1].cracked is None:
        return Finding(False, why="uncracked")
    return Finding(True, records=(cracked[-1].reading.seq, cracked[-1].cracked.seq))


def _stiffness_taken(session: Session) -> Finding:
    added = [a for a in session.water.added if _since(session, "fill", a.seq)]
    enough = len(added) >= 3
    return Finding(enough, q(len(added), "count"), q(3, "count"), tuple(a.seq for a in added))


def _since(session: Session, stage: Stage, seq: int) -> bool:
    return seq > session.checking.since(stage)


# --- hold ---------------------------------------------------------------------------------------


def _standing_hold(session: Session) -> HoldSpan | None:
    """The hold that runs, is complete, or that the stage was passed with; one that came to nothing
    is forgotten, for what comes now is done for the next."""
    hold = holding(session)
    if hold is None:
        return None
    over = session.stage == "hold" and hold.span.end is not None and not hold.complete
    return None if over else hold.span


def _needle_rose(session: Session) -> Finding:
    """Two readings on the way up, a graduation or more apart: the gauge is alive.

    On the way up to the hold, that is: since the last release, and of the gauge that hangs there.
    """
    span = _standing_hold(session)
    before, start = (span.seq, span.start) if span else (session.seq + 1, float("inf"))
    released = [r.seq for r in session.water.released if r.quiet and r.seq < before]
    since = max([session.checking.since("vent"), *released])
    fitted = {g.mark: g.seq for g in session.checking.fitted if g.seq < before}
    rising = [r for r in takewhile(lambda r: r.t <= start, session.evidence.readings)
              if (r.t, r.seq) > session.moment(max(since, fitted.get(r.mark or "", 0)))
              and counted(session, r)]  # fmt: skip
    return _each_moved(session, rising, up=True)


def _needle_fell(session: Session) -> Finding:
    """A reading on bleeding at the end that is a graduation or more below the hold's last."""
    hold = holding(session)
    if hold is None or not hold.readings:
        return Finding(False)
    held = [r for run in hold.credit.runs for r in run] or hold.readings
    lasts, end = {r.mark: r for r in held}, (held[-1].t, held[-1].seq)
    later = takewhile(lambda r: (r.t, r.seq) > end, reversed(session.evidence.readings))
    bled = [r for r in later if counted(session, r)]
    return _each_moved(session, [*lasts.values(), *reversed(bled)], up=False)


def _each_moved(session: Session, readings: list[Reading], up: bool) -> Finding:
    """The needle of every gauge that counted in the hold moved; the first that did not, else."""
    hold = holding(session)
    marks = {r.mark for r in hold.readings} if hold else set()
    marks |= set(alike_gauges(session))
    found = [
        _moved([r for r in readings if r.mark == mark], levels_of(session, mark).graduation, up)
        for mark in sorted(marks, key=str) or [session.plan.gauge.mark]
    ]
    return next((f for f in found if not f.ok), found[0])


def _moved(readings: list[Reading], step: float, up: bool) -> Finding:
    sign = 1 if up else -1
    start: Reading | None = None
    for reading in readings:
        if start is not None and sign * (reading.psi - start.psi) >= step - 1e-9:
            rise = q(abs(reading.psi - start.psi), "psi")
            return Finding(True, rise, q(step, "psi"), (start.seq, reading.seq))
        if start is None or sign * (reading.psi - start.psi) < 0:
            start = reading
    return Finding(False, None, q(step, "psi"))


def _credit_complete(session: Session) -> Finding:
    hold = holding(session)
    need = session.plan.procedure.hold_time
    if hold is None:
        return Finding(False, q(0, "s"), need)
    return Finding(hold.complete, q(hold.credit.seconds, "s"), q(hold.need, "s"))


def _looked_during(session: Session) -> Finding:
    hold = holding(session)
    looks = looks_before_end(session, hold) if hold else ()
    return Finding(bool(looks), records=tuple(k.seq for k in looks))


def _looked_at_end(session: Session) -> Finding:
    """Looked at in the last reading interval or later, with a good reading at or after it."""
    hold = holding(session)
    looks = proven_at_end(session, hold) if hold else ()
    unproven = hold is not None and not looks and looks_at_end(session, hold)
    why = "read_after_look" if unproven else ""
    return Finding(bool(looks), records=tuple(k.seq for k in looks), why=why)


def _raised(session: Session) -> Finding:
    """The last reading since the pressure was let down is good and not above the cap; a hold, while
    it stands, was started with such a reading."""
    limit, is_good = q(levels_of(session).good_from, "psi"), judge(session)
    span = _standing_hold(session)
    readings = _since_let_down(session, span)
    if not readings:
        return Finding(False, None, limit)
    if span is not None:
        last = next((r for r in readings if is_good(r)), readings[-1])
        return Finding(is_good(last), q(corrected(session, last), "psi"), limit, (last.seq,))
    lasts = list({r.mark: r for r in readings}.values())  # of each gauge that counts
    last = next((r for r in lasts if over_cap(session, r) or not is_good(r)), readings[-1])
    psi, records = q(corrected(session, last), "psi"), (last.seq,)
    if over_cap(session, last):
        most = q(levels_of(session, last.mark).cap, "psi")
        return Finding(False, psi, most, records, "over_cap")
    return Finding(is_good(last), psi, limit, records)


def _since_let_down(session: Session, span: HoldSpan | None) -> list[Reading]:
    """The readings that tell what pressure stands in the pocket now; of a hold, the one it was
    started with and those after it."""
    if session.checking.passing("vent") is None:
        return []
    taken_up = session.moment(session.checking.since("hold"))
    since = max(let_down_at(session, span.seq if span else None), taken_up)
    readings = [r for r in session.evidence.readings
                if (r.t, r.seq) > since and counted(session, r)]  # fmt: skip
    if span is None:
        return readings
    before = [r for r in readings if (r.t, r.seq) <= (span.start, span.seq)]
    return readings[max(len(before) - 1, 0) :]


# --- verdict ------------------------------------------------------------------------------------


def _released(session: Session) -> Finding:
    """Gauge at its zero and the open vent quiet: two signs, for each of them deceives alone."""
    last = session.water.released[-1] if session.water.released else None
    if last is None or session.under_pressure:
        return Finding(False)
    at_rest = session.at_rest_before(last.seq)
    ok = last.quiet and last.psi <= at_rest + 1e-9
    return Finding(ok, q(last.psi, "psi"), q(at_rest, "psi"), (last.seq,))


def _zero_again(session: Session) -> Finding:
    released = session.water.released[-1].seq if session.water.released else session.seq
    after = [z for z in session.water.zeros if z.seq > released]
    marks = {z.mark for z in after}
    ok = all(g.mark in marks for g in session.plan.gauges)
    return Finding(ok, records=tuple(z.seq for z in after))


def _within_cap(session: Session) -> Finding:
    """The cap was never passed; where it was, somebody has to look at nuts and concrete."""
    peak = peak_over_cap(session)
    if peak is None:
        return Finding(True)
    value, cap = corrected(session, peak), levels_of(session, peak.mark).cap
    return Finding(None, q(value, "psi"), q(cap, "psi"), (peak.seq,))


def _announced(session: Session) -> Finding:
    last = session.closing.verdicts[-1] if session.closing.verdicts else None
    return Finding(last is not None, records=(last.seq,) if last else ())


def _signed(session: Session) -> Finding:
    last = session.closing.verdicts[-1] if session.closing.verdicts else None
    names = [s for s in session.closing.signatures if last and s.verdict == last.seq]
    by_technician = any(s.role == "technician" for s in names)
    return Finding(by_technician, records=tuple(s.seq for s in names))


RULES: Final[dict[str, Callable[[Session], Finding]]] = {
    **PLAN_RULES,
    "gauge_fit": _gauge_fit,
    "gauge_in_date": _gauge_in_date,
    "openings": _openings,
    "openings_held": _openings_held,
    "openings_after": _openings_after,
    "gauge_zeroed": _gauge_zeroed,
    "valves_open": _valves_open,
    "vent_shut": _vent_shut,
    "inlet_shut": _inlet_shut,
    "read_while_shut": _read_while_shut,
    "inlet_shut_again": _inlet_shut_again,
    "inlet_first": _inlet_first,
    "burp_read": _burp_read,
    "burp": _burp,
    "stiffness_taken": _stiffness_taken,
    "needle_rose": _needle_rose,
    "needle_fell": _needle_fell,
    "raised": _raised,
    "credit_complete": _credit_complete,
    "looked_during": _looked_during,
    "looked_at_end": _looked_at_end,
    "released": _released,
    "zero_again": _zero_again,
    "within_cap": _within_cap,
    "announced": _announced,
    "signed": _signed,
}
