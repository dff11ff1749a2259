"""How the test went: every try, what was taken back, what was struck, how the checks were made."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.certificate import runs
from engine.certificate.log import Logged, log
from engine.certificate.tree import Row, Table
from engine.certificate.words import left_out, plain, spread
from engine.checks import STAGES, Check
from engine.judging.settling import Standing, standings
from engine.judging.verdict import verdict
from engine.present import STAGE, ended_as, pressure, quantity, record, time_of_day
from engine.present.quantities import System
from engine.session import Session
from engine.session.session import HoldSpan
from engine.units import Quantity, stored

MOST = 16


def course(session: Session) -> Table:
    """Holds, ways back, releases, mending: no try is hidden."""
    told = sorted(_told(session))
    chosen = spread(told, MOST)
    rows = tuple((str(told[n][0]), told[n][1], plain(told[n][2])) for n in chosen)
    head = ("record", "time", "what happened")
    return Table("Tries in this test", head, rows, left_out(len(rows), len(told), "events"))


def _told(session: Session) -> Iterator[tuple[int, str, str]]:
    for number, span in enumerate(session.holds, 1):
        yield span.seq, time_of_day(session, span.start), _hold(session, number, span)
        yield from runs.told(session, span, number)
    for reopened in session.checking.reopened:
        at = time_of_day(session, reopened.t)
        yield reopened.seq, at, f"Back to {STAGE[reopened.stage]}: {reopened.reason}"
    for seq, t in _happened(session):
        yield seq, time_of_day(session, t), record(session, seq)


def _happened(session: Session) -> Iterator[tuple[int, float]]:
    water, closing = session.water, session.closing
    yield from ((released.seq, released.t) for released in water.released)
    yield from ((mended.seq, mended.t) for mended in water.mended)
    yield from ((fitted.seq, fitted.t) for fitted in session.checking.fitted)
    yield from ((said.seq, said.t) for said in (*closing.disturbed, *closing.amended))
    if closing.abandoned is not None:
        yield closing.abandoned.seq, closing.abandoned.t


def _hold(session: Session, number: int, span: HoldSpan) -> str:
    rows = [r for r in log(session) if span.holds(r.reading.t, r.reading.seq)]
    ended = "still running"
    if span.end is not None and span.end_seq is not None:
        ended = f"ended {time_of_day(session, span.end)} by record {span.end_seq}"
    return f"Hold {number} started; {_extremes(session, rows)}; {ended}"


def _extremes(session: Session, rows: Sequence[Logged]) -> str:
    if not rows:
        return "nothing was read"
    values = [r.corrected for r in rows]
    low, high = (pressure(v, session.plan.units) for v in (min(values), max(values)))
    return f"{len(rows)} readings, {low} to {high} corrected"


def attempts(sessions: Sequence[tuple[str, Session]], unread: Sequence[str], of: str) -> Table:
    """One line a session, whatever came of it, in the order in which they were begun."""
    ordered = sorted(sessions, key=lambda s: s[1].records[0].at)
    chosen = spread(ordered, 20)
    rows = tuple(_attempt(*ordered[n]) for n in chosen)
    rows += tuple((name, "", "", "could not be read", "") for name in unread)
    head = ("session", "begun", "alignment", "outcome", "hold")
    title = f"Every attempt on {of}"
    return Table(title, head, rows, left_out(len(chosen), len(ordered), "attempts"))


def _attempt(identity: str, session: Session) -> tuple[str, ...]:
    word = ended_as(session, verdict(session).outcome)
    given_up = session.closing.abandoned is not None and word != "ABANDONED"
    said = "abandoned" if given_up else "" if session.closed else "still open"
    return (
        identity,
        f"{session.records[0].at:%Y-%m-%d %H:%M}",
        session.plan.procedure.alignment,
        f"{word}, {said}" if said else word,
        runs.count(session),
    )


def struck(session: Session) -> Table:
    strikes = sorted(session.evidence.strikes.values(), key=lambda s: s.of)
    chosen = spread(strikes, MOST)
    rows = tuple(
        (
            str(strikes[n].of),
            plain(record(session, strikes[n].of), 120),
            plain(strikes[n].reason, 120),
            str(strikes[n].seq),
        )
        for n in chosen
    )
    head = ("record", "said", "struck because", "by record")
    return Table("Struck records", head, rows, left_out(len(rows), len(strikes), "strikes"))


def notes(session: Session) -> Table:
    made = session.evidence.notes
    chosen = spread(made, 6)
    rows = tuple(
        (str(made[n].seq), time_of_day(session, made[n].t), plain(made[n].text)) for n in chosen
    )
    head = ("record", "time", "note")
    return Table("Notes", head, rows, left_out(len(rows), len(made), "notes"))


def top_ups(session: Session) -> Table:
    made = session.water.top_ups
    chosen = spread(made, MOST)
    system = session.plan.units
    rows = tuple(
        (
            str(made[n].seq),
            time_of_day(session, made[n].t),
            pressure(made[n].before, system),
            pressure(made[n].after, system),
            "not measured" if made[n].ml is None else f"{made[n].ml:g} mL",
        )
        for n in chosen
    )
    head = ("record", "time", "before, as read", "after, as read", "water")
    return Table("Top-ups", head, rows, left_out(len(rows), len(made), "top-ups"))


# --- checks -------------------------------------------------------------------------------------


def checks(session: Session) -> tuple[Row, ...]:
    return tuple(_checks(session))


def _checks(session: Session) -> Iterator[Row]:
    standing = [s for stage in STAGES for s in standings(session, stage, session.t)]
    yield Row("Checks", ", ".join(_counted(standing)))
    yield Row("Cracks at the joint", _cracks(session))
    carried = session.opened.carried if session.opened else ()
    if carried:
        names = ", ".join(plain(c.check, 30) for c in carried[:12])
        more = f" and {len(carried) - 12} more" if len(carried) > 12 else ""
        yield Row("Carried over", f"{names}{more}, from session {plain(carried[0].session, 64)}")
    system = session.plan.units
    for here in standing:
        found = here.settlement
        if found is not None and found.how == "measured" and found.measure is not None:
            limit = (
                f" ({_limit(here.check, found.limit, system)})" if found.limit is not None else ""
            )
            wrong = "" if found.sound else ", outside the limit"
            value = f"{quantity(found.measure, system)}{limit}{wrong}, record {found.seq}"
            yield Row(plain(here.check.do, 90), value)


def _limit(check: Check, limit: Quantity, system: System) -> str:
    """Whether it is the least or the most that will do; a rule limits from below."""
    most = check.at_most is not None and stored(check.at_most) == stored(limit)
    return f"{'at most' if most else 'at least'} {quantity(limit, system)}"


def _cracks(session: Session) -> str:
    """After release, as the specimen was left."""
    found = session.checking.settled.get("no_crack")
    if found is None or found.how != "confirmed":
        return "not looked for"
    return f"none seen, record {found.seq}"


def _counted(standing: Sequence[Standing]) -> Iterator[str]:
    for how in ("confirmed", "measured", "computed", "waited", "carried", "waived"):
        count = sum(s.how == how for s in standing)
        if count:
            yield f"{count} {'carried over' if how == 'carried' else how}"
    owed = sum(not s.settled and s.check.rank != "advice" for s in standing)
    if owed:
        yield f"{owed} open"
