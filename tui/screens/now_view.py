"""What is needed now: the line at the top, the caution, the check to stand on."""

from __future__ import annotations

from typing import Final

from engine import present
from engine.checks import Check
from engine.judging.holding import Holding, corrected, good, holding, levels_of, zero
from engine.judging.leaks import primary_leaks
from engine.judging.leaving import in_the_way
from engine.judging.rules import find
from engine.judging.settling import Standing, needs_release
from engine.judging.verdict import verdict
from engine.session import Session
from tui.theme import Tone


def needed(session: Session, now: float) -> tuple[str, Tone]:
    """The one thing needed now, first on the screen."""
    if session.closed:
        said = verdict(session)
        tone: Tone = "good" if said.outcome == "pass" else "bad"
        return f"{present.ended_as(session, said.outcome)}. This test is closed", tone
    if session.closing.abandoned is not None:
        return "Abandoned: release the pressure (R)", "bad"
    alarm = _alarm(session)
    if alarm:
        return alarm, "bad"
    hold = holding(session)
    if session.stage == "hold" and hold is not None and hold.span.end is None:
        return _in_hold(session, hold, now)
    open_ = in_the_way(session, session.stage, now)
    if not open_:
        done = f"{present.STAGE[session.stage]} is done"
        return f"{done}: {'close the test' if session.stage == 'verdict' else 'go on'} (n)", "good"
    return _to_do(session, _first(session, open_))


def _to_do(session: Session, first: Standing) -> tuple[str, Tone]:
    if needs_release(session, first.check):
        return f"RELEASE first (R), then: {first.check.do}", "bad"
    if first.waiting and first.left is not None:
        return f"{first.check.do}: {present.duration(first.left)} to wait", "accent"
    if first.check.id == "credit":
        readings = session.evidence.readings
        stands = bool(readings) and good(session, readings[-1])
        return (
            ("START THE HOLD (Enter): no clock is running", "warn")
            if stands
            else (
                "No clock is running. Raise to the mark, type the reading, start the hold",
                "warn",
            )
        )
    if first.finding is not None and first.finding.why == "read_after_look":
        return "Looked. Now read the gauge once more and type it", "accent"
    return first.check.do, "accent"


def _first(session: Session, open_: tuple[Standing, ...]) -> Standing:
    """What to do first: not what only has to be waited for, where something else can be done.

    Before a hold has begun nothing goes past the settling.
    """
    before_hold = session.stage == "hold" and session.hold is None
    ready = [s for s in open_ if before_hold or not s.waiting]
    return (ready or list(open_))[0]


def _alarm(session: Session) -> str:
    """Over the cap, or a leak past the primary."""
    readings = session.evidence.readings
    if readings and session.under_pressure:
        last = readings[-1]
        cap = levels_of(session, last.mark).cap
        if corrected(session, last) > cap + 1e-9:
            shown = present.pressure(cap, session.plan.units)
            return f"ABOVE THE CAP of {shown}: bleed down now"
    leaks = [k for k in primary_leaks(session, session.t) if k.state == "counts"]
    if leaks and session.stage == "hold":
        seen_ = leaks[-1].sighting
        where = present.clock_position(seen_.clock)
        way = "Go on (n), then release" if session.under_pressure else "It fails: go on (n)"
        return f"LEAK past the primary {where}: {seen_.grade}. {way}"
    drips = [k for k in primary_leaks(session, session.t) if k.state == "open"]
    if drips and session.stage == "hold":
        where = present.clock_position(drips[-1].sighting.clock)
        if session.plan.procedure.stand_under_pressure:
            return f"DRIP {where}: wipe it by pole, look (l w); a release fails it"
        return f"DRIP on the primary {where}: release (R), then wipe and look (l w)"
    return ""


