"""What may be written down as seen or done: all that can be understood, for it has happened."""

from __future__ import annotations

from typing import Final

from engine import present
from engine.asking.plausible import can_hang, on_dial, warm_enough, wide_enough
from engine.asking.refusing import Refused, must
from engine.facts import (
    Abandoned,
    Amended,
    CheckConfirmed,
    CheckMeasured,
    CheckWaived,
    Fact,
    GaugeFitted,
    GaugeZeroed,
    HoldStarted,
    Mended,
    OpeningMeasured,
    PressureRead,
    PressureReleased,
    SessionOpened,
    Signed,
    StagePassed,
    StageReopened,
    Struck,
    TemperatureRead,
    ToppedUp,
    VerdictGiven,
    VolumeAdded,
    WaitStarted,
)
from engine.session import Session
from engine.stages import checks_for
from engine.units import amount

_CLAIMS: Final = (
    CheckConfirmed | CheckMeasured | CheckWaived | WaitStarted | StagePassed | StageReopened
    | HoldStarted | Struck | VerdictGiven | Signed | Abandoned | Amended
)  # fmt: skip


def observed(session: Session, fact: Fact, now: float) -> Fact:
    """The fact as it is, or Refused where it cannot be placed or must not be done now."""
    if isinstance(fact, SessionOpened):
        must(session.opened is None, "this test is open already")
        return _opened(fact)
    must(session.opened is not None, "nothing is open: a test begins with its plan")
    must(not isinstance(fact, _CLAIMS), "this has to be asked for, not written down")
    must(not session.closed, "this test is closed: amend it first")
    _within(fact, now)
    _of_known_gauge(session, fact)
    _can_be(session, fact)
    if isinstance(fact, GaugeZeroed | Mended):
        must(not session.under_pressure, present.NOT_UNDER_PRESSURE)
    if isinstance(fact, Mended):
        _zeroed_before(session)
    if isinstance(fact, PressureReleased) and fact.vent_quiet:
        must(not session.cut_off((now, session.seq + 1)), "the gauge's cock is shut: open it first")
        must(
            amount(fact.gauge, "psi") <= session.at_rest + 1e-9,
            f"the gauge still shows {present.quantity(fact.gauge)}: go on bleeding; a needle that "
            "stays while the vent is quiet is stuck: drain by the inlet, then fit another gauge",
        )
    return fact


def _opened(fact: SessionOpened) -> SessionOpened:
    """A test is judged by what it was opened with: that has to hold together."""
    known = {check.id: check for check in fact.checks}
    must(len(known) == len(fact.checks), "two checks have one identity")
    for planned in checks_for(fact.plan):
        asked = planned.rank != "safety" or planned in fact.checks
        must(asked, f"{present.check(planned)}: a safety check is left out of no test")
    for carried in fact.carried:
        check = known.get(carried.check)
        if check is None:
            raise Refused(f"there is no check {carried.check!r} in this test to carry over")
        never = check.stands == "never" or check.rank == "safety"
        must(not never, f"{present.check(check)}: is never carried over")
    return fact


def _within(fact: Fact, now: float) -> None:
    """It was seen or read while the test was open."""
    ago = getattr(fact, "ago", 0.0)
    must(
        ago <= now + 1e-6,
        f"{present.duration(ago)} ago this test was not open yet: "
        f"it was opened {present.duration(now)} ago",
    )


def _of_known_gauge(session: Session, fact: Fact) -> None:
    marks = [gauge.mark for gauge in session.plan.gauges]
    if isinstance(fact, PressureRead | GaugeZeroed) and fact.mark is not None:
        must(
            fact.mark in marks,
            f"there is no gauge {fact.mark!r} in this test: {', '.join(marks)}",
        )
    if isinstance(fact, GaugeFitted) and fact.gauge is None:
        must(
            fact.mark in marks,
            f"gauge {fact.mark!r} was not planned: say its span, accuracy and calibration",
        )


def _can_be(session: Session, fact: Fact) -> None:
    """Off the dial, or beyond nature, it was typed amiss."""
    match fact:
        case PressureRead(pressure=read, mark=mark) | GaugeZeroed(reading=read, mark=mark):
            on_dial(session, read, mark)
        case VolumeAdded(after=read) | PressureReleased(gauge=read):
            on_dial(session, read)
        case ToppedUp(before=before, after=after):
            on_dial(session, before)
            on_dial(session, after)
        case TemperatureRead(temperature=warm):
            warm_enough(warm)
        case OpeningMeasured(opening=wide):
            wide_enough(wide)
        case GaugeFitted(mark=mark, height=height, gauge=gauge):
            fitted = session.plan.with_gauge(mark=mark, height=height, gauge=gauge)
            can_hang(fitted, next(g for g in fitted.gauges if g.mark == mark))
        case _:
            pass


def _zeroed_before(session: Session) -> None:
    """The order is forced: release, zero, mend."""
    released = max((r.seq for r in session.water.released), default=0)
    zeroed = max((z.seq for z in session.water.zeros), default=0)
    must(
        not released or zeroed > released,
        "the gauge's zero was not read since the release: read it before anything is mended",
    )
