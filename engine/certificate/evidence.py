"""What was seen and measured besides pressure: looks, sightings, openings, temperatures."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from engine.certificate.demand import LOOK_FROM
from engine.certificate.subject import flatness
from engine.certificate.tree import Face, Gap, Seen, Table
from engine.certificate.words import left_out, spread
from engine.grades import as_wet_as
from engine.judging.holding import holding
from engine.judging.leaks import counting, primary_leaks
from engine.judging.looks import looks_at_end, looks_during
from engine.present import PLACE, clock_position, number, quantity, time_of_day
from engine.present.quantities import System
from engine.session import Session
from engine.session.checking import Opening
from engine.session.evidence import Look, Sighting
from engine.units import q

MOST = 12
_STAGES = (("seal", "drawn up"), ("hold", "at pressure"), ("verdict", "after release"))


def looks(session: Session) -> Table:
    made = session.evidence.looks
    hold = holding(session)
    during = {k.seq for k in looks_during(session, hold)} if hold else set()
    at_end = {k.seq for k in looks_at_end(session, hold)} if hold else set()

    def cells(look: Look) -> tuple[str, ...]:
        when = "at the end" if look.seq in at_end else "in the credited time"
        counts = when if look.seq in during | at_end else "does not count"
        found = "dry all round" if look.dry else "not dry"
        wiped = ", wiped" if look.wiped else ""
        at = time_of_day(session, look.t)
        return str(look.seq), at, found + wiped, LOOK_FROM[look.look_from], counts

    chosen = spread(made, MOST)
    rows = tuple(cells(made[n]) for n in chosen)
    head = ("record", "time", "primary gasket", "from", "counts")
    more = left_out(len(rows), len(made), "looks") if made else "Nobody looked along the inside."
    return Table("Looks along the inside", head, rows, more)


def _shown(session: Session) -> list[Sighting]:
    """Where there are too many, the wettest on the primary are never left out."""
    made = list(session.evidence.sightings)
    if len(made) <= MOST:
        return made
    worst = sorted(made, key=lambda s: (s.place == "primary", as_wet_as(s.grade, "drip")))[-5:]
    rest = [s for s in made if s not in worst]
    return sorted([*worst, *(rest[n] for n in spread(rest, MOST - 5))], key=lambda s: (s.t, s.seq))


def sightings(session: Session) -> Table:
    shown = _shown(session)
    states = {k.sighting.seq: k.state for k in primary_leaks(session, session.t)}
    rows = tuple(
        (
            str(n),
            str(s.seq),
            time_of_day(session, s.t),
            PLACE[s.place],
            clock_position(s.clock).removeprefix("at ") or "place not given",
            s.grade,
            _meaning(session, s, states.get(s.seq)),
        )
        for n, s in enumerate(shown, 1)
    )
    head = ("mark", "record", "time", "where", "clock", "grade", "what it means")
    of = len(session.evidence.sightings)
    return Table("Sightings", head, rows, left_out(len(rows), of, "sightings"))


def _meaning(session: Session, seen: Sighting, state: str | None) -> str:
    said = {"counts": "leakage", "open": "open: not yet wiped and dry", "dried": "dried in time"}
    if state is not None:
        meaning = said[state]
    elif not counting(session, seen):
        meaning = "outside the time under pressure"
    elif seen.place == "primary":
        meaning = "no leakage"
    else:
        meaning = "wets the joint" if seen.wets else "no reason to fail"
    return meaning + (", came back after wiping" if seen.returns else "")


def face(session: Session) -> Face:
    seen = tuple(
        Seen(n, s.place, s.clock, _wet(session, s))
        for n, s in enumerate(_shown(session), 1)
        if s.clock is not None
    )
    joint = session.plan.joint
    return Face(joint.shape, flatness(joint), seen, tuple(_gaps(session)))


def _wet(session: Session, seen: Sighting) -> Literal["dry", "damp", "leak"]:
    if as_wet_as(seen.grade, session.plan.procedure.leak_from):
        return "leak"
    return "dry" if seen.grade == "dry" else "damp"


def _latest(session: Session) -> dict[str, dict[float, Opening]]:
    """The last opening at each clock position, by stage, since the joint was last taken apart."""
    since = session.checking.since("seal")
    found: dict[str, dict[float, Opening]] = {}
    for opening in session.checking.openings:
        if opening.seq > since:
            found.setdefault(opening.stage, {})[opening.clock] = opening
    return found


def _gaps(session: Session) -> Iterator[Gap]:
    drawn = _latest(session).get("seal", {})
    for clock in sorted(drawn)[:12]:
        yield Gap(clock, _inches(drawn[clock].inches, session.plan.units))


def _inches(inches: float, system: System) -> str:
    return quantity(q(inches, "in"), system)


def openings(session: Session) -> Table:
    """One row a clock position, one column a time it was measured."""
    latest, system = _latest(session), session.plan.units
    columns = [(stage, words) for stage, words in _STAGES if stage in latest]
    clocks = sorted({c for stage, _ in columns for c in latest[stage]}, key=lambda c: c % 12)

    def cells(clock: float) -> tuple[str, ...]:
        found = [latest[stage].get(clock) for stage, _ in columns]
        position = clock_position(clock).removeprefix("at ")
        return position, *(_inches(o.inches, system) if o else "-" for o in found)

    where = session.plan.procedure.measured_at
    rows = tuple(cells(c) for c in clocks[:12])
    head = ("clock", *(words for _, words in columns))
    title = f"Openings, measured {where}"
    return Table(title, head, rows, left_out(len(rows), len(clocks), "positions"))


def temperatures(session: Session) -> Table:
    """Of each thing: first, last, and between what it was."""
    system = session.plan.units
    rows = []
    for what in ("water", "air", "concrete", "rod"):
        found = [w for w in session.evidence.temperatures if w.what == what]
        if not found:
            continue
        low, high = min(w.degc for w in found), max(w.degc for w in found)
        ends = [f"{_degrees(w.degc, system)} at {time_of_day(session, w.t)}"
                for w in (found[0], found[-1])]  # fmt: skip
        between = f"{_degrees(low, system)} to {_degrees(high, system)}"
        rows.append((what, number(len(found), 0), *ends, between))
    head = ("what", "readings", "first", "last", "range")
    return Table("Temperatures", head, tuple(rows))


def _degrees(degc: float, system: System) -> str:
    return quantity(q(degc, "degC"), system)
