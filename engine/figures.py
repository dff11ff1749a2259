"""The figures of a session that a product's trend is drawn from."""

from __future__ import annotations

from dataclasses import dataclass

from engine.falling.fall import fall
from engine.formulas.air import AirFit
from engine.judging.holding import Holding, corrected, holding, levels_of, since_over_cap
from engine.judging.trapped import trapped
from engine.session import Session
from engine.session.evidence import Reading
from engine.units import amount, q


@dataclass(frozen=True)
class Figures:
    """Plain numbers; None where the records do not say."""

    lost: float | None = None
    """Pressure lost in the hold, top-ups left out, in psi; a gauge that rose is negative."""
    rate: float | None = None
    """Mean rate of change in the hold, in psi/min; falling is negative."""
    flow: float | None = None
    """What that fall would be as a flow, in mL/min, where the stiffness was taken."""
    top_ups: int = 0
    """In the hold."""
    seconds: float | None = None
    """From the end of preparing to the end of the test: a bond's cure would drown the rest."""
    air: float | None = None
    """Trapped air, as at no pressure, in percent of the pocket, where points told it apart."""


def figures(session: Session) -> Figures:
    hold = holding(session)
    found = since_over_cap(session, _held(hold)) if hold else ()
    moved = _fall(session, found)
    lost, rate = moved if moved else (None, None)
    air = trapped(session)
    fit = air.fit if air else None
    return Figures(
        lost=lost,
        rate=rate,
        flow=None if fit is None or rate is None else -rate * _stiffness(session, fit, found),
        top_ups=sum(u.seq > hold.span.seq and hold.span.holds(u.t, u.seq)
                    for u in session.water.top_ups) if hold else 0,
        seconds=_seconds(session),
        air=None if air is None or air.share is None else amount(air.share, "percent"),
    )  # fmt: skip


def _held(hold: Holding) -> tuple[Reading, ...]:
    """The readings of the credited time, or of the whole hold where nothing was credited."""
    first, last = hold.credit.first, hold.credit.last
    if first is None or last is None or first is last:
        return hold.readings
    return tuple(r for r in hold.readings if first.t <= r.t <= last.t)


def _fall(session: Session, readings: tuple[Reading, ...]) -> tuple[float, float] | None:
    """Psi lost, and psi for each minute."""
    if len(readings) < 2:
        return None
    found = fall(
        [r.t for r in readings],
        [corrected(session, r) for r in readings],
        levels_of(session).graduation,
        run_starts=[n for n, r in enumerate(readings) if r.topping in ("after", "added")],
    )
    if found.rate is None:
        return None
    return 0.0 - found.rate.expected * found.span_s, found.rate.expected * 60


def _stiffness(session: Session, fit: AirFit, readings: tuple[Reading, ...]) -> float:
    """In mL/psi, at the mean pressure of the hold."""
    mean = sum(corrected(session, r) for r in readings) / len(readings)
    return amount(fit.stiffness(q(max(mean, 0.0), "psi"))[0], "mL/psi")


def _seconds(session: Session) -> float | None:
    started, ended = session.checking.passing("prepare"), _ended(session)
    return None if started is None or ended is None else max(0.0, ended - started.t)


def _ended(session: Session) -> float | None:
    if session.closing.abandoned is not None:
        return session.closing.abandoned.t
    over = session.checking.passing("verdict")
    return over.t if over is not None and session.checking.over else None
