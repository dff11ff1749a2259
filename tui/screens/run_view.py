"""What the run screen shows of a session at a moment: plain data for its widgets."""

from __future__ import annotations

from engine import present
from engine.checks import STAGES, earlier
from engine.conversions import KPA_PER_PSI
from engine.judging.holding import Holding, holding, levels_of, zero
from engine.judging.leaving import in_the_way
from engine.judging.settling import Standing, standing, standings
from engine.judging.verdict import verdict
from engine.rehearsal import seen
from engine.session import Session
from engine.units import q
from tui.screens.hold_view import air_rows, fall_rows
from tui.widgets.checklist import CheckRow, Sign
from tui.widgets.clock import ClockRow
from tui.widgets.lines import Row, hung
from tui.widgets.trend import Frame, Point

# --- the top line -------------------------------------------------------------------------------


def title(session: Session, label: str, name: str) -> Row:
    plan = session.plan
    marks = _marks(session)
    alignment = plan.procedure.alignment
    head = f"{label} " if label else ""
    return (
        (head, "warn strong"),
        (plan.joint.name, "strong"),
        (f"  {marks}  {alignment}  {name}  by {session.by}", "dim"),
    )


def _marks(session: Session) -> str:
    found = session.checking.settled.get("marks")
    specimen = session.plan.specimen
    return (found.answer if found and found.answer else "") or " / ".join(
        m for m in (specimen.spigot, specimen.bell) if m
    )


def stages(session: Session) -> Row:
    """Where the test stands among its six stages."""
    spans: list[tuple[str, str]] = []
    for stage in STAGES:
        if stage == session.stage and not session.closed:
            spans.append((f"[>]{present.STAGE[stage].upper()} ", "accent strong"))
        elif earlier(stage, session.stage) or session.checking.over:
            spans.append((f"[x]{present.STAGE[stage]} ", "good"))
        else:
            spans.append((f"[ ]{present.STAGE[stage]} ", "dim"))
    if session.closing.abandoned is not None:
        spans.append(("ABANDONED", "bad strong"))
    return tuple(spans)


# --- checks -------------------------------------------------------------------------------------


def checks(session: Session, now: float) -> list[CheckRow]:
    """The checks of this stage, after any that are owed from earlier ones."""
    owed = [s for s in in_the_way(session, session.stage, now) if s.check.stage != session.stage]
    return [_row(session, s) for s in (*owed, *standings(session, session.stage, now))]


def _row(session: Session, here: Standing) -> CheckRow:
    check = here.check
    mark = {"safety": "SAFETY ", "advice": "(advice) ", "required": ""}[check.rank]
    owed = "" if check.stage == session.stage else f"OWED from {present.STAGE[check.stage]}: "
    return CheckRow(check.id, _sign(here), f"{owed}{mark}{check.do}", _aside(session, here))


def _sign(here: Standing) -> Sign:
    if here.how in ("waived", "carried"):
        return "waived" if here.how == "waived" else "carried"
    if here.settled:
        return "settled"
    if here.waiting:
        return "waiting"
    return "blocked" if here.refuted and here.settlement is not None else "open"


def _aside(session: Session, here: Standing) -> str:
    if here.waiting and here.left is not None:
        return f"{present.duration(here.left)} left"
    if here.how == "carried":
        return f"from {session.checking.carried[here.check.id].session}"
    if here.settled and here.check.rule == "credit_complete" and here.finding is not None:
        return present.quantity(session.plan.procedure.hold_time)
    if here.how == "waited" and here.finding is not None and here.finding.limit is not None:
        return present.quantity(here.finding.limit)  # what was waited for: it stands still
    if here.finding is not None and here.finding.measure is not None:
        measure = present.quantity(here.finding.measure, session.plan.units)
        return f"by {measure}" if here.check.rule in ("needle_rose", "needle_fell") else measure
    if here.check.kind == "wait" and not here.settled:
        return "start"
    return ""


def check_under(session: Session, name: str | None, now: float) -> Standing | None:
    check = session.check(name) if name else None
    return standing(session, check, now) if check else None


# --- the clock ----------------------------------------------------------------------------------


def clock(session: Session, now: float) -> list[ClockRow]:
    """Credit, what is missing, when the next reading is due; and the levels to keep."""
    hold = holding(session)
    rows = [*_pressures(session)]
    if hold is not None:
        known = [row for row in rows if row.label != "zero"]
        rows = [_looked(session, hold, now), *_credit(hold, now), *known]
    rows += _practice(session, now)
    if hold is not None:
        return [*rows, *fall_rows(session), ClockRow("readings", str(len(hold.readings)))]
    return [*rows, *air_rows(session)]


