"""Answers to checks, and what is no answer: confirmed, measured, waived, waited for."""

from __future__ import annotations

import re
from typing import Final

from engine import present
from engine.asking.plausible import can_be, can_hang
from engine.asking.refusing import Refused, must, said
from engine.asking.starting import wait_started
from engine.checks import Check, day_of, earlier
from engine.facts import CheckConfirmed, CheckMeasured, CheckWaived, WaitStarted
from engine.judging.rules import find
from engine.judging.settling import needs_release, standing
from engine.marks import Marks, marks, read_marks
from engine.session import Session
from engine.units import (
    DURATION,
    FLOW,
    LENGTH,
    PRESSURE,
    TEMPERATURE,
    VOLUME,
    Quantity,
    amount,
)


def _of_stage(session: Session, name: str) -> Check:
    """A check that may be answered now: of this stage, or owed from an earlier one."""
    check = session.check(name)
    if check is None:
        raise Refused(f"there is no check {name!r} in this test")
    must(
        not earlier(session.stage, check.stage),
        f"{present.STAGE[check.stage]} comes later: now it is {present.STAGE[session.stage]}",
    )
    return check


def confirmed(session: Session, name: str, answer: str | None, now: float) -> CheckConfirmed:
    """Somebody stood there and says yes."""
    check = _of_stage(session, name)
    here = standing(session, check, now)
    _loose(session, check)
    must(
        check.id not in _AFTER_RELEASE or not session.under_pressure,
        f"{present.check(check)}: release the pressure first",
    )
    must(check.kind != "wait", "a wait is over when its time is: it is not confirmed")
    must(check.kind != "measure", f"{present.check(check)}: a figure is asked for")
    mended = check.asks == "date" and check.id in session.checking.settled
    if check.kind == "compute" and not mended:
        must(here.asked or here.settled, present.open_check(session, here))
        must(not here.settled or here.how != "computed", "this is worked out, and it is settled")
    if check.kind == "confirm" and check.rule:
        first = find(session, check.rule)
        must(first.ok is True, f"{present.why(first.why)}: {present.check(check)}")
    _understood(check, answer or "")
    if check.id == "marks":
        _of_this_specimen(session, read_marks(answer or ""))
    return CheckConfirmed(check=check.id, answer=answer)


_AFTER_RELEASE: Final = ("drained", "peak_inspected", "no_crack")
_NO: Final = ("no", "n", "not", "air", "bubbles")
_EITHER: Final = {"gasket_again": ("same", "new")}
"""Of what is asked in words, where one of two things can be."""


def _understood(check: Check, answer: str) -> None:
    """What was said answers what was asked, and says yes."""
    asked, said_ = present.check(check), answer.strip().lower()
    must(bool(said_) or check.asks not in ("text", "positions", "air"), f"{asked}: say it")
    if check.asks == "text":
        _demanded(check, answer)
        either = _EITHER.get(check.id, ())
        chosen = [word for word in either if word in _words(said_)]
        must(not either or len(chosen) == 1, f"{asked} Say {' or '.join(either)}")
        return
    if check.asks == "voucher":
        who, _, ground = answer.partition(":")
        must(bool(who.strip() and ground.strip()), f"{asked}: say who answers for it, and on what")
        return
    if check.asks == "date":
        must(
            day_of(answer) is not None, f"{answer.strip()[:20]!r}: expected a day, like 2027-03-31"
        )
        return
    no = said_ in _NO
    if check.asks == "air":
        must(no or said_ == present.ONLY_WATER, f"{asked}: say air, or {present.ONLY_WATER}")
    if check.asks == "positions":
        must(no or said_ == present.ALL_ROUND, f"{asked}: say it for 12, 3, 6 and 9")
    must(not no, f"{asked}: {answer!r} is no yes; put it right first")


