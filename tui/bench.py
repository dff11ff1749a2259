"""What can be opened from the bench: tests that go on, new ones from a plan, past ones.

Nothing heavy is loaded before something is opened.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from tui.outside import Catalogue, Journal, Outside, Row

if TYPE_CHECKING:
    from engine.facts import Record
    from engine.planfile import PlanFile
    from engine.recheck import Recheck
    from engine.repeat import Changes, Kind, Repeat
    from engine.rig import Gauge
    from engine.session import Session
    from engine.units import Quantity
    from tui.course import Course
    from tui.recorder import Recorder


class Hanging(NamedTuple):
    """What becomes of one verdict, with the reasons of the verdict as it would be, in words."""

    recheck: Recheck
    reasons: tuple[str, ...]


class Bench:
    """Opens tests, keeps the index in step with them, and closes them."""

    def __init__(self, outside: Outside) -> None:
        self._outside = outside
        self.notice = ""
        """What could not be done when a test was begun or put away last."""

    @property
    def by(self) -> str:
        return self._outside.by

    def rows(self) -> Sequence[Row]:
        """Tests under pressure first, other open ones, then the past, newest first, and all
        practice after them; none in which nothing is written."""
        rows = self._outside.shelf.rows()
        begun = (r for r in rows if r.get("when") or r.get("state") == "DAMAGED")
        newest_first = sorted(begun, key=lambda r: str(r.get("when", "")), reverse=True)
        return sorted(
            newest_first,
            key=lambda r: (bool(r.get("practice")), not r.get("open"), not r.get("pressure")),
        )

    @property
    def catalogue(self) -> Catalogue:
        return self._outside.catalogue

    @property
    def decimal_comma(self) -> bool:
        return self._outside.decimal_comma

    def unlisted(self) -> int:
        """How many sessions the list does not show."""
        return len(self._outside.index.unlisted())

    def mend(self) -> Mapping[str, str]:
        """The list shows every session, and open ones as they stand; why some could not be read.

        What was closed by a program that ended before it could seal it is sealed.  From any
        thread; raises Trouble.
        """
        from engine.present.row import row
        from engine.session import fold

        return self._outside.index.mend(
            lambda name, records, damaged: row(name, fold(records), damaged)
        )

    def today(self) -> date:
        return self._outside.clock().wall.date()

    def plan(self, path: str) -> PlanFile:
        """Raises Trouble, one line a fault."""
        return self._outside.read_plan(path)

    def last_of(self, product: str) -> Row:
        """The row of the product's latest test; empty where there was none."""
        return next((row for row in self.rows() if row.get("product") == product), {})

    def interval(self) -> Callable[[str, str], int | None]:
        """Days after which a procedure is to be passed again, where the catalogue says so; the
        procedure by its name, else by its authority."""
        from engine.units import DURATION, Unreadable, amount, parse

        days: dict[tuple[str, str], int] = {}
        for entry in self.catalogue.every("procedure"):
            held = str(entry.values.get("alignment", "straight"))
            try:
                every = parse(str(entry.values["retest_every"]), DURATION)
            except (KeyError, Unreadable):
                continue
            for name in (str(entry.values.get("authority", "")), entry.name):
                days[name, held] = round(amount(every, "d"))
        return lambda procedure, alignment: days.get((procedure, alignment))

    def composed(self, product: str, procedure: str, rig: str, gauge: str) -> PlanFile:
        """A plan of entries of the catalogue.  Raises Trouble, one line a fault."""
        from engine.entries import resolve
        from engine.planfile import read_plan

        joint = self.catalogue.values("joint", product) or {}
        named = {"joint": product, "procedure": procedure, "rig": rig, "gauge": gauge}
        metric = str(joint.get("wall", "")).endswith(("mm", "cm", "m"))
        units = "si" if metric else "us"
        return read_plan(resolve({"units": units, **named}, self.catalogue.values))

    def past(self, session: str) -> Session:
        """What a test adds up to that another is to follow.  Raises Trouble."""
        from engine.repeat import Unrepeatable
        from engine.session import fold

        found = fold(self._outside.shelf.read(session).records)
        if found.checking.practice is not None:
            raise Unrepeatable("that was practice: nothing follows from it on a real joint")
        return found

    def repeat(
        self, kind: Kind, identity: str, session: Session, changes: Changes | None = None
    ) -> Repeat:
        """The test that follows, not yet opened; gauges are calibrated as the catalogue has them.

        Raises Trouble.
        """
        from engine import repeat

        wanted = changes or repeat.Changes()
        gauges = tuple(map(self._calibrated, session.plan.gauges))
        return repeat.repeat(kind, identity, session, self.today(), replace(wanted, gauges=gauges))

    def _calibrated(self, gauge: Gauge) -> Gauge:
        """With the dates, certificate and accuracy of its latest calibration, where it is kept."""
        from engine.entry_fields import faults

        kept = self.catalogue.values("gauge", gauge.mark)
        if kept is None or faults("gauge", gauge.mark, kept):
            return gauge
        now = type(gauge).model_validate({"mark": gauge.mark, **kept})
        if (now.calibration_due or date.min) <= (gauge.calibration_due or date.min):
            return gauge
        keys = ("calibrated", "calibration_due", "certificate", "accuracy")
        return gauge.model_copy(update={key: getattr(now, key) for key in keys})

    def open(self, ready: Repeat, by: str) -> Recorder:
        """The test that follows another is begun.  Raises Trouble."""
        from tui.recorder import follow_on

        self.startable(ready.plan)
        return self._begun(lambda journal: follow_on(journal, self._outside.clock, by, ready))

    def hanging(
        self, mark: str, high: Quantity, since: date | None, seen: Callable[[int, int], bool]
    ) -> tuple[list[Hanging], dict[str, str], dict[str, Row]]:
        """What becomes of verdicts where a gauge is found to read high: each that hangs on it, why
        some sessions could not be read, and their rows.  Practice hangs on no gauge.

        From any thread, on rows and sessions as they are; ends early where `seen` says False.
        """
        from engine.present import reason
        from engine.recheck import hang_on
        from engine.session import fold
        from engine.trouble import Trouble

        rows = {str(row["session"]): row for row in self.rows() if _may_hang(row, mark)}
        found: list[Hanging] = []
        unread: dict[str, str] = {}
        for number, name in enumerate(rows, 1):
            if not seen(number, len(rows)):
                break
            try:
                session = fold(self._outside.shelf.read(name).records)
            except Trouble as trouble:
                unread[name] = str(trouble)
                continue
            for each in hang_on([(name, session)], mark, high, since):
                found.append(Hanging(each, tuple(reason(session, why) for why in each.reasons)))
        return found, unread, rows

    def startable(self, plan: PlanFile) -> PlanFile:
        """The plan, where a test may be opened with its procedure and can be run on its rig: what
        has to be changed is told before anything is drilled.  Raises Trouble."""
        from engine.plan import work_out
        from engine.present.plan import to_change
        from engine.procedures import unconfirmed
        from engine.trouble import Trouble

        if (why := unconfirmed(plan.procedure)) is not None:
            raise Trouble(why)
        if why := to_change(work_out(plan, on=self.today()), plan.units):
            raise Trouble(why)
        return plan

    def start(self, plan: PlanFile, by: str) -> Recorder:
        """A new test.  Raises Trouble."""
        from tui.recorder import begin

        self.startable(plan)
        return self._begun(lambda journal: begin(journal, self._outside.clock, by, plan))

    def _begun(self, first: Callable[[Journal], Recorder]) -> Recorder:
        """With its first record; where that cannot be written, nobody has the journal in hand."""
        from engine.trouble import Trouble

        journal = self._outside.shelf.begin(self._outside.identity())
        try:
            recorder = first(journal)
        except Trouble:
            journal.close()
            raise
        self.notice = self.note(recorder)
        return recorder

    def farewell(self, course: Course) -> str:
        """How to come back to a test that was left open; empty for one that is over."""
        from engine.present import STAGE

        if not course.writable or course.session.closed or not self._outside.store:
            return ""
        held = " UNDER PRESSURE" if course.session.under_pressure else ""
        stage = STAGE[course.session.stage]
        return f"Test {course.name} goes on in {stage}{held}: `holdwater` opens it again."

    def going_on(self, plan: PlanFile) -> str | None:
        """The open test of this very plan, the latest where there are several."""
        from engine.facts import SessionOpened
        from engine.trouble import Trouble

        found = None
        for name in sorted(self._outside.shelf.live()):
            try:
                records = self._outside.shelf.read(name).records
            except Trouble:
                continue
            opened = records[0].fact if records else None
            if isinstance(opened, SessionOpened) and opened.plan == plan and not opened.practice:
                found = name
        return found

    def resume(self, session: str, by: str = "") -> Course:
        """An open test goes on; a closed or a damaged one is gone through again.

        Raises Trouble: InHand where it can be watched.
        """
        from engine.trouble import Trouble, Unsound
        from tui import past, practice

        outside = self._outside
        if session not in outside.shelf.live():
            return past.replay(outside, session, at_end=True)
        try:
            journal = outside.shelf.open(session)
        except Unsound:
            return past.replay(outside, session, at_end=True)
        try:
            if not journal.records():
                raise Trouble(f"session {session} holds nothing yet: start it anew (n)")
            self.notice = self._started_anew(journal.records()[-1])
            return practice.resumed(journal, outside, by or outside.by)
        except Trouble:
            journal.close()
            raise

    def _started_anew(self, last: Record) -> str:
        """What it costs that the machine was started anew since the last record, if it was."""
        if last.boot == self._outside.clock().boot or last.boot.startswith("practice"):
            return ""
        return (f"The machine was started anew after record {last.seq}: "
                "no credit reaches across; a new reading begins it")  # fmt: skip

    def watch(self, session: str) -> Course:
        from tui.follower import Follower

        trail = self._outside.shelf.trail(session)
        return Follower(session, trail, self._outside.clock, "WATCHING")

    def hand_out(self, session: str, path: str) -> str:
        """The certificate of a closed test is written; says so.  Raises Trouble."""
        from tui.certificates import hand_out

        if session in self._outside.shelf.live():
            self._outside.shelf.seal(session)
        return hand_out(self._outside, session, path)

    def amend(self, session: str, reason: str) -> Recorder:
        """A closed test is taken up again; what was on paper before is kept.  Raises Trouble."""
        from engine.asking.commands import Amend
        from tui.recorder import Recorder

        journal = self._outside.shelf.amend(session)
        try:
            recorder = Recorder(journal, self._outside.clock, self._outside.by)
            recorder.ask(Amend(reason))
        except BaseException:
            journal.close()
            raise
        return recorder

    def note(self, course: Course) -> str:
        """The index says how the test stands; returns why not, where it cannot be written.

        Nothing is lost by that: it is made anew from the sessions at the next start.
        """
        from engine.present.row import row
        from engine.trouble import Trouble

        try:
            self._outside.shelf.put_row(course.name, row(course.name, course.session))
        except Trouble as trouble:
            return f"every record is kept; the list is behind: {trouble}"
        return ""

    def put_away(self, course: Course) -> None:
        """A test that is over is sealed; one that is not stays open.  `notice` says what failed."""
        from engine.trouble import Trouble

        if not course.writable:
            return
        told = []
        if course.session.closed and course.name in self._outside.shelf.live():
            try:
                self._outside.shelf.seal(course.name)
            except Trouble as trouble:
                told = [f"{course.name} is kept, but not sealed: {trouble}"]
        self.notice = (told or [self.note(course)])[0]
        course.close()


def _may_hang(row: Row, mark: str) -> bool:
    """The row names the gauge, or too many to name them all."""
    gauges = str(row.get("gauge", ""))
    named = mark in gauges.split(", ") or gauges.endswith("...")
    return named and not row.get("open") and not row.get("practice")
