"""Conversations of practice: time that passes, a walk round, supply and cock, what is wrong."""

from __future__ import annotations

from typing import Final

from engine import facts as f
from engine import present
from engine.asking.commands import Write
from engine.debrief import conclusion
from engine.judging.holding import holding
from engine.judging.settling import standings, stopping
from engine.practice import FAULTS
from engine.rehearsal import seen
from engine.units import DURATION, PRESSURE
from tui.practice import Practice
from tui.talk import evidence
from tui.talk.asking import Conversation, Submit, Talk
from tui.technician import towards

NAMES: Final = tuple(FAULTS)
_YOURS: Final = frozenset({"vent_top", "feeler", "gauge_zeroed"})
"""Checks that tell of a fault: nobody does them for a trainee."""


def time_on(talk: Talk, course: Practice) -> Conversation:
    """Time passes at once: to the end of a wait, to the next reading, or so long."""
    choices = {"t": "10 s", "m": "1 min", "x": "say how long"}
    due = {**_waits(talk), **_due(talk), **_filling(talk)}
    told = {key: f"{what} ({present.duration(seconds)})" for key, (what, seconds) in due.items()}
    picked = yield from talk.pick("Let time pass", **told, **choices)
    if picked == "x":
        gone, _ = yield from talk.quantity("How long", DURATION)
        course.skip(min(max(0.0, float(gone.m_as("s"))), 48 * 3600.0))
    elif picked in due:
        again = {
            **_waits(talk),
            **_due(talk),
            **_filling(talk),
        }  # some of it passed while the question stood
        course.skip(again.get(picked, ("", 0.0))[1] + 0.1)
    else:
        course.skip(10.0 if picked == "t" else 60.0)


def _filling(talk: Talk) -> dict[str, tuple[str, float]]:
    """How long until water comes from the vent, where it is on its way."""
    there = seen(talk.session, talk.now())
    if there is None or there.vent_flow not in ("air", "spitting"):
        return {}
    for later in range(10, 3600, 10):
        ahead = seen(talk.session, talk.now() + later)
        if ahead is not None and ahead.vent_flow == "water":
            return {"v": ("until water comes", float(later))}
    return {}


def _waits(talk: Talk) -> dict[str, tuple[str, float]]:
    session, now = talk.session, talk.now()
    left = [s.left for s in standings(session, session.stage, now) if s.waiting and s.left]
    return {"w": ("the wait's end", min(left))} if left else {}


def _due(talk: Talk) -> dict[str, tuple[str, float]]:
    hold = holding(talk.session)
    if hold is None or not hold.running or hold.due <= talk.now():
        return {}
    return {"r": ("the next reading", hold.due - talk.now())}


def walk_round(talk: Talk) -> Conversation:
    """What is seen outside stands above; it is written down only where somebody says so."""
    picked = yield from talk.pick("Write down", s="a sighting", n="nothing")
    if picked == "s":
        yield from evidence.sighting(talk)


def supply(talk: Talk) -> Conversation:
    pressure, _ = yield from talk.quantity("Supply set to (0 drains by the open inlet)", PRESSURE)
    yield Submit(Write(f.SupplySet(pressure=pressure)))


def cock(talk: Talk) -> Conversation:
    picked = yield from talk.pick("The gauge's cock is now", o="open", s="shut")
    share = 1.0 if picked == "o" else 0.0
    yield Submit(Write(f.ValveTurned(which="cock", share=share)))


_WRONG: Final = "What is wrong: its number (the debrief comes when the test is over)"


def conclude(talk: Talk) -> Conversation:
    """What the trainee takes the fault to be; it may be said again, and the last counts."""
    text, refusal = "", ""
    while True:
        text = yield from talk.text(_WRONG, text, refusal)
        if text.isdecimal() and 1 <= int(text) <= len(NAMES):
            yield Submit(Write(conclusion(NAMES[int(text) - 1])))
            return
        refusal = f"{text[:20]!r}: expected a number from 1 to {len(NAMES)}"


def helped(course: Practice) -> int:
    """The plain checks of this stage are done as they should be; how many records that took."""
    before = course.session.seq
    stage = course.session.stage
    if stage not in ("prepare", "seal"):
        return 0
    for _ in range(200):
        session, now = course.session, course.now()
        there = course.seen()
        here = next((s for s in stopping(session, stage, now) if s.check.id not in _YOURS), None)
        if here is None or there is None:
            break
        move = towards(session, now, there, here)
        course.skip(move.after)
        if move.command is not None:
            course.ask(move.command)
    return course.session.seq - before
