"""Records in words, one line each, for the log and for refusals."""

from __future__ import annotations

from typing import assert_never

from engine import facts as f
from engine.present.quantities import clock_position, quantity
from engine.present.words import OUTCOME, PLACE, STAGE
from engine.session import Session


def fact_name(fact: f.Fact) -> str:
    """What kind of record it is: `pressure read`, `stage passed`."""
    return fact.kind.replace("_", " ")


def record(session: Session, seq: int) -> str:
    """What record `seq` says, and where time is doubtful before it."""
    return f"{_said(session, seq)}{_doubtful(session, seq)}"


def _doubtful(session: Session, seq: int) -> str:
    if seq in session.clock_set:
        return " (clock set before)"
    again = seq > 1 and session.records[seq - 2].boot != session.records[seq - 1].boot
    return " (restart before)" if again else ""


def _said(session: Session, seq: int) -> str:
    fact = session.records[seq - 1].fact
    if isinstance(fact, f.Checking):
        return _checking(session, fact)
    if isinstance(fact, f.Water):
        return _water(session, fact)
    if isinstance(fact, f.Evidence):
        return _evidence(session, fact)
    return _closing(fact)


def _check(session: Session, name: str) -> str:
    check = session.check(name)
    return check.do if check else name


def _checking(session: Session, fact: f.Checking) -> str:
    system = session.plan.units
    match fact:
        case f.SessionOpened():
            return f"Test opened: {fact.plan.joint.name}"
        case f.CheckConfirmed():
            said = f" -- {fact.answer}" if fact.answer else ""
            return f"Confirmed: {_check(session, fact.check)}{said}"
        case f.CheckMeasured():
            found = quantity(fact.measure, system)
            wrong = "" if fact.sound else " -- outside the limit"
            return f"Measured {found}: {_check(session, fact.check)}{wrong}"
        case f.CheckWaived():
            return f"Waived: {_check(session, fact.check)} -- {fact.reason}"
        case f.WaitStarted():
            return f"Wait started: {_check(session, fact.check)}"
        case f.StagePassed():
            return f"Stage passed: {STAGE[fact.stage]}"
        case f.StageReopened():
            return f"Back to {STAGE[fact.stage]}: {fact.reason}"
        case f.GaugeFitted():
            return f"Gauge {fact.mark} fitted, {quantity(fact.height, system)} above centre"
        case f.OpeningMeasured():
            where = clock_position(fact.clock)
            return f"Opening {where}: {quantity(fact.opening, system)}"
        case _:
            assert_never(fact)


def _water(session: Session, fact: f.Water) -> str:
    match fact:
        case f.GaugeZeroed():
            return f"Gauge {fact.mark} at rest reads {quantity(fact.reading)}"
        case f.ValveTurned():
            state = _how_open(fact.share)
            what = "Gauge cock" if fact.which == "cock" else f"{fact.which.capitalize()} valve"
            return f"{what} {state}"
        case f.SupplySet():
            return f"Supply set to {quantity(fact.pressure)}"
        case f.VolumeAdded():
            return f"{quantity(fact.volume)} added, then {quantity(fact.after)}"
        case f.HoldStarted():
            return "Hold started"
        case f.ToppedUp():
            volume = f", {quantity(fact.volume)}" if fact.volume is not None else ""
            return f"Topped up from {quantity(fact.before)} to {quantity(fact.after)}{volume}"
        case f.PressureReleased():
            quiet = "quiet" if fact.vent_quiet else "still flowing"
            return f"Released: gauge {quantity(fact.gauge)}, vent {quiet}"
        case f.Mended():
            return f"Mended: {fact.what}"
        case _:
            assert_never(fact)


def _how_open(share: float) -> str:
    if share == 0:
        return "shut"
    return "cracked" if share < 0.05 else f"open {share:.0%}"


def _evidence(session: Session, fact: f.Evidence) -> str:
    match fact:
        case f.PressureRead():
            who = f", by {fact.read_by}" if fact.read_by else ""
            late = f" (late, from {fact.read_from}{who})" if fact.read_from else ""
            mark = f" on {fact.mark}" if fact.mark else ""
            return f"Read {quantity(fact.pressure)}{mark}{late}"
        case f.TemperatureRead():
            return f"{fact.what.capitalize()} at {quantity(fact.temperature)}"
        case f.Sighted():
            where = f"{PLACE[fact.place]} {clock_position(fact.clock)}".strip()
            returns = ", came back after wiping" if fact.returns else ""
            return f"Seen: {fact.grade} on the {where}{returns}"
        case f.Looked():
            wiped = "wiped, " if fact.wiped else ""
            return f"Looked all round: {wiped}{'dry' if fact.dry else 'not dry'}"
        case f.Noted():
            return f"Note: {fact.text}"
        case f.HandedOver():
            return f"Handed over to {fact.to}"
        case f.Struck():
            return f"Record {fact.of} struck: {fact.reason}"
        case _:
            assert_never(fact)


def _closing(fact: f.Closing) -> str:
    match fact:
        case f.SpecimenDisturbed():
            return f"Specimen disturbed: {fact.how}"
        case f.VerdictGiven():
            return f"Verdict announced: {OUTCOME[fact.outcome]}"
        case f.Signed():
            return f"Signed by {fact.name}, {fact.role}"
        case f.Abandoned():
            return f"Abandoned: {fact.reason}"
        case f.Amended():
            return f"Taken up again: {fact.reason}"
        case _:
            assert_never(fact)
