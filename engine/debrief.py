"""After practice: the true fault, when it could first have been seen, and what was made of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, NamedTuple

from engine.facts import Noted, Outcome
from engine.grades import as_wet_as
from engine.judging.holding import levels_of
from engine.levels import vent_height, water_weight
from engine.practice import FAULTS, Seen
from engine.rehearsal import seen, setup_of, sound
from engine.session import Session
from engine.units import amount

CONCLUDED: Final = "Fault found: "
"""How the note begins in which a trainee says what is wrong."""
_EVERY: Final = 15.0  # s between two looks at a joint that is left alone
_MOST: Final = 40  # such looks between two records, so that a night costs no more than an hour
_PERSISTS: Final = 3  # looks in a row at which a dial that is one mark off counts


class Sign(NamedTuple):
    """Something that stood before the eye and would not have, on a sound joint."""

    t: float
    words: str


class Conclusion(NamedTuple):
    t: float
    fault: str


@dataclass(frozen=True)
class Debrief:
    """Pressures in psi at the crown, times in seconds since the session was opened."""

    fault: str
    told: str
    first: Sign | None
    """None where nothing could be seen of it, or there was nothing."""
    concluded: tuple[Conclusion, ...]
    announced: tuple[float, Outcome] | None
    peak: float
    cap: float
    over_at: float | None
    """When the pressure never to be exceeded was exceeded."""

    @property
    def found(self) -> bool:
        """The last thing concluded is the truth."""
        return bool(self.concluded) and self.concluded[-1].fault == self.fault


def debrief(session: Session) -> Debrief | None:
    """None for a real test, and where the joint was made by another edition of the model."""
    practice, last = session.checking.practice, seen(session, session.t)
    if practice is None or last is None:
        return None
    moments = tuple(_moments(session))
    verdicts = session.closing.verdicts
    cap = _cap(session)
    return Debrief(
        fault=practice.fault,
        told=FAULTS.get(practice.fault, practice.fault),
        first=_first(session, moments) if practice.fault != "none" else None,
        concluded=concluded(session),
        announced=(verdicts[-1].t, verdicts[-1].outcome) if verdicts else None,
        peak=last.peak,
        cap=cap,
        over_at=next((t for t in moments if _true(session, t) > cap), None)
        if last.peak > cap
        else None,
    )


def conclusion(fault: str) -> Noted:
    """The note that says what is wrong.  ValueError for a fault nobody knows."""
    if fault not in FAULTS:
        raise ValueError(f"{fault!r}: expected one of {', '.join(FAULTS)}")
    return Noted(text=f"{CONCLUDED}{fault}")


def concluded(session: Session) -> tuple[Conclusion, ...]:
    """What was said to be wrong, in the order in which it was said."""
    return tuple(
        Conclusion(note.t, note.text.removeprefix(CONCLUDED))
        for note in session.evidence.notes
        if note.text.startswith(CONCLUDED)
    )


def _moments(session: Session) -> Iterator[float]:
    """When somebody could have looked: after each record, and now and then in between."""
    for a, b in pairwise(session.times):
        yield a
        looks = min(int((b - a) / _EVERY), _MOST)
        for n in range(1, looks):
            yield a + (b - a) * n / looks
    yield session.t


def _cap(session: Session) -> float:
    """The pressure never to be exceeded, carried from the gauge to the crown."""
    bounds, plan = levels_of(session), session.plan
    return bounds.cap + (bounds.height - vent_height(plan.joint)) * water_weight(plan)


def _true(session: Session, t: float) -> float:
    there = seen(session, t)
    return there.at_crown if there is not None else 0.0


# --- what gives it away ---------------------------------------------------------------------------


def _first(session: Session, moments: tuple[float, ...]) -> Sign | None:
    """The earliest of: tape and feeler, and whatever shows otherwise than on a sound joint."""
    felt = min(_felt(session), default=None)
    hung, off = _hung(session), 0
    for t in moments:
        if felt is not None and t >= felt.t:
            return felt
        is_, was = seen(session, t), sound(session, t)
        if is_ is None or was is None:
            return None
        told = _told(is_, was)
        if told:
            return Sign(t, told)
        marks = abs(is_.dial - was.dial) / amount(session.plan.gauge.graduation, "psi")
        off = off + 1 if marks > 0.5 and t >= hung else 0
        if off and (marks > 1.5 or off >= _PERSISTS):
            way = "higher" if is_.dial > was.dial else "lower"
            return Sign(t, f"the gauge stood {way} than on a sound joint")
    return felt


def _settled_at(session: Session, check: str) -> Iterator[float]:
    for record, t in zip(session.records, session.times, strict=True):
        if getattr(record.fact, "check", "") == check:
            yield t


def _hung(session: Session) -> float:
    """When the gauge was first there to be read."""
    return min([*_settled_at(session, "fittings"), *(v.t for v in session.water.turns)],
               default=0.0)  # fmt: skip


def _felt(session: Session) -> Iterator[Sign]:
    """What tape, feeler and the hand on a valve tell, where the check was done."""
    setup, supply = setup_of(session), session.plan.supply
    if setup is None:
        return
    if setup.vent_height < setup.rise / 2 - 1e-6:
        for t in _settled_at(session, "vent_top"):
            yield Sign(t, "the tape along the wall, from the very top to the vent")
    if setup.line_air > 0:
        for t in _settled_at(session, "line_bled"):
            yield Sign(t, "the gauge line spat air as it was bled")
    if supply.relief is not None and setup.relief > amount(supply.relief, "psi") + 0.1:
        for t in _settled_at(session, "relief_lifts"):
            yield Sign(t, "the relief valve lifted higher than it was set")
    for t in _settled_at(session, "feeler"):
        there = seen(session, t)
        if there is not None and there.feeler:
            where = f"{there.feeler[0]:g} o'clock"
            yield Sign(t, f"the feeler found the gasket out of its place at {where}")


def _told(is_: Seen, was: Seen) -> str:
    """What differs for anybody to see, the gauge left out."""
    new = [w for w in is_.leaks if w not in was.leaks and as_wet_as(w.grade, "damp")]
    if new:
        return f"{new[0].grade} on the {new[0].place} at {new[0].clock:g} o'clock"
    if is_.cock != was.cock:
        return "the gauge's cock stood shut"
    if is_.vent_flow != was.vent_flow:
        return f"from the vent came {is_.vent_flow}, and not {was.vent_flow}"
    if is_.relief_lifting != was.relief_lifting:
        return "the relief valve lifted" if is_.relief_lifting else "the relief valve did not lift"
    return ""
