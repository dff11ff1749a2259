"""What can be opened from the bench: tests that go on, new ones from a plan, past ones.

Nothing heavy is loaded before something is opened.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from tui.outside import Outside, Row

if TYPE_CHECKING:
    from engine.planfile import PlanFile
    from tui.course import Course
    from tui.recorder import Recorder


class Bench:
    """Opens tests, keeps the index in step with them, and closes them."""

    def __init__(self, outside: Outside) -> None:
        self._outside = outside

    @property
    def by(self) -> str:
        return self._outside.by

    def rows(self) -> Sequence[Row]:
        """Open tests first, then the past, newest first."""
        newest_first = sorted(
            self._outside.shelf.rows(), key=lambda r: str(r.get("when", "")), reverse=True
        )
        return sorted(newest_first, key=lambda r: not r.get("open"))

    def today(self) -> date:
        return self._outside.clock().wall.date()

    def plan(self, path: str) -> PlanFile:
        """Raises Trouble, one line a fault."""
        return self._outside.read_plan(path)

    def start(self, plan: PlanFile, by: str) -> Recorder:
        """A new test."""
        from tui.recorder import begin

        journal = self._outside.shelf.begin(self._outside.identity())
        recorder = begin(journal, self._outside.clock, by, plan)
        self.note(recorder)
        return recorder

    def resume(self, session: str, by: str = "") -> Course:
        """An open test goes on; a closed one is only shown.  Raises Trouble."""
        from tui.follower import Follower
        from tui.recorder import Recorder

        outside = self._outside
        if session in outside.shelf.live():
            return Recorder(outside.shelf.open(session), outside.clock, by or outside.by)
        return Follower(session, outside.shelf.trail(session), outside.clock, "PAST TEST")

    def watch(self, session: str) -> Course:
        from tui.follower import Follower

        trail = self._outside.shelf.trail(session)
        return Follower(session, trail, self._outside.clock, "WATCHING")

    def note(self, course: Course) -> None:
        """The index says how the test stands."""
        from engine.present.row import row

        self._outside.shelf.put_row(course.name, row(course.name, course.session))

    def put_away(self, course: Course) -> None:
        """A test that is over is sealed; one that is not stays open."""
        from engine.trouble import Trouble

        if not course.writable:
            return
        try:
            if course.session.closed:
                self._outside.shelf.seal(course.name)
            self.note(course)
        except Trouble:
            pass
        course.close()