def _demanded(check: Check, answer: str) -> None:
    """A joint is two sections, and each has a mark."""
    if check.id == "marks":
        read = read_marks(answer)
        must(
            bool(read.spigot and read.bell),
            f"{answer.strip()[:20]!r}: expected the marks of both sections, spigot / bell",
        )


def _words(text: str) -> set[str]:
    return set(re.findall(r"[^\W\d_]+|\d+", text))


def _of_this_specimen(session: Session, read: Marks) -> None:
    """What was carried over for a bell, or a pair, is not taken for another."""
    carried, known = session.checking.carried, marks(session)
    if not any(c.stands == "specimen" for c in session.checking.checks if c.id in carried):
        return
    alike = read == known if "marks" in carried else read.bell == known.bell
    must(
        alike or not known.bell,
        f"checks were carried over for {known}: another specimen is a test of its own",
    )


def _loose(session: Session, check: Check) -> None:
    """No nut is touched while there may be pressure."""
    must(check.caution != "tighten" or not session.under_pressure, present.NOT_UNDER_PRESSURE)
    must(not needs_release(session, check), present.NOT_UNDER_PRESSURE)


def measured(session: Session, name: str, measure: Quantity) -> CheckMeasured:
    """A figure, written down with the limit it is held against."""
    check = _of_stage(session, name)
    _loose(session, check)
    must(check.kind == "measure", f"{present.check(check)}: there is nothing to measure")
    _fits(session, check, measure)
    can_be(check, measure)
    found = find(session, check.rule) if check.rule else None
    least = check.at_least if check.at_least is not None else (found.limit if found else None)
    passed = _passed_limit(measure, least, check.at_most)
    limit = passed if passed is not None else least if least is not None else check.at_most
    return CheckMeasured(check=check.id, measure=measure, limit=limit, sound=passed is None)


def _passed_limit(
    value: Quantity, least: Quantity | None, most: Quantity | None
) -> Quantity | None:
    """The limit on whose wrong side the figure lies."""
    for limit, sign in ((least, 1), (most, -1)):
        if limit is not None:
            unit = f"{limit.units}"
            short = sign * (amount(limit, unit) - amount(value, unit))
            if short > 1e-9 * max(1.0, abs(amount(limit, unit))):
                return limit
    return None


_ASKED: Final = {
    "length": LENGTH, "pressure": PRESSURE, "temperature": TEMPERATURE, "volume": VOLUME,
    "time": DURATION, "flow": FLOW,
}  # fmt: skip


def _fits(session: Session, check: Check, value: Quantity) -> None:
    """A figure of the right kind that, put into the plan, leaves a plan that can be."""
    wanted = _ASKED.get(check.asks or "")
    right = wanted.holds(value) if wanted else value.dimensionless
    expected = wanted.expected if wanted else "a number"
    must(bool(right), f"{present.quantity(value)} found, expected {expected}")
    if check.field is None:
        return
    changed, section = session.plan.with_field(check.field, value), check.field.partition(".")[0]
    searched = changed.gauge if section == "gauge" else getattr(changed, section)
    for fault in searched.faults():
        raise Refused(f"{present.quantity(value)} cannot be: {fault}")
    if check.field == "gauge.height":
        can_hang(changed, changed.gauge)


def waived(session: Session, name: str, reason: str) -> CheckWaived:
    """Passed over, by name and with a reason; never a safety check."""
    check = _of_stage(session, name)
    must(check.rank != "safety", f"{present.check(check)}: a safety check cannot be waived")
    must(check.id not in ("announced", "signed"), f"{present.check(check)}: cannot be waived")
    return CheckWaived(check=check.id, reason=said(reason, "why it is waived"))


def waiting(session: Session, name: str, ago: float, now: float) -> WaitStarted:
    """A wait runs, from `ago` seconds before now."""
    check = _of_stage(session, name)
    must(check.kind == "wait", f"{present.check(check)}: there is nothing to wait for")
    return wait_started(session, check.id, ago, now)
