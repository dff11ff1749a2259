"""What a new session takes over from an earlier one, and what is asked again."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final, Literal

from engine.checks import Check
from engine.facts import Carried, Practice, SessionOpened
from engine.judging.settling import Standing, standing
from engine.marks import marks
from engine.planfile import PlanFile, read_plan
from engine.procedure import Procedure
from engine.procedures import unconfirmed
from engine.rig import Gauge, Specimen
from engine.session import Session
from engine.stages import checks_for
from engine.trouble import Trouble
from engine.units import Quantity

Kind = Literal["again", "next_alignment", "new_specimen"]
"""The same specimen held again, or opened to its next alignment; or the next pair off the line."""

NEVER: Final = frozenset({"ports_clear"})
"""Looked at afresh whatever a check says of itself: the spigot moves, the ports stay."""

PORTS: Final = frozenset(
    {"vent_top", "vent_corner", "port_places", "drilled", "bonded", "bond_cured", "bores_open"}
)
"""They are in the bell, and go with its mark where only the spigot is another."""

OPENED: Final = (
    Check(id="drained_first", stage="prepare", rank="safety", caution="release",
          do="Gauge at zero, vent open and quiet, drained: before the joint is opened"),
    Check(id="gasket_again", stage="prepare", asks="text",
          do="Primary gasket for the next alignment: the same or a new one?"),
)  # fmt: skip
"""Come first where a joint that was under test is moved to its next alignment."""


class Unrepeatable(Trouble):
    """No test can follow like that; one line says why."""


@dataclass(frozen=True)
class Changes:
    """What is wanted otherwise than last time; None stays as it was."""

    alignment: Literal["straight", "deflected"] | None = None
    opening: Quantity | None = None
    open_side: float | None = None
    procedure: Procedure | None = None
    specimen: Specimen | None = None
    gauges: tuple[Gauge, ...] | None = None
    """As they are now: calibrated again since, maybe."""


@dataclass(frozen=True)
class Repeat:
    """A test that is ready to be opened."""

    kind: Kind
    plan: PlanFile
    checks: tuple[Check, ...]
    carried: tuple[Carried, ...]
    follows: str | None
    """The session before, of the same specimen; a new specimen's story begins afresh."""
    overdue: tuple[str, ...] = field(default=())
    """Gauges that are out of calibration and stand in the plan for want of another."""
    practice: Practice | None = None

    def opening(self) -> SessionOpened:
        return SessionOpened(
            plan=self.plan,
            checks=self.checks,
            follows=self.follows,
            carried=self.carried,
            practice=self.practice,
        )


def repeat(
    kind: Kind,
    identity: str,
    session: Session,
    today: dt.date,
    changes: Changes = Changes(),
) -> Repeat:
    """The test that follows `session`, whose identity is given.

    Raises Unrepeatable where there is nothing to follow, BadPlan where the changes cannot be.
    """
    _repeatable(kind, session)
    procedure = _procedure(kind, session.plan.procedure, changes)
    gauges = _in_date(changes.gauges or session.plan.gauges, today)
    plan = _plan(kind, session, procedure, gauges, changes.specimen)
    first = OPENED if kind == "next_alignment" else ()
    checks = (*first, *checks_for(plan))
    return Repeat(
        kind=kind,
        plan=plan,
        checks=checks,
        carried=tuple(_carried(identity, session, plan, checks, _same(kind, session, plan))),
        follows=None if kind == "new_specimen" else identity,
        overdue=tuple(g.mark for g in plan.gauges if _overdue(g, today)),
        practice=session.checking.practice,
    )


def _repeatable(kind: Kind, session: Session) -> None:
    if session.opened is None:
        raise Unrepeatable("nothing was opened there: a test begins with its plan")
    if kind == "new_specimen":
        return
    if not session.closed:
        raise Unrepeatable("that test is still open: go on with it, or abandon it first")
    if session.closing.disturbed:
        raise Unrepeatable("that specimen was disturbed: take another one")


def _procedure(kind: Kind, before: Procedure, changes: Changes) -> Procedure:
    given = changes.procedure
    procedure = given or before
    if (why := unconfirmed(procedure)) is not None:
        raise Unrepeatable(why)
    alignment: str = changes.alignment or procedure.alignment
    if kind == "next_alignment" and changes.alignment is None and given is None:
        alignment = "straight" if before.alignment == "deflected" else "deflected"
    wanted: dict[str, object] = {"alignment": alignment, "opening": None}
    if alignment == "deflected":
        wanted["opening"] = changes.opening if changes.opening is not None else procedure.opening
    elif changes.opening is not None:
        wanted["opening"] = changes.opening
    if changes.open_side is not None:
        wanted["open_side"] = changes.open_side
    after = procedure.model_copy(update=wanted)
    if kind == "next_alignment" and _held_so(before) == _held_so(after):
        raise Unrepeatable(f"it was held {before.alignment} so already: hold it again instead")
    return after


