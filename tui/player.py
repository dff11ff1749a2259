"""A past session gone through again: read only, on a cursor that moves both ways."""

from __future__ import annotations

import gc
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Sequence
from itertools import accumulate
from typing import Final, Literal, NamedTuple

from engine import facts as f
from engine.asking.commands import Command, Refused
from engine.checks import Stage, after
from engine.clock import Stamp
from engine.facts import Record
from engine.grades import as_wet_as
from engine.session import Session, evolve
from engine.trouble import Trouble
from tui.idle import Busy
from tui.speeds import faster

_MANY: Final = 2_000


class Mark(NamedTuple):
    """A record that can be jumped to: a stage that begins, a sighting, a verdict."""

    seq: int
    kind: Literal["stage", "sighting", "verdict", "hold", "release"]
    stage: Stage | None = None


class Remark(NamedTuple):
    """What a trainer says about a moment of the session."""

    t: float
    seq: int
    """The last record before it."""
    by: str
    text: str


class Player:
    """What the session said at the cursor is what it says: (session after record n, moment t).

    Everything is folded once and kept, so that both ways are an index.
    """

    writable = False

    def __init__(
        self,
        name: str,
        records: Sequence[Record],
        clock: Callable[[], Stamp],
        remarks: Sequence[Remark] = (),
        keep: Callable[[Remark], None] | None = None,
        damaged: bool = False,
    ) -> None:
        """At the first record, standing still.  `clock` is the real one; `keep` writes a remark
        beside the session.  Raises Trouble where there is nothing to show."""
        self.name = name
        self._sessions: list[Session] = list(accumulate(records, evolve, initial=Session()))
        last = self._sessions[-1]
        if last.opened is None:
            raise Trouble(f"session {name} holds nothing yet")
        if len(records) > _MANY:
            gc.freeze()  # kept, so no garbage; to walk through it all takes longer than a seek
        self._clock, self._keep, self._damaged = clock, keep, damaged
        self.times: Sequence[float] = last.times
        self.busy = Busy(self.times)
        self.remarks = sorted(remarks)
        self.marks = tuple(_marks(records))
        self.speed = 1.0
        self.playing = False
        self.halt: int | None = None
        """The record that is not to be shown yet, where one is."""
        self._since = clock().ticks
        self._seq, self._t = 1, self.times[0]

    # --- what is shown --------------------------------------------------------------------------

    @property
    def label(self) -> str:
        made_up = self._sessions[-1].checking.practice is not None
        if self._damaged:
            return f"DAMAGED behind record {len(self.times)}: REPLAY"
        return "REPLAY of PRACTICE" if made_up else "REPLAY"

    @property
    def session(self) -> Session:
        return self._sessions[self._seq]

    @property
    def seq(self) -> int:
        return self._seq

    @property
    def count(self) -> int:
        """The records there are, as far as they may be shown."""
        return len(self.times) if self.halt is None else self.halt - 1

    @property
    def halted(self) -> bool:
        """The cursor stands where the next record must not be shown yet."""
        return self.halt is not None and self._t >= self.times[self.halt - 1]

    @property
    def at_end(self) -> bool:
        return self._seq == len(self.times)

    def now(self) -> float:
        return self._t

    def peek(self, seq: int) -> Session:
        """The session after record `seq`, wherever the cursor is."""
        return self._sessions[seq]

    def said(self) -> tuple[Remark, ...]:
        """Remarks on the record at the cursor, up to its moment."""
        return tuple(r for r in self.remarks if r.seq == self._seq and r.t <= self._t)

    # --- time -----------------------------------------------------------------------------------

    def toggle(self) -> None:
        """Plays on, or stands still; at the end it plays from the beginning."""
        if not self.playing and self.at_end:
            self.to_record(1)
        self.playing = not self.playing
        self._since = self._clock().ticks

    def faster(self, by: int) -> None:
        """The next speed up or down."""
        self.speed = faster(self.speed, by)

    def refresh(self) -> bool:
        """Time goes on where it is playing; True where a record was passed."""
        ticks = self._clock().ticks
        gone, self._since = max(0.0, ticks - self._since), ticks
        if not self.playing:
            return False
        before, said = self._seq, self.said()
        busy = self.busy.of(self._t) + gone * self.speed
        self._go_on(max(self._t, self.busy.moment(busy)))
        if self.halted or self.at_end or self.said() not in ((), said):
            self.playing = False
        return self._seq != before

    def _go_on(self, t: float) -> None:
        """Time moves on to `t`, but stops at the next remark on the way."""
        here, seq = (self._seq, self._t), self._seq
        said = next((r for r in self.remarks if here < (r.seq, r.t) and r.t <= t), None)
        if said is not None and (self.halt is None or said.seq < self.halt):
            self._seq, self._t = said.seq, said.t
            return
        self.to_time(t)
        self._seq = max(seq, self._seq)

    # --- moving ---------------------------------------------------------------------------------

    def to_record(self, seq: int) -> None:
        """The cursor stands at the moment record `seq` was written."""
        if self.halt is not None and seq >= self.halt:
            self._seq, self._t = self.halt - 1, self.times[self.halt - 1]
            return
        self._seq = max(1, min(seq, len(self.times)))
        self._t = self.times[self._seq - 1]

    def to_time(self, t: float) -> None:
        """The cursor stands at a moment, in seconds since the session was opened."""
        t = max(self.times[0], min(t, self.times[-1]))
        seq = bisect_right(self.times, t)
        if self.halt is not None and seq >= self.halt:
            self.to_record(seq)
        else:
            self._seq, self._t = seq, t

    def step(self, by: int) -> None:
        """So many records on, or back; it stands still there."""
        self.playing = False
        back_to_it = by < 0 and self._t > self.times[self._seq - 1]
        self.to_record(self._seq + by + back_to_it)

    def to_stage(self, by: int) -> None:
        """The beginning of the next stage, or of this one, or of the one before."""
        self._jump([m.seq for m in self.marks if m.kind == "stage"], by, end=True)

    def to_seen(self, by: int) -> bool:
        """The next sighting or verdict, or the last; False where there is none that way."""
        return self._jump([m.seq for m in self.marks if m.kind in ("sighting", "verdict")], by)

    def _jump(self, seqs: Sequence[int], by: int, end: bool = False) -> bool:
        if by > 0:
            ahead = [s for s in seqs if s > self._seq] or ([len(self.times)] if end else [])
        else:
            later = self._t > self.times[self._seq - 1]
            ahead = [s for s in reversed(seqs) if s < self._seq + later]
        if ahead:
            self.to_record(ahead[0])
        return bool(ahead)

    # --- the rest of a course -------------------------------------------------------------------

    def remark(self, text: str, by: str) -> None:
        """Says `text` about this moment; kept beside the session.  Raises Trouble."""
        if self._keep is None:
            raise Trouble("remarks are kept beside sessions of this store: import the file first")
        made = Remark(self._t, self._seq, by, text)
        self._keep(made)
        self.remarks.insert(bisect_left(self.remarks, made), made)

    def ask(self, command: Command) -> Session:
        raise Refused("read only: this is a replay")

    def close(self) -> None:
        """Nothing is held."""


def _marks(records: Sequence[Record]) -> Iterator[Mark]:
    yield Mark(1, "stage", "prepare")
    for record in records:
        match record.fact:
            case f.StagePassed(stage=stage) if (following := after(stage)) is not None:
                yield Mark(record.seq, "stage", following)
            case f.StageReopened(stage=stage):
                yield Mark(record.seq, "stage", stage)
            case f.Sighted(grade=grade) if as_wet_as(grade, "damp"):
                yield Mark(record.seq, "sighting")
            case f.VerdictGiven():
                yield Mark(record.seq, "verdict")
            case f.HoldStarted():
                yield Mark(record.seq, "hold")
            case f.PressureReleased():
                yield Mark(record.seq, "release")
