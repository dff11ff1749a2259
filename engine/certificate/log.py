"""Every reading of a session and what it was held against: for table, plot and data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from itertools import pairwise
from typing import Literal

from engine import facts as f
from engine.certificate.tree import Plot, Point, Table
from engine.certificate.words import left_out, plain, spread
from engine.conversions import KPA_PER_PSI
from engine.judging.holding import Holding, corrected, counted, holding, judge, levels_of
from engine.present import number, pressure, quantity
from engine.session import Session
from engine.session.evidence import Reading
from engine.units import symbol

MOST_ROWS = 40
MOST_POINTS = 600

How = Literal["credited", "good", "below", "over the cap", "not counted", "outside the hold"]


@dataclass(frozen=True, slots=True)
class Logged:
    """One reading; pressures in psi at the gauge it was read from, `corrected` less its zero.

    seconds  after the hold was started, else after the session was opened
    """

    reading: Reading
    at: datetime
    seconds: float
    corrected: float
    needed: float
    cap: float
    how: How
    read_by: str | None
    read_from: str | None

    @property
    def unit(self) -> str:
        return symbol(self.reading.written)


@lru_cache(maxsize=4)
def log(session: Session) -> tuple[Logged, ...]:
    """All readings that were not struck, in the order in which they were made."""
    return tuple(_log(session))


def _log(session: Session) -> Iterator[Logged]:
    hold = holding(session)
    begin = hold.span.start if hold else 0.0
    earning = {r.seq for run in hold.credit.runs if len(run) > 1 for r in run} if hold else set()
    is_good = judge(session)
    place = 0
    for reading in session.evidence.readings:
        while place + 1 < len(session.times) and session.times[place + 1] <= reading.t:
            place += 1
        at = session.records[place].at + timedelta(seconds=reading.t - session.times[place])
        bounds = levels_of(session, reading.mark)
        by, source = _read_by(session.records[reading.seq - 1].fact)
        yield Logged(
            reading, at, reading.t - begin, corrected(session, reading), bounds.good_from,
            bounds.cap, _how(session, hold, reading, is_good(reading), earning), by, source,
        )  # fmt: skip


def _read_by(fact: f.Fact) -> tuple[str | None, str | None]:
    if isinstance(fact, f.PressureRead):
        return fact.read_by and plain(fact.read_by), fact.read_from
    return None, None


def _how(
    session: Session, hold: Holding | None, reading: Reading, good: bool, earning: set[int]
) -> How:
    if hold is None or not hold.span.holds(reading.t, reading.seq):
        return "outside the hold"
    if not counted(session, reading):
        return "not counted"
    if not good:
        under = corrected(session, reading) < levels_of(session, reading.mark).good_from
        return "below" if under else "over the cap"
    return "credited" if reading.seq in earning else "good"


# --- the table ----------------------------------------------------------------------------------


def readings_table(session: Session, most: int = MOST_ROWS) -> Table:
    rows = log(session)
    chosen = _telling(rows, most)
    several = len(session.plan.gauges) > 1
    head = ("record", "time", "min", "as read", "corrected", "counts as")
    shown = tuple(_cells(session, rows[n], several) for n in chosen)
    return Table("Readings", head, shown, left_out(len(chosen), len(rows), "readings shown"))


def _telling(rows: Sequence[Logged], most: int) -> list[int]:
    """Where there are too many: the ends, the extremes, where a span begins or ends, and between
    them an even spread."""
    if len(rows) <= most:
        return list(range(len(rows)))
    places = range(len(rows))
    must = {0, len(rows) - 1}
    held = [n for n in places if rows[n].how != "outside the hold"]
    for among in (held, [n for n in held if rows[n].how == "credited"]):
        if among:
            must |= {among[0], among[-1]}
            must |= {min(among, key=lambda n: rows[n].corrected),
                     max(among, key=lambda n: rows[n].corrected)}  # fmt: skip
    turns = [n for a, b in pairwise(places) if rows[a].how != rows[b].how for n in (a, b)]
    turns += [n for n in places if rows[n].reading.topping or rows[n].reading.late]
    room = max(most - len(must), 2)
    must |= {turns[n] for n in spread(turns, room // 2 + 1)} if turns else set()
    rest = [n for n in held or places if n not in must]
    room = most - len(must)
    return sorted(must | ({rest[n] for n in spread(rest, room)} if room > 1 else set()))


def _cells(session: Session, row: Logged, several: bool) -> tuple[str, ...]:
    reading, system = row.reading, session.plan.units
    said: list[str] = [row.how]
    if several:
        said.append(plain(reading.mark or session.plan.gauge.mark, 20))
    if reading.topping == "added":
        said.append("after a measured volume")
    elif reading.topping:
        said.append(f"{reading.topping} a top-up")
    if reading.late:
        by = f" by {plain(row.read_by, 30)}" if row.read_by else ""
        said.append(f"late, from {row.read_from}{by}")
    return (
        str(reading.seq),
        f"{row.at:%H:%M:%S}",
        number(row.seconds / 60, 1),
        quantity(reading.written),
        pressure(row.corrected, system),
        ", ".join(said),
    )


# --- the plot -----------------------------------------------------------------------------------


def plot(session: Session) -> Plot | None:
    """None where nothing was read, or no hold stands."""
    hold, rows = holding(session), log(session)
    if hold is None or not rows:
        return None
    system = session.plan.units
    scale = 1.0 if system == "us" else KPA_PER_PSI
    chosen = _envelope(rows)
    bounds = levels_of(session)
    start = hold.span.start
    runs = [((run[0].t - start) / 60, (run[-1].t - start) / 60)
            for run in hold.credit.runs if len(run) > 1]  # fmt: skip
    return Plot(
        unit="psi" if system == "us" else "kPa",
        points=tuple(_point(rows[n], bounds.good_from, scale) for n in chosen),
        needed=bounds.good_from * scale,
        needed_words=f"needed {pressure(bounds.good_from, system)}",
        cap=bounds.cap * scale,
        cap_words=f"cap {pressure(bounds.cap, system)}",
        credited=tuple(runs[-20:]),
        left_out=left_out(len(chosen), len(rows), "readings drawn, extremes kept"),
    )


def _point(row: Logged, needed: float, scale: float) -> Point:
    """Another gauge's reading stands as far above the line as it was above its own."""
    return Point(
        row.seconds / 60,
        (row.corrected + needed - row.needed) * scale,
        row.how in ("credited", "good"),
        row.how != "outside the hold",
        row.reading.topping is not None,
    )


def _envelope(rows: Sequence[Logged]) -> list[int]:
    """At most so many points: of each bin the lowest and the highest, so that no dip is lost."""
    if len(rows) <= MOST_POINTS:
        return list(range(len(rows)))
    kept = {0, len(rows) - 1}
    bins = MOST_POINTS // 2
    for n in range(bins):
        inside = range(n * len(rows) // bins, (n + 1) * len(rows) // bins)
        kept |= {min(inside, key=lambda i: rows[i].corrected),
                 max(inside, key=lambda i: rows[i].corrected)}  # fmt: skip
    return sorted(kept)