def _held_so(procedure: Procedure) -> tuple[object, ...]:
    if procedure.alignment == "straight":
        return ("straight",)
    return procedure.alignment, procedure.opening, procedure.open_side


def _in_date(gauges: tuple[Gauge, ...], today: dt.date) -> tuple[Gauge, ...]:
    """Those in calibration; all of them where none is, for the check of it to refuse."""
    kept = tuple(g for g in gauges if not _overdue(g, today))
    return kept or gauges


def _overdue(gauge: Gauge, today: dt.date) -> bool:
    return gauge.calibration_due is not None and gauge.calibration_due < today


def _plan(
    kind: Kind,
    session: Session,
    procedure: Procedure,
    gauges: tuple[Gauge, ...],
    specimen: Specimen | None,
) -> PlanFile:
    """As it was pinned, so that what was measured then is measured again or carried by name."""
    assert session.opened is not None
    pinned = session.opened.plan
    plan = pinned.model_copy(
        update={
            "procedure": procedure,
            "gauges": gauges,
            "specimen": specimen or _specimen(kind, session, pinned.specimen),
        }
    )
    return read_plan(plan.model_dump(mode="json"))


def _specimen(kind: Kind, session: Session, before: Specimen) -> Specimen:
    if kind == "new_specimen":
        return Specimen(customer=before.customer, place=before.place)
    read = marks(session)
    return before.model_copy(
        update={
            "spigot": read.spigot or before.spigot,
            "bell": read.bell or before.bell,
            "gasket_lot": None,
            "lubricant": None,
        }
    )


# --- what is carried over -----------------------------------------------------------------------

Same = frozenset[Literal["specimen", "product", "bell", "demand"]]


def _same(kind: Kind, session: Session, plan: PlanFile) -> Same:
    """What is the same as in the earlier session."""
    same: set[Literal["specimen", "product", "bell", "demand"]] = {"product"}
    bell = marks(session).bell
    if kind != "new_specimen":
        same |= {"specimen", "bell"}
    elif bell and bell == " ".join((plan.specimen.bell or "").split()):
        same.add("bell")
    if _demanded(session.plan.procedure) == _demanded(plan.procedure):
        same.add("demand")
    return frozenset(same)


def _demanded(procedure: Procedure) -> tuple[object, ...]:
    return (
        procedure.authority,
        procedure.edition,
        procedure.clause,
        procedure.pressure,
        procedure.hold_time,
    )


def _allowed(check: Check, same: Same) -> bool:
    """May what was found for a check stand in a test where so much is the same?"""
    if check.rank == "safety" or check.id in NEVER or check.stands == "never":
        return False
    if check.id == "demand" and "demand" not in same:
        return False
    return check.stands in same or (check.id in PORTS and "bell" in same)


def _carried(
    identity: str, session: Session, plan: PlanFile, checks: tuple[Check, ...], same: Same
) -> Iterator[Carried]:
    asked = {c.id: c for c in checks}
    for before in session.checking.checks:
        now = asked.get(before.id)
        if now is None or not (_allowed(before, same) and _allowed(now, same)):
            continue
        found = _found(identity, session, standing(session, before, session.t))
        if found is not None:
            yield found


def _found(identity: str, session: Session, here: Standing) -> Carried | None:
    """What was found for a check, with the session it was found in.

    None where it was not settled, was waived, or is worked out afresh anyway.
    """
    name = here.check.id
    if here.how == "carried":
        return session.checking.carried[name]
    if here.how == "waited":
        started = session.checking.waits.get(name)
        measure = here.finding.measure if here.finding else None
        seq, answer = started.seq if started else 0, None
    elif here.how in ("confirmed", "measured") and here.settlement is not None:
        seq, answer, measure = (
            here.settlement.seq, here.settlement.answer, here.settlement.measure
        )  # fmt: skip
    else:
        return None
    if not seq:
        return None
    by = session.records[seq - 1].by
    return Carried(check=name, session=identity, seq=seq, by=by, answer=answer, measure=measure)
