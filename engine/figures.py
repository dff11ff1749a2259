"""The figures of a session that a product's trend is drawn from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from engine.fall import fall
from engine.formulas import pocket
from engine.formulas.air import AirFit, fit_air
from engine.holding import Holding, corrected, holding, levels_of, zero
from engine.joint import Joint
from engine.session import Session
from engine.session.evidence import Reading
from engine.units import Quantity, amount, q


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
    found = _held(hold) if hold else ()
    moved = _fall(session, found)
    lost, rate = moved if moved else (None, None)
    fit = _fit(session)
    return Figures(
        lost=lost,
        rate=rate,
        flow=None if fit is None or rate is None else -rate * _stiffness(session, fit, found),
        top_ups=sum(u.seq > hold.span.seq and hold.span.holds(u.t, u.seq)
                    for u in session.water.top_ups) if hold else 0,
        seconds=_seconds(session),
        air=None if fit is None else _air_share(session, fit),
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
        run_starts=[n for n, r in enumerate(readings) if r.topping == "after"],
    )
    if found.rate is None:
        return None
    return 0.0 - found.rate.expected * found.span_s, found.rate.expected * 60


def _fit(session: Session) -> AirFit | None:
    """What the volumes that were put in after venting say of the pocket."""
    vent, still = session.checking.passing("vent"), _still(session)
    since = max(session.checking.since("vent"), _released(session, vent.seq if vent else None))
    points: list[tuple[Quantity, Quantity]] = []
    volume = 0.0
    for added in session.water.added:
        if added.seq <= since:
            continue
        volume += added.ml
        if added.psi - still > 0 and added.ml > 0:
            points.append((q(added.psi - still, "psi"), q(volume, "mL")))
    graduation = session.plan.gauge.graduation if points else None
    if graduation is None or len({amount(p, "psi") for p, _ in points}) < _LEAST:
        return None
    pressures, volumes = zip(*points, strict=True)
    return fit_air(pressures, volumes, session.plan.atmosphere, graduation)


_LEAST: Final = 3
"""Points, as many as the check of the stiffness asks for."""


def _still(session: Session) -> float:
    return (zero(session, session.plan.gauge.mark) or 0.0) if session.opened else 0.0


def _released(session: Session, before: int | None) -> int:
    until = session.seq + 1 if before is None else before
    return max((r.seq for r in session.water.released if r.quiet and r.seq < until), default=0)


def _stiffness(session: Session, fit: AirFit, readings: tuple[Reading, ...]) -> float:
    """In mL/psi, at the mean pressure of the hold."""
    mean = sum(corrected(session, r) for r in readings) / len(readings)
    return amount(fit.stiffness(q(max(mean, 0.0), "psi"))[0], "mL/psi")


def _air_share(session: Session, fit: AirFit) -> float | None:
    volume = _pocket_volume(session.plan.joint)
    if volume is None or not fit.told_apart or fit.bent:
        return None
    return max(0.0, 100 * amount(fit.free_air, "mL") / volume)


def _pocket_volume(joint: Joint) -> float | None:
    """In mL; None where seal lines or width are not known, for nothing is guessed here."""
    if not joint.lines_known or joint.pocket_width is None:
        return None
    nothing = q(0, "in")
    outline: pocket.Circle | pocket.Box
    if joint.inside is not None:
        outline = pocket.Circle(joint.inside)
    elif joint.span is not None and joint.rise is not None:
        corners = joint.haunch or nothing, joint.corner_radius or nothing
        outline = pocket.Box(joint.span, joint.rise, *corners)
    else:
        return None
    outer = pocket.enclosed(pocket.outward(outline, joint.outer_line))
    inner = pocket.enclosed(pocket.outward(outline, joint.inner_line))
    area = abs(amount(outer.area, "in**2") - amount(inner.area, "in**2"))
    return amount(pocket.volume(q(area, "in**2"), joint.pocket_width), "mL")


def _seconds(session: Session) -> float | None:
    started, ended = session.checking.passing("prepare"), _ended(session)
    return None if started is None or ended is None else max(0.0, ended - started.t)


def _ended(session: Session) -> float | None:
    if session.closing.abandoned is not None:
        return session.closing.abandoned.t
    over = session.checking.passing("verdict")
    return over.t if over is not None and session.checking.over else None
