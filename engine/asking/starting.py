"""When a hold, or the wait before it, may be started."""

from __future__ import annotations

from itertools import takewhile

from engine import present
from engine.asking.refusing import must
from engine.facts import HoldStarted, WaitStarted
from engine.judging.holding import counted, disturbed_at, holding, judge, levels_of
from engine.judging.leaks import primary_leaks
from engine.judging.settling import standing, wait_of
from engine.session import Session


def wait_started(session: Session, check: str, ago: float, now: float) -> WaitStarted:
    """The wait runs from `ago` seconds before now; to settle, from when it was at pressure; to
    soak and to vent, from when the joint was sealed and could be filled."""
    known = session.check(check)
    sealed = session.checking.passing("seal")
    if known is not None and known.stage == "vent" and sealed is not None:
        must(now - ago >= sealed.t - 1e-6, "there was no water in it then: it was not sealed yet")
    if check == "vent_flow":
        since, _ = session.moment(session.checking.since("vent"))
        must(now - ago >= since - 1e-6, "that was before it was taken up again: vent it afresh")
    if known is not None and known.wait == "settle":
        since = at_pressure(session)
        must(now - ago >= since - 1e-6, "it was not at pressure then")
    return WaitStarted(check=check, ago=ago)


def hold_started(session: Session, now: float) -> HoldStarted:
    must(
        session.stage == "hold",
        f"the hold comes after the vent: now it is {present.STAGE[session.stage]}",
    )
    vented = session.checking.passing("vent")
    mended = max((m.seq for m in session.water.mended), default=0)
    must(vented is None or mended < vented.seq, "mended since: go back to Vent, vent and burp")
    vent = session.water.valve("vent")
    must(vent is None or vent.share == 0, "the vent stands open: close it first")
    at_pressure(session)
    for name in ("inlet_shut", "needle_rose", "settle"):
        check = session.check(name)
        if check is not None:
            here = standing(session, check, now)
            must(here.settled, present.open_check(session, here))
    must(_settled_again(session), "disturbed since it settled: start that wait again")
    must(not _running(session), "the hold runs: to start it again would lose its credit")
    return HoldStarted()


def _settled_again(session: Session) -> bool:
    """It settled since the pocket was last disturbed; unless no wait is asked, or it is waived."""
    check, started = session.check("settle"), session.checking.waits.get("settle")
    found = session.checking.settled.get("settle")
    if check is None or started is None or wait_of(session, check) == 0 or found is not None:
        return True
    return (started.t, started.seq) > disturbed_at(session)


def _running(session: Session) -> bool:
    """A hold goes on that earns or has earned credit, and nothing was seen that resets it."""
    hold = holding(session)
    if hold is None or hold.span.end is not None or hold.begins > hold.span.start:
        return False
    if any(leak.sighting.t >= hold.span.start for leak in primary_leaks(session, session.t)):
        return False
    return hold.complete or (hold.running and hold.credit.seconds > 0)


def at_pressure(session: Session) -> float:
    """Since when it is at pressure, undisturbed; refused where it is not."""
    since, is_good = disturbed_at(session), judge(session)
    later = takewhile(lambda r: (r.t, r.seq) > since, reversed(session.evidence.readings))
    readings = [r for r in later if counted(session, r)]
    wanted = present.pressure(levels_of(session).good_from, session.plan.units)
    there = bool(readings) and is_good(readings[0])
    must(there, f"not at pressure: read {wanted} or more first")
    return min(r.t for r in readings if is_good(r))
