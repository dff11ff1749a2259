"""One session as a row of the index: what lists and trends show of it."""

from __future__ import annotations

from engine import present
from engine.facts import RULES_EDITION
from engine.holding import holding
from engine.session import Session
from engine.verdict import verdict


def row(identity: str, session: Session) -> dict[str, str | float | bool | None]:
    """Display strings and figures, small enough for ten thousand of them."""
    plan, hold = session.plan, holding(session)
    going_on = not session.closed
    opened = session.records[0].at
    marks = session.checking.settled.get("marks")
    return {
        "session": identity,
        "product": plan.joint.name,
        "marks": marks.answer if marks else "",
        "alignment": plan.procedure.alignment,
        "state": present.STAGE[session.stage]
        if going_on
        else present.OUTCOME[verdict(session).outcome],
        "open": going_on,
        "opened": opened.isoformat(timespec="seconds"),
        "when": f"{opened:%Y-%m-%d %H:%M}",
        "by": session.by,
        "gauge": plan.gauge.mark,
        "practice": session.checking.practice is not None,
        "follows": session.opened.follows if session.opened else None,
        "credit": hold.credit.seconds if hold else 0.0,
        "top_ups": float(len(session.water.top_ups)),
        "took": session.t,
        "rules": float(RULES_EDITION),
    }