def _in_hold(session: Session, hold: Holding, now: float) -> tuple[str, Tone]:
    inlet = session.water.valve("inlet")
    if inlet is not None and inlet.share > 0:
        return "THE INLET IS OPEN: shut it (v). A joint that is fed proves nothing", "bad"
    if not hold.readings:
        return "Hold started: type the gauge reading", "accent"
    still = zero(session, session.plan.gauge.mark) or 0.0
    lowest = present.pressure(levels_of(session).mark_to_read(still), session.plan.units)
    if hold.unread:
        return f"Read gauge {hold.unread[0]} too: the lower one counts", "warn"
    if not hold.running and not hold.complete:
        if good(session, hold.readings[-1]):
            return "No credit yet: it begins with the next reading of each gauge", "warn"
        return f"NO CREDIT: last reading not good. Top up (u) to {lowest} or more", "bad"
    if hold.complete:
        open_ = in_the_way(session, "hold", now)
        if not open_:
            return "Hold complete, looked at: go on (n)", "good"
        text, tone = _to_do(session, open_[0])
        return f"Credit complete. {text}", tone
    wait = hold.due - now
    if wait > 0:
        return f"Next reading in {present.duration(wait)}", "accent"
    lost = (hold.lost_at or now) - now
    if lost < 0:
        return "Gap too long: the run is lost. Type a late reading (d) or a new one", "bad"
    return f"READ THE GAUGE NOW: run lost in {present.duration(lost)}", "warn"


def caution(session: Session, check: Check | None) -> tuple[str, Tone]:
    if session.closed:
        return "", "plain"
    if check is not None and check.caution is not None:
        return present.CAUTION[check.caution], "warn"
    if session.under_pressure:
        return present.CAUTION["move"] + " " + present.CAUTION["tighten"], "warn"
    return "", "plain"


def first_open(session: Session, now: float) -> str | None:
    """The check the cursor should stand on."""
    open_ = in_the_way(session, session.stage, now)
    return _first(session, open_).check.id if open_ else None


def hint(session: Session, here: Standing | None, writable: bool) -> str:
    """The whole sentence of the check under the cursor, and what Enter does with it."""
    if here is None or session.closed or not writable:
        return ""
    check = here.check
    if here.how == "waived" and here.settlement:
        return f"{check.do}. Waived: {here.settlement.answer}"
    if here.settled:
        return f"{check.do}."
    found = present.finding(session, here) if here.refuted else ""
    told = f"{check.do}: {found}" if found and found != "not yet" else check.do
    return f"{told}. Enter: {_enter(session, here)}"


def _enter(session: Session, here: Standing) -> str:
    """What Enter does."""
    check = here.check
    if check.kind == "measure":
        return "type the figure"
    if check.kind == "wait":
        return "running; start afresh, or say when it began" if here.waiting else "start the wait"
    if check.kind == "compute" and not here.asked:
        if here.finding is not None and here.finding.why == "read_after_look":
            return "type the reading"
        if check.rule == "credit_complete" and session.hold and session.hold.end is None:
            return "type the reading"
        return _DOES.get(check.rule or "", "do it")
    if check.rule == "burp":
        found = find(session, "burp")
        unready = not found.ok and found.why != "uncracked"
        return f"first {present.why(found.why)}" if unready else "cracked; say what comes"
    if check.asks:
        return "say it"
    if check.kind == "confirm" and check.rule and not find(session, check.rule).ok:
        return f"first {present.why(find(session, check.rule).why)}"
    return "is it so?" if check.rank == "safety" else "it is so"


_DOES: Final = {
    "inlet_first": "it is shut",
    "vent_shut": "it is shut",
    "burp_read": "type the reading",
    "inlet_shut": "it is shut",
    "inlet_shut_again": "it is shut",
    "raised": "type the reading",
    "needle_rose": "type the reading",
    "needle_fell": "type the reading",
    "credit_complete": "start the hold",
    "looked_during": "say what was seen",
    "looked_at_end": "say what was seen",
    "released": "how to, then the two signs",
}
"""Of checks that are settled by doing."""
