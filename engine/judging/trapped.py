"""Trapped air, as measured volumes and the pressures after them show it once the vent is closed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, NamedTuple

from engine.formulas.air import AirFit, fit_air
from engine.judging.holding import corrected, levels_of, zero
from engine.levels import vent_height, water_weight
from engine.session import Session
from engine.session.water import Added
from engine.units import Quantity, amount, q

FEWEST: Final = 3
"""Points, as many as the check of the stiffness asks for."""
_APART_S: Final = 300.0
"""House figure: later than that after the last point, what leaked meanwhile would count as air."""
_EMPTIED_S: Final = 3.0
"""House figure: a vent that stood open so long has let the pressure out."""


@dataclass(frozen=True)
class Trapped:
    """What the points say of a pocket."""

    fit: AirFit
    share: Quantity | None
    """Air at atmospheric pressure, in percent of the pocket; None where the points cannot tell it
    from what else yields, or the pocket's volume is not known."""
    records: tuple[int, ...]


class _Series(NamedTuple):
    """Volumes put in one after the other, from a known pressure at the crown in psi on."""

    start: float
    points: tuple[tuple[float, float], ...]
    """Pressure at the crown in psi, and all that was put in until then in mL."""
    records: tuple[int, ...]


@lru_cache(maxsize=8)
def trapped(session: Session) -> Trapped | None:
    """The latest points of this passage through the vent stage; None without enough of them."""
    if session.opened is None:
        return None
    step = levels_of(session).graduation
    usable = [s for s in _series(session) if _enough(s, step)]
    if not usable:
        return None
    last, plan = usable[-1], session.plan
    fit = fit_air(
        [q(psi, "psi") for psi, _ in last.points],
        [q(ml, "mL") for _, ml in last.points],
        plan.atmosphere,
        q(step, "psi"),
        start=q(last.start, "psi"),
    )
    return Trapped(fit, _share(session, fit), last.records)


def over_limit(session: Session) -> Trapped | None:
    """Known air above what the procedure allows: the hold then proves nothing."""
    limit, found = session.plan.procedure.air_limit, trapped(session)
    if limit is None or found is None or found.share is None:
        return None
    return found if amount(found.share, "percent") > amount(limit, "percent") + 1e-9 else None


def at_crown(session: Session, psi: float) -> float:
    """A corrected pressure at the governing gauge, carried to the crown, where air gathers."""
    column = levels_of(session).height - vent_height(session.plan.joint)
    return psi + column * water_weight(session.plan)


def _enough(series: _Series, step: float) -> bool:
    pressures = [series.start, *(psi for psi, _ in series.points)]
    return (
        len({psi for psi, _ in series.points}) >= FEWEST
        and min(pressures[1:]) > series.start
        and max(pressures) - min(pressures) >= 4 * step
    )


def _share(session: Session, fit: AirFit) -> Quantity | None:
    pocket = session.checking.worked.pocket
    if not fit.told_apart or fit.bent or pocket.volume is None or pocket.seal_lines == "bound":
        return None
    air = max(0.0, amount(fit.free_air, "mL"))
    return q(100 * air / amount(pocket.volume, "mL"), "percent")


def _series(session: Session) -> Iterator[_Series]:
    """Runs of additions with nothing between them that moved water unmeasured."""
    since = session.checking.since("vent")
    added = [a for a in session.water.added if a.seq > since and a.ml > 0]
    disturbed = _disturbances(session)
    run: list[Added] = []
    for one in added:
        parted = run and (
            one.t - run[-1].t > _APART_S or any(run[-1].seq < d < one.seq for d in disturbed)
        )
        if parted:
            yield from _counted(session, run, disturbed)
            run = []
        run.append(one)
    yield from _counted(session, run, disturbed)


def _disturbances(session: Session) -> list[int]:
    """Records with which water moved that nobody measured, or a hold began."""
    water = session.water
    return sorted(
        [
            *(v.seq for v in water.turns),
            *(r.seq for r in water.released),
            *(u.seq for u in water.top_ups),
            *(h.seq for h in water.started),
            *(a.seq for a in water.added if a.ml <= 0),
        ]
    )


def _counted(session: Session, run: list[Added], disturbed: list[int]) -> Iterator[_Series]:
    """The run from the pressure it began at; where that is not known, from its first point on."""
    if not run:
        return
    still = zero(session, session.plan.gauge.mark) or 0.0
    shown = [(at_crown(session, a.psi - still), a.ml, a.seq) for a in run]
    start = _before(session, run[0], max((d for d in disturbed if d < run[0].seq), default=0))
    if start is None:
        (start, _, _), *shown = shown
    total, points = 0.0, []
    for psi, ml, _ in shown:
        total += ml
        points.append((psi, total))
    yield _Series(max(0.0, start), tuple(points), tuple(seq for *_, seq in shown))


def _before(session: Session, first: Added, disturbed: int) -> float | None:
    """Pressure at the crown before the first volume: read, or nothing after the vent was open."""
    read = [r for r in session.evidence.readings
            if disturbed < r.seq < first.seq and first.t - r.t <= _APART_S]  # fmt: skip
    if read:
        return at_crown(session, corrected(session, read[-1]))
    turns = [v for v in session.water.turns if v.seq <= disturbed]
    if len(turns) < 2 or turns[-1].which != "vent" or turns[-1].share > 0:
        return None
    opened = next((v for v in reversed(turns[:-1]) if v.which == "vent"), None)
    emptied = opened is not None and opened.share > 0 and turns[-1].t - opened.t >= _EMPTIED_S
    return 0.0 if emptied else None
