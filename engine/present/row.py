"""One session as a row of the index: what a list shows and what a trend is drawn from.

The keys are stable and the values plain, so that a list is shown, searched and judged without a
single session being read.
"""

from __future__ import annotations

from typing import Final

from engine.facts import Outcome
from engine.figures import Figures, figures
from engine.judging.verdict import verdict
from engine.marks import make, marks
from engine.present.moments import day_and_time
from engine.present.words import STAGE, ended_as
from engine.session import Session

Row = dict[str, str | float | bool | None]

_LONGEST: Final = {"product": 120, "marks": 40, "procedure": 64, "edition": 16, "by": 24,
                   "gauge": 24}  # fmt: skip
"""A product is known by its name, which is never cut."""


def row(identity: str, session: Session, damaged: bool = False) -> Row:
    """The row of a session; of a damaged one, whatever of it could still be read.

    `outcome` is None while the test is open. `lost` in psi, `rate` in psi/min, `flow` in mL/min,
    `air` in percent of the pocket, `seconds` from the end of preparing.
    """
    closed = session.closed or damaged
    outcome = verdict(session, damaged).outcome if closed else None
    words = {key: _short(text, _LONGEST[key]) for key, text in _words(session).items()}
    return {
        "session": identity,
        **words,
        "make": make(session.opened.plan.joint) if session.opened else "",
        "units": session.opened.plan.units if session.opened else "",
        "alignment": session.opened.plan.procedure.alignment if session.opened else "",
        "outcome": outcome,
        "state": _state(session, outcome, damaged),
        "when": day_and_time(session.records[0].at) if session.records else "",
        "follows": session.opened.follows if session.opened else None,
        "open": not closed,
        "pressure": not closed and session.opened is not None and session.under_pressure,
        "practice": session.checking.practice is not None,
        "rules": session.opened.rules if session.opened else None,
        **_figures(figures(session) if session.opened else Figures()),
    }


def _words(session: Session) -> dict[str, str]:
    if session.opened is None:
        return dict.fromkeys(_LONGEST, "")
    plan = session.plan
    gauges = sorted(plan.gauges, key=lambda gauge: gauge is not plan.gauge)
    return {
        "product": plan.joint.name,
        "marks": str(marks(session)),
        "procedure": plan.procedure.name or plan.procedure.authority,
        "edition": plan.procedure.edition,
        "by": session.by,
        "gauge": ", ".join(gauge.mark for gauge in gauges),
    }


def _state(session: Session, outcome: Outcome | None, damaged: bool) -> str:
    """In a word: the outcome, the stage of an open test, or why there is neither."""
    if damaged:
        return "DAMAGED"
    return ended_as(session, outcome) if outcome else STAGE[session.stage]


def _figures(found: Figures) -> Row:
    return {
        "lost": _rounded(found.lost, 4),
        "rate": _rounded(found.rate, 5),
        "flow": _rounded(found.flow, 3),
        "top_ups": found.top_ups,
        "seconds": _rounded(found.seconds, 0),
        "air": _rounded(found.air, 3),
    }


def _rounded(value: float | None, places: int) -> float | None:
    return None if value is None else round(value, places) + 0.0


def _short(text: str, longest: int) -> str:
    line = " ".join(text.split())
    return line if len(line) <= longest else f"{line[: longest - 3]}..."
