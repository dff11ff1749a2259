"""What the last hold of a session lost, and what can have taken it. It explains, nothing more."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Final, Literal, NamedTuple

from engine.falling.causes import Surroundings
from engine.falling.fall import interpolated
from engine.falling.loss import Loss, TopUps, explain
from engine.falling.planned import per_kelvin, planned_stiffness
from engine.falling.stiffness import AT_ONCE_S, Step, Stiffness, from_points, from_steps
from engine.judging.holding import Feed, corrected, feeds, holding, levels_of, since_over_cap, zero
from engine.judging.trapped import at_crown, trapped
from engine.session import Session
from engine.session.evidence import Reading
from engine.units import amount, q

_POINTS: Final = 120
"""That causes are sought in: a reading is on the screen at once, however long the hold."""
_MOST_OF: Final = 0.8
"""House figure: share of the hold over which temperatures have to reach to be taken as measured."""


class Held(NamedTuple):
    """Readings of the gauge that counts in the last hold, corrected, in psi; and its top-ups."""

    readings: tuple[Reading, ...]
    psi: tuple[float, ...]
    top_ups: TopUps

    @property
    def times_s(self) -> tuple[float, ...]:
        return tuple(r.t for r in self.readings)


@lru_cache(maxsize=8)
def lost(session: Session) -> Loss | None:
    """None without a hold, or without a reading in it since it was above the cap."""
    held = held_in(session)
    if held is None:
        return None
    plan, worked = session.plan, session.checking.worked
    stiffness = stiffness_of(session, held)
    known = trapped(session)
    around = Surroundings(
        loaded_s=_since_loaded(session, held),
        wetted_s=_since_wetted(session, held),
        overshot_s=_since_overshot(session, held),
        water_degc=_temperatures(session, "water", held.times_s),
        rods_degc=_temperatures(session, "rod", held.times_s),
        shaded=plan.restraint.hard_stops,
        per_kelvin=per_kelvin(plan, worked, stiffness, known.fit.free_air if known else None),
    )
    return explain(
        held.times_s,
        held.psi,
        levels_of(session, held.readings[-1].mark).graduation,
        stiffness,
        around,
        held.top_ups,
        area=worked.pocket.area,
        atmosphere=plan.atmosphere,
        most_points=_POINTS,
        column_psi=at_crown(session, 0.0),
    )


@lru_cache(maxsize=8)
def held_in(session: Session) -> Held | None:
    hold = holding(session)
    settled = since_over_cap(session, hold.readings) if hold else ()
    if not settled:
        return None
    mark = Counter(r.mark for r in settled).most_common(1)[0][0]
    readings = tuple(r for r in settled if r.mark == mark)
    psi = tuple(corrected(session, r) for r in readings)
    return Held(readings, psi, _topped(session, readings))


def _topped(session: Session, readings: Sequence[Reading]) -> TopUps:
    """The first reading after water went in or out, and how much, where that was measured.

    While the inlet stands open nobody knows how much goes in: every reading until it is shut, and
    the first one after, starts anew, so that no fall is reckoned over that time.
    """
    hold = session.hold
    assert hold is not None
    water = session.water
    known: dict[int, float | None] = {u.seq: u.ml for u in water.top_ups}
    known |= {a.seq: a.ml for a in water.added}
    bled = [session.moment(a.seq) for a in water.added if a.ml < 0 and a.seq > hold.seq]
    moved = [*feeds(session, hold), *(Feed(moment, moment) for moment in bled)]
    places = [_place(r) for r in readings]
    starts: dict[int, float | None] = {}
    for start, end in moved:
        ml = known.get(start[1])
        last = bisect_left(places, (*end, _AT))
        for i in range(max(1, bisect_left(places, (*start, _AT))), min(last + 1, len(readings))):
            before = starts.get(i, 0.0)
            starts[i] = None if ml is None or before is None else before + ml
    return TopUps(tuple(sorted(starts)), tuple(starts[i] for i in sorted(starts)))


_BEFORE, _AT, _AFTER = range(3)


def _place(reading: Reading) -> tuple[float, int, int]:
    """Its place among the moments; the readings of a top-up, and of a measured volume, lie
    before or after its own."""
    beside = _BEFORE if reading.topping == "before" else _AFTER if reading.topping else _AT
    return reading.t, reading.seq, beside


def stiffness_of(session: Session, held: Held) -> Stiffness | None:
    """From points on the way up, else from a measured volume in the hold, else from the plan."""
    middle = q(max(0.0, at_crown(session, sum(held.psi) / len(held.psi))), "psi")
    found = trapped(session)
    if found is not None and amount(found.fit.stiffness(middle)[0], "mL/psi") > 0:
        return from_points(found.fit, middle)
    return _moved(session) or planned_stiffness(session.plan, session.checking.worked, middle)


def _moved(session: Session) -> Stiffness | None:
    """From the largest step that a measured volume made in the hold."""
    mark = session.plan.gauge.mark
    still = zero(session, mark) or 0.0
    steps = [
        Step(at_crown(session, before - still), at_crown(session, after - still), ml)
        for before, after, ml in _steps(session, mark)
    ]
    return from_steps(steps, levels_of(session).graduation, session.plan.atmosphere)


def _steps(session: Session, mark: str) -> Iterator[tuple[float, float, float]]:
    """Readings of the gauge that governs before and after a volume in the hold, in psi as read."""
    hold, water = session.hold, session.water
    assert hold is not None
    for top_up in water.top_ups:
        if top_up.ml is not None and top_up.seq > hold.seq:
            yield top_up.before, top_up.after, top_up.ml
    for added in water.added:
        if added.seq < hold.seq:
            continue
        before = [r for r in session.evidence.readings
                  if r.seq < added.seq and (r.mark or mark) == mark
                  and 0 <= added.t - r.t <= AT_ONCE_S]  # fmt: skip
        if before:
            yield before[-1].psi, added.psi, added.ml


# --- surroundings -------------------------------------------------------------------------------


def _since_loaded(session: Session, held: Held) -> float | None:
    """From the first reading of half the pressure needed, or else from closing the vent."""
    shut = session.vented_shut
    if shut is None:
        return None
    half = levels_of(session).needed / 2
    loaded = next(
        (r.t for r in session.evidence.readings if r.t >= shut and corrected(session, r) >= half),
        shut,
    )
    return max(1.0, held.readings[0].t - loaded)


def _since_wetted(session: Session, held: Held) -> float | None:
    since = session.checking.since("fill")
    opened = [v.t for v in session.water.turns
              if v.seq > since and v.which == "inlet" and v.share > 0]  # fmt: skip
    return max(1.0, held.readings[0].t - opened[0]) if opened else None


def _since_overshot(session: Session, held: Held) -> float | None:
    """From a pressure clearly above the first of the hold, since the vent was closed."""
    shut, first = session.vented_shut, held.readings[0]
    step = levels_of(session, first.mark).graduation
    higher = [
        r.t
        for r in session.evidence.readings
        if r.mark == first.mark and (shut or 0.0) <= r.t < first.t and r.psi > first.psi + 2 * step
    ]
    return max(1.0, first.t - higher[-1]) if higher else None


def _temperatures(
    session: Session, what: Literal["water", "rod"], times_s: Sequence[float]
) -> list[float] | None:
    """For every reading, where measured temperatures reach over most of them."""
    known = [(w.t, w.degc) for w in session.evidence.temperatures if w.what == what]
    if len(known) < 2:
        return None
    covered = min(known[-1][0], times_s[-1]) - max(known[0][0], times_s[0])
    enough = covered >= _MOST_OF * (times_s[-1] - times_s[0])
    return interpolated(known, times_s) if enough else None
