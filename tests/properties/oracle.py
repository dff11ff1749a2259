"""What the demands say of a test, worked out by plain means from a list of what happened.

Written from the rules as they are agreed, not from the engine, and slow and simple on purpose: it
knows no session, no fold and no quantity.  Seconds, psi as read, clock positions.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final, NamedTuple

WETNESS: Final = ("dry", "damp", "beads", "drip", "pool", "run", "spray")
STAGES: Final = ("prepare", "seal", "fill", "vent", "hold", "verdict")


class Event(NamedTuple):
    """Something that was done, seen or read at `t`; `written` says in which order and when."""

    t: float
    kind: str
    value: Any
    n: int
    written: float
    boot: str

    @property
    def when(self) -> tuple[float, int]:
        return self.t, self.n


@dataclass(frozen=True)
class Demand:
    """What the test is held against; pressures at the gauge, without its zero."""

    needed: float
    cap: float
    scale: float
    need: float
    gap: float
    every: float
    graduation: float
    limit: float
    """By which two gauges may be apart."""
    gauges: tuple[str, ...]
    governs: str | None
    continuous: bool = True
    top_ups: bool = True
    late: bool = True
    void: bool = False
    may_stand: float | None = None
    under_pressure: bool = True
    leak_from: str = "drip"


class Read(NamedTuple):
    """One gauge, read: as it stands on the dial, and whether anything may be earned with it."""

    t: float
    n: int
    mark: str
    psi: float
    boot: str
    earns: bool
    place: str = ""
    """`before` or `after` a top-up; `after` a measured volume too."""


@dataclass(frozen=True)
class Judged:
    outcome: str
    against: frozenset[str]
    """What keeps it from a pass, in the words of the rules."""
    complete: bool
    credit: float


class Oracle:
    def __init__(self, demand: Demand, events: Iterable[Event], now: float) -> None:
        told = list(events)
        struck = {e.value for e in told if e.kind == "struck"}
        self.demand = demand
        self.now = now
        self.events = [e for e in told if e.n not in struck]

    # --- what there is --------------------------------------------------------------------------

    def of(self, *kinds: str) -> list[Event]:
        return [e for e in self.events if e.kind in kinds]

    @property
    def stage(self) -> str:
        stage = "prepare"
        for e in self.of("passed", "reopened"):
            following = STAGES[min(STAGES.index(e.value) + 1, 5)]
            stage = following if e.kind == "passed" else e.value
        return stage

    def taken_up(self, stage: str) -> int:
        """When a stage was last begun anew by going back to it, or to one before it."""
        back = [e.n for e in self.of("reopened") if STAGES.index(e.value) <= STAGES.index(stage)]
        return max(back, default=0)

    def hold(self) -> tuple[Event, Event | None] | None:
        """The hold that counts, and what ended it."""
        started = [e for e in self.of("hold") if e.n > self.taken_up("hold")]
        if not started:
            return None
        last = started[-1]
        ends = [e for e in self.events if e.n > last.n and self._ends(e)]
        return last, (ends[0] if ends else None)

    @staticmethod
    def _ends(e: Event) -> bool:
        if e.kind == "vent":
            return bool(e.value > 0)
        return (e.kind in ("hold", "reopened", "released", "fitted", "abandoned")
                or (e.kind, e.value) == ("passed", "hold"))  # fmt: skip

    # --- readings -------------------------------------------------------------------------------

    def zero(self, mark: str) -> float:
        hold = self.hold()
        start = hold[0].n if hold else self.events[-1].n + 1
        zeros = [(e.n, e.value[1]) for e in self.of("zero") if e.value[0] == mark]
        before = [psi for n, psi in zeros if n < start][-1:]
        return max([*before, *(psi for n, psi in zeros if n > start)], default=0.0)

    def readings(self) -> list[Read]:
        """All of them, by when they were read; both ends of a top-up, one after a volume."""
        restarts = [e.written for a, e in pairwise(self.events)
                    if a.boot != e.boot]  # fmt: skip
        found = []
        for e in self.of("read", "topped", "volume"):
            sure = not any(e.t < restart <= e.written for restart in restarts)
            if e.kind == "topped":
                ends = (("before", e.value[0]), ("after", e.value[1]))
                found += [self._read(e, self._main, psi, sure, place) for place, psi in ends]
            elif e.kind == "volume":
                found.append(self._read(e, self._main, e.value[1], sure, "after"))
            else:
                mark, psi, late = e.value
                allowed = self.demand.late or not late
                found.append(self._read(e, mark or self._main, psi, sure and allowed))
        return sorted(found, key=lambda r: (r.t, r.n, r.place == "after"))

    @property
    def _main(self) -> str:
        return self.demand.governs or self.demand.gauges[0]

    def _read(self, e: Event, mark: str, psi: float, earns: bool, place: str = "") -> Read:
        cock = [v.value for v in self.of("cock") if (v.written, v.n) <= (e.t, e.n)]
        open_ = not cock or cock[-1] > 0
        return Read(e.t, e.n, mark, psi, e.boot, earns and open_, place)

    def good(self, r: Read) -> bool:
        corrected = r.psi - self.zero(r.mark)
        high = corrected > self.demand.cap if self.demand.void else r.psi > self.demand.scale
        return corrected >= self.demand.needed and not high

    # --- credit ---------------------------------------------------------------------------------

    def counting(self) -> tuple[str, ...]:
        """The gauge that governs, else all of them: the lowest decides."""
        return (self._main,) if self.demand.governs or len(self.demand.gauges) == 1 else (
            self.demand.gauges)  # fmt: skip

    def runs(self) -> list[tuple[float, float, bool]]:
        """From when to when every gauge that counts held without a break; whether it still goes on
        as far as anybody knows."""
        each = [self._runs_of(mark) for mark in self.counting()]
        shared = each[0]
        for other in each[1:]:
            shared = [(max(a, c), min(b, d), on and too) for a, b, on in shared
                      for c, d, too in other if max(a, c) <= min(b, d)]  # fmt: skip
        return shared

    def _runs_of(self, mark: str) -> list[tuple[float, float, bool]]:
        hold = self.hold()
        if hold is None:
            return []
        start, end = hold
        since = max([start.t, *(t for t in self.dried() if t is not None)])
        inside = [r for r in self.readings() if r.mark == mark and r.t >= since
                  and (end is None or (r.t, r.n) < (end.written, end.n))
                  and (r.earns or not self.good(r))]  # fmt: skip
        found: list[list[Read]] = []
        parted = True
        for r in inside:
            if not self.good(r):
                parted = True
            elif parted or self._apart(found[-1][-1], r):
                found.append([r])
                parted = False
            else:
                found[-1].append(r)
        return [(run[0].t, run[-1].t, not parted and run is found[-1]) for run in found]

    def _apart(self, a: Read, b: Read) -> bool:
        """Between two good readings something was, or was not known."""
        if b.t - a.t > self.demand.gap or a.boot != b.boot:
            return True
        if a.n == b.n:  # the two ends of one top-up
            return not self.demand.top_ups
        volumes = {e.n for e in self.of("volume")}
        return any(
            (start < (b.t, b.n) or (b.n in volumes and start == (b.t, b.n))) and (a.t, a.n) < stop
            for start, stop in self._let_in()
        )

    def _let_in(self) -> Iterator[tuple[tuple[float, int], tuple[float, int]]]:
        """Water that came in so that a dip could hide behind it; from when to when."""
        hold = self.hold()
        assert hold is not None
        for e in self.of("volume"):
            if e.n > hold[0].n and e.value[0] > 0:
                yield e.when, e.when
        if not self.demand.top_ups:
            yield from ((e.when, e.when) for e in self.of("topped"))
        turns = self.of("inlet")
        for turn, then in zip(turns, [*turns[1:], None], strict=True):
            if turn.value:  # in a hold the inlet is closed (design, section 5)
                yield turn.when, then.when if then else (float("inf"), 0)

    def completed(self) -> float | None:
        """When there was enough."""
        total = 0.0
        for a, b, _ in sorted(self.runs()):
            before = 0.0 if self.demand.continuous else total
            if before + b - a >= self.demand.need - 1e-6:
                return self._reading_at(a + self.demand.need - before)
            total += b - a
        return None

    def _reading_at(self, t: float) -> float:
        """The reading with which it was reached."""
        return min(r.t for r in self.readings() if r.t >= t - 1e-6 and self.covered(r.t))

    def covered(self, t: float) -> bool:
        return any(a <= t <= b for a, b, _ in self.credited())

    def credited(self) -> list[tuple[float, float, bool]]:
        runs = sorted(self.runs())
        if not self.demand.continuous:
            return runs
        enough = [r for r in runs if r[1] - r[0] >= self.demand.need - 1e-6]
        return enough[:1] or [r for r in runs[-1:] if r[2]]

    # --- leaks ----------------------------------------------------------------------------------

    def pressed(self, e: Event) -> bool:
        """Between the first pressure after a fill and the release, and since the gaskets were
        last seated."""
        if e.when <= self._moment(self.taken_up("seal")):
            return False
        return any(start <= e.when and (stop is None or e.when < stop)
                   for start, stop in self._raised())  # fmt: skip

    def _moment(self, n: int) -> tuple[float, int]:
        return next(((e.written, e.n) for e in self.events if e.n == n), (float("-inf"), 0))

    def _raised(self) -> list[tuple[tuple[float, int], tuple[float, int] | None]]:
        """Pressure came up, and was let out: signs of it are readings above rest, water put in, a
        hold, and the vent stage passed."""
        rest = 2 * self.demand.graduation
        found: list[tuple[tuple[float, int], tuple[float, int] | None]] = []
        up: tuple[float, int] | None = None
        filled = False
        for e in sorted(self.events, key=lambda e: e.when):
            if e.kind == "released" and e.value[1]:
                found += [(up, e.when)] if up else []
                up = None
            elif e.kind == "reopened" and STAGES.index(e.value) <= STAGES.index("fill"):
                filled = False
            elif (e.kind, e.value) == ("passed", "fill"):
                filled = True
            elif up is None and filled and self._sign(e, rest):
                up = e.when
        return [*found, (up, None)] if up else found

    def _sign(self, e: Event, rest: float) -> bool:
        if e.kind in ("read", "volume"):
            zeros = [z.value[1] for z in self.of("zero") if z.value[0] == self._main]
            put_in = e.kind == "volume" and e.value[0] > 0
            return bool(put_in or e.value[1] > rest + max([0.0, *zeros[-1:]]))
        return (e.kind in ("topped", "hold")
                or (e.kind, e.value) == ("passed", "vent"))  # fmt: skip

    def leaks(self) -> Iterator[tuple[Event, str, float | None]]:
        """What leaked past the primary gasket: it counts, is open, or dried, and when."""
        for e in self.of("seen"):
            place, clock, grade, returns, _ = e.value
            bad = WETNESS.index(grade) >= WETNESS.index(self.demand.leak_from)
            low = clock is None or 4.5 <= clock <= 7.5
            leaks = bad or (returns and low and grade != "dry")
            if place == "primary" and leaks and self.pressed(e):
                yield (e, *self._stands(e, grade))

    def _stands(self, seen: Event, grade: str) -> tuple[str, float | None]:
        if self.demand.may_stand is None or WETNESS.index(grade) >= WETNESS.index("pool"):
            return "counts", None
        until = seen.t + self.demand.may_stand
        let_out = [e.t for e in self.of("released") if e.t > seen.t]
        if self.demand.under_pressure:
            until = min([until, *let_out])
        dry = [e.t for e in self.of("look") if e.t > seen.t and e.value == (True, True)]
        if dry and min(dry) <= until:
            return "dried", min(dry)
        late = self.now > until or (self.demand.under_pressure and bool(let_out))
        return ("counts" if late or self.stage == "verdict" else "open"), None

    def dried(self) -> list[float | None]:
        return [t for _, state, t in self.leaks() if state == "dried"]

    def rig_leaks(self) -> list[Event]:
        """Ports and fittings that wet the place looked at, and were not mended before the hold."""
        hold = self.hold()
        mends = [e.when for e in self.of("mended") if hold and e.n < hold[0].n]
        since = max(mends, default=(float("-inf"), 0))
        return [
            e for e in self.of("seen")
            if e.value[0] in ("port", "fitting") and e.value[4] and self.pressed(e)
            and WETNESS.index(e.value[2]) >= WETNESS.index(self.demand.leak_from)
            and e.when > since
        ]  # fmt: skip

    # --- the verdict ----------------------------------------------------------------------------

    def judged(self) -> Judged:
        against = frozenset(self._against())
        credit = sum(b - a for a, b, _ in self.credited())
        complete = self.completed() is not None
        if self.of("disturbed"):
            outcome = "invalid"
        elif any(state == "counts" for _, state, _ in self.leaks()):
            outcome = "fail"
        elif self.rig_leaks() and (self.stage == "verdict" or self.of("abandoned")):
            outcome = "invalid"
        else:
            outcome = "undecided" if against else "pass"
        return Judged(outcome, against, complete, credit)

    def _against(self) -> Iterator[str]:
        if self.of("abandoned"):
            yield "abandoned"
        elif self.stage != "verdict":
            yield "unfinished"
        if any(state == "open" for _, state, _ in self.leaks()):
            yield "drip_open"
        if self.rig_leaks():
            yield "rig_leak_open"
        if self.hold() is None:
            yield "no_hold"
        elif self.completed() is None:
            yield "credit_short"
        else:
            yield from self._not_looked()
        yield from self._not_believed()

    def _not_looked(self) -> Iterator[str]:
        """Inside the credited run and once at its end, with a good reading at or after it."""
        hold, done = self.hold(), self.completed()
        assert hold is not None
        assert done is not None
        inside = [e.t for e in self.of("look") if self.covered(e.t)]
        last = [t for t in inside if t >= done - self.demand.every]
        if not last:
            yield "end"
        if self.demand.need > self.demand.gap and last:
            inside = [t for t in inside if t <= last[-1] - self.demand.every + 1e-6]
        if not inside:
            yield "not_looked_during"
        if any(self._unexplained()):
            yield "wet_unexplained"

    def _unexplained(self) -> Iterator[Event]:
        """A look that was not dry, with nothing seen on the primary before the next or after the
        one before it."""
        looks = sorted((e for e in self.of("look") if self.pressed(e)), key=lambda e: e.when)
        wet = [e.t for e in self.of("seen")
               if e.value[0] == "primary" and e.value[2] != "dry" and self.pressed(e)]  # fmt: skip
        for k, look in enumerate(looks):
            before = looks[k - 1].t if k else float("-inf")
            after = looks[k + 1].t if k + 1 < len(looks) else float("inf")
            if not look.value[0] and not any(before <= t <= after for t in wet):
                yield look

    def _not_believed(self) -> Iterator[str]:
        """Gauges that were dead, shifted, unread or at odds."""
        hold = self.hold()
        if hold is None:
            return
        start, end = hold
        inside = [r for r in self.readings() if r.t >= start.t
                  and (end is None or (r.t, r.n) < (end.written, end.n))]  # fmt: skip
        read = {r.mark for r in inside if r.earns or not self.good(r)}
        if set(self.counting()) - read and len(self.counting()) > 1:
            yield "gauge_unread"
        for mark in self.counting():
            zeros = [(e.n, e.value[1]) for e in self.of("zero") if e.value[0] == mark]
            before = [psi for n, psi in zeros if n < start.n][-1:]
            after = [psi for n, psi in zeros if n > start.n]
            if mark in (read or {self._main}) and any(
                abs(z - b) > self.demand.graduation for z in after for b in before
            ):
                yield "zero_shifted"
        for a, b in pairwise(inside):
            apart = abs((a.psi - self.zero(a.mark)) - (b.psi - self.zero(b.mark)))
            if a.mark != b.mark and b.t - a.t <= 60 and apart > self.demand.limit:
                yield "gauges_disagree"
        needles = self.stage == "verdict" and self.completed() is not None
        if needles and not all(self._fell(mark) for mark in self.counting()):
            yield "needle_fell_not"

    def _fell(self, mark: str) -> bool:
        """After the credited time the needle came down by a graduation: from where it last stood,
        or between two readings on the way."""
        credited = self.credited()
        ends = credited[-1][1] if credited else None
        own = [r for r in self.readings() if r.mark == mark and r.earns]
        held = [r for r in own if ends is not None and r.t <= ends and self.covered(r.t)]
        after = [r for r in own if held and (r.t, r.n) > (held[-1].t, held[-1].n)]
        top = held[-1].psi if held else 0.0
        for r in after:
            if top - r.psi >= self.demand.graduation - 1e-9:
                return True
            top = max(top, r.psi)
        return False