def _credit(hold: Holding, now: float) -> list[ClockRow]:
    credit = min(hold.credit.seconds, hold.need) if hold.complete else hold.credit.seconds
    rows = [
        ClockRow("credit", present.duration(credit), "good" if hold.complete else "plain"),
        ClockRow("missing", present.duration(hold.missing)),
    ]
    if hold.running and hold.span.end is None:
        due, lost = hold.due - now, (hold.lost_at or now) - now
        rows += [
            ClockRow("next reading", present.duration(due) if due > 0 else "NOW",
                     "plain" if due > 0 else "warn"),
        ]  # fmt: skip
        if not hold.complete:
            rows.append(ClockRow("run lost in", present.duration(max(0.0, lost))))
    return rows


def _pressures(session: Session) -> list[ClockRow]:
    bounds, units = levels_of(session), session.plan.units
    still = zero(session, session.plan.gauge.mark)
    last = session.evidence.readings[-1] if session.evidence.readings else None
    rows = []
    released = session.water.released[-1] if session.water.released else None
    if released is not None and (last is None or released.seq > last.seq):
        rows.append(ClockRow("released", present.pressure(released.psi, units)))
    elif last is not None:
        rows.append(ClockRow("last read", present.quantity(last.written)))
    if session.stage == "verdict" and not session.under_pressure:
        return rows
    rows += [
        ClockRow("read at least", present.pressure(bounds.mark_to_read(still or 0.0), units)),
        ClockRow("not above", present.pressure(bounds.mark_not_to_pass(still or 0.0), units)),
        ClockRow("zero", "not read" if still is None else present.pressure(still, units)),
    ]
    return rows


def _looked(session: Session, hold: Holding, now: float) -> ClockRow:
    """When the primary was last looked at: what counts before any figure."""
    looks = [k for k in session.evidence.looks if k.t >= hold.span.start]
    if not looks:
        return ClockRow("primary looked", "NEVER", "warn")
    if hold.span.end is not None:
        return ClockRow("primary looked", present.time_of_day(session, looks[-1].t))
    return ClockRow("primary looked", f"{present.duration(now - looks[-1].t)} ago")


def _practice(session: Session, now: float) -> list[ClockRow]:
    """On the practice joint: what stands before the eye; water is seen where somebody looks."""
    sight = seen(session, now)
    if sight is None or session.closed:
        return []
    rows = [
        ClockRow("dial shows", present.pressure(sight.dial, session.plan.units), "accent"),
        ClockRow("from the vent", sight.vent_flow),
    ]
    if sight.vent_total > 0 and session.stage in ("fill", "vent"):
        rows.append(ClockRow("caught", present.quantity(q(sight.vent_total, "mL"), places=0)))
    return rows


# --- trend and log ------------------------------------------------------------------------------


def trend(session: Session) -> tuple[list[Point], Frame]:
    """Pressure over the hold, or over the whole test where there is no hold yet."""
    hold = holding(session)
    factor = 1.0 if session.plan.units == "us" else KPA_PER_PSI
    bounds = levels_of(session)
    start = hold.span.start if hold else 0.0
    readings = hold.readings if hold else tuple(session.evidence.readings)
    credited = _credited_seqs(hold)
    governs, marks = session.plan.gauge.mark, {r.mark for r in readings}
    still = {mark: zero(session, mark or governs) or 0.0 for mark in marks}
    points = [
        Point(
            r.t - start,
            (r.psi - still[r.mark]) * factor,
            r.seq in credited,
            "L" if r.late else "",
        )
        for r in readings
    ]
    until = max([hold.need if hold else 600.0, *(p.at for p in points)])
    return points, Frame(until, bounds.good_from * factor, bounds.cap * factor)


def _credited_seqs(hold: Holding | None) -> set[int]:
    if hold is None or hold.credit.first is None or hold.credit.last is None:
        return set()
    first, last = hold.credit.first.t, hold.credit.last.t
    return {r.seq for r in hold.readings if first < r.t <= last}


def log(session: Session, count: int) -> list[Row]:
    """The last records, newest last; struck ones stay visible."""
    first = max(1, session.seq - count + 1)
    return [_log_row(session, seq) for seq in range(first, session.seq + 1)]


def _log_row(session: Session, seq: int) -> Row:
    struck = session.struck(seq)
    sign = "x" if struck else " "
    at = present.time_of_day(session, session.times[seq - 1])
    text = present.record(session, seq)
    return (
        (f"{sign}{seq:>4} {at} ", "dim"),
        (f"(struck) {text}" if struck else text, "dim" if struck else "plain"),
    )


def reasons(session: Session, width: int) -> list[Row]:
    """The verdict as it stands, with its reasons."""
    said = verdict(session)
    tone = {"pass": "good", "fail": "bad"}.get(said.outcome, "warn")
    rows: list[Row] = [((f"As it stands: {present.OUTCOME[said.outcome]}", f"{tone} strong"),)]
    for sign, style, group in (("- ", "plain", said.reasons), (". ", "dim", said.beside)):
        for reason in group:
            rows += hung((sign, style), present.reason(session, reason), width, 3, style)
    return rows
