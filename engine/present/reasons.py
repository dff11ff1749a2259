"""Reasons of a verdict in words: the rule, what was found, the limit, and the records."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from engine.facts import CheckMeasured, Reason
from engine.present.moments import time_of_day
from engine.present.quantities import clock_position, quantity
from engine.present.words import PLACE
from engine.session import Session


def reason(session: Session, said: Reason) -> str:
    """One sentence, ending with the records it rests on."""
    known = _SENTENCES.get(said.rule)
    sentence = known(session, said) if known else said.rule.replace("_", " ")
    return f"{sentence}{_records(said)}"


def _records(said: Reason) -> str:
    if not said.records:
        return ""
    if len(said.records) > 3:
        return f" (records {said.records[0]} to {said.records[-1]})"
    word = "record" if len(said.records) == 1 else "records"
    return f" ({word} {', '.join(map(str, said.records))})"


def _measure(session: Session, said: Reason) -> str:
    return quantity(said.measure, session.plan.units) if said.measure is not None else "nothing"


def _limit(session: Session, said: Reason) -> str:
    return quantity(said.limit, session.plan.units) if said.limit is not None else "nothing"


def _where(said: Reason) -> str:
    place = PLACE[said.place] if said.place else "somewhere"
    position = clock_position(said.clock)
    return f"{place} {position}".strip()


def _seen(session: Session, said: Reason) -> str:
    return f"{said.grade} on the {_where(said)}{_at(session, said)}"


def _at(session: Session, said: Reason) -> str:
    if not said.records:
        return ""
    seq = said.records[0]
    sighting = next((s for s in session.evidence.sightings if s.seq == seq), None)
    return f", seen {time_of_day(session, sighting.t)}" if sighting else ""


def _check(session: Session, said: Reason) -> str:
    check = session.check(said.check or "")
    return check.do if check else str(said.check)


def _waived(session: Session, said: Reason) -> str:
    found = session.checking.settled.get(said.check or "")
    why = f" because {found.answer}" if found and found.answer else ""
    return f"Waived: {_check(session, said)}{why}"


def _measured_again(session: Session, said: Reason) -> str:
    facts = [session.records[seq - 1].fact for seq in said.records]
    found = [quantity(f.measure, session.plan.units) for f in facts if isinstance(f, CheckMeasured)]
    return f"Measured again: {_check(session, said)}: {', then '.join(found)}"


def _told(text: str) -> Callable[[Session, Reason], str]:
    return lambda session, said: text


def _text_of(session: Session, said: Reason) -> str:
    happened = [*session.closing.disturbed]
    if session.closing.abandoned:
        happened.append(session.closing.abandoned)
    return next((h.text for h in happened if h.seq in said.records), "")


_SENTENCES: Final[dict[str, Callable[[Session, Reason], str]]] = {
    "record_damaged": _told("The record of this test is damaged"),
    "specimen_disturbed": lambda s, r: f"The specimen was disturbed: {_text_of(s, r)}",
    "primary_leak": lambda s, r: f"Leak past the primary gasket: {_seen(s, r)}",
    "rig_leak": lambda s, r: f"The rig leaked and was not mended: {_seen(s, r)}",
    "rig_leak_open": lambda s, r: f"The rig leaks where it can wet the joint: {_seen(s, r)}",
    "abandoned": lambda s, r: f"Abandoned: {_text_of(s, r)}",
    "check_owed": lambda s, r: f"Not settled: {_check(s, r)}",
    "gauge_overdue": _told("The gauge was out of calibration on the day"),
    "gauge_not_zeroed": _told("The gauge's zero was not read before the hold"),
    "far_off_zero": lambda s, r: (
        f"Without pressure the gauge stood at {_measure(s, r)}; {_limit(s, r)} off zero at most"
    ),
    "gauge_height_unknown": _told(
        "The gauge's height is not known: one below the port shows more than there is at the datum"
    ),
    "gauge_unread": _told("Two gauges count alike, and one of them was not read in the hold"),
    "zero_shifted": lambda s, r: (
        f"The gauge's zero moved by {_measure(s, r)}, more than one graduation ({_limit(s, r)})"
    ),
    "gauges_disagree": lambda s, r: (
        f"Two gauges disagree by {_measure(s, r)}; their errors allow {_limit(s, r)}"
    ),
    "needle_rose_not": _told("The needle was not seen to answer on the way up"),
    "needle_fell_not": _told("The needle was not seen to answer on the way down"),
    "drip_open": lambda s, r: f"Not yet wiped and looked dry: {_seen(s, r)}",
    "unfinished": _told("The test is not over yet"),
    "no_hold": _told("No hold was started"),
    "air_over_limit": lambda s, r: (
        f"Trapped air is {_measure(s, r)} of the pocket, more than {_limit(s, r)}: vent again"
    ),
    "credit_short": lambda s, r: f"Held {_measure(s, r)} of {_limit(s, r)}",
    "not_looked_during": _told("Nobody looked at the primary gasket during the credited time"),
    "not_looked_at_end": _told("Nobody looked at the primary gasket at the end, under pressure"),
    "no_reading_after_look": _told(
        "No good reading after the last look: nothing shows that the pressure was still there"
    ),
    "wet_unexplained": _told(
        "A look found the primary gasket not dry, but not what was seen or where"
    ),
    "looks_too_far_apart": lambda s, r: (
        f"Looks were {_measure(s, r)} apart; the procedure wants {_limit(s, r)} at most"
    ),
    "credit_complete": lambda s, r: f"Held {_measure(s, r)}; {_limit(s, r)} were needed",
    "primary_tight": _told("Looked at during the hold and at its end: no leak past the primary"),
    "pressure_simple": lambda s, r: (
        f"Lowest corrected reading {_measure(s, r)}; at least {_limit(s, r)} needed (as read)"
    ),
    "pressure_guarded": lambda s, r: (
        f"Lowest corrected reading {_measure(s, r)}; at least {_limit(s, r)} needed, "
        "guard band included"
    ),
    "waived": _waived,
    "measured_again": _measured_again,
    "drip_dried": lambda s, r: f"Dried within the time it may stand: {_seen(s, r)}",
    "seen_harmless": lambda s, r: f"No reason to fail: {_seen(s, r)}",
    "seen_before_reseating": lambda s, r: (
        f"Seen under pressure before the gaskets were seated anew: {_seen(s, r)}"
    ),
    "seen_outside": lambda s, r: f"Seen outside the time under pressure: {_seen(s, r)}",
    "topped_up": _told("Topped up during the test, as the procedure allows"),
    "topped_up_forbidden": _told("Topped up though the procedure forbids it: credit began again"),
    "fed_unread": _told(
        "Water was let in without the pressure before it being read: credit began again"
    ),
    "rests_on_late": lambda s, r: f"{_measure(s, r)} of the credit rests on late readings",
    "ticked_off": lambda s, r: (
        f"{_measure(s, r)} checks were answered within {_limit(s, r)}, faster than one can look"
    ),
    "over_cap": lambda s, r: f"The cap was passed: {_measure(s, r)}, cap {_limit(s, r)}",
    "zero_on_pin": _told(
        "The gauge's needle rests on a pin: a zero that reads low could not be seen"
    ),
    "held_again": _told("Held more than once"),
    "machine_restarted": _told("The machine was restarted: no credit across the restart"),
    "clock_set": _told(
        "The machine's clock was set meanwhile: times of day are doubtful, durations are not"
    ),
}
