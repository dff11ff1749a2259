"""The run screen: conducts one test, stage by stage, from the keyboard."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar, Final

from textual import events, on

from engine.trouble import Trouble
from tui.course import Course
from tui.screens import bells, run_keys
from tui.screens.following import follow, named
from tui.screens.plan import PlanScreen
from tui.screens.run_talk import RunTalk
from tui.talk import Conversation, Pick
from tui.widgets.checklist import Checklist
from tui.widgets.entry import Entry
from tui.widgets.sheet import Sheet

_TICK: Final = 0.5
_BOUNCE: Final = 0.3
"""Seconds within which a second Enter is a bouncing key and not a second yes."""


class RunScreen(RunTalk):
    """Routes the keys, and goes on with time."""

    READ_ONLY: ClassVar = "read only: another program writes this test"

    def __init__(self, course: Course, decimal_comma: bool = False) -> None:
        super().__init__(course, decimal_comma)
        self._bells = bells.Bells()
        self._entered = 0.0
        self._paper: Callable[[Callable[[str], None]], Conversation] | None = None
        self._second = -1

    def lend_paper(self, paper: Callable[[Callable[[str], None]], Conversation]) -> None:
        """How the certificate of a closed test is asked for."""
        self._paper = paper

    def say(self, text: str) -> None:
        """What is to be known first, until a key is pressed."""
        self._said = (text, "warn")

    # --- time -----------------------------------------------------------------------------------

    def on_mount(self) -> None:
        self._bells.ended(self._course.session, self._course.now())
        self.draw()
        self._to_first_open()
        self.set_interval(_TICK, self._tick)

    def _tick(self) -> None:
        closed = self._course.session.closed
        changed = self._refreshed()
        if self._course.session.closed and not closed:
            self._view = "reasons"
        now = self._course.now()
        if changed:
            self._said = ("", "plain")
        if self.is_active:  # else each change behind the plan would send the whole plan again
            if changed:
                self.draw()
                self._to_first_open()
            elif int(now) != self._second:
                self._draw_moment(now)
        self._second = int(now)
        self._ring(now)

    def _refreshed(self) -> bool:
        try:
            return self._course.refresh()
        except Trouble as trouble:
            self._said = (str(trouble), "warn")
            return False

    def _ring(self, now: float) -> None:
        """Once for each timer that has ended since the last look."""
        ended = self._bells.ended(self._course.session, now)
        if ended:
            self.app.bell()
        if self._question is None and bells.wait(self.query_one(Checklist).chosen) in ended:
            self._to_first_open()

    # --- keys -----------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """The screen routes its keys: a burst on a bad link must never be split by a focus."""
        event.stop()
        event.prevent_default()
        if not self.is_active:
            follow(self, event)
        elif isinstance(self._question, Pick):
            self._pick(self._question, event)
        elif self._question is not None:
            self._type(event)
        else:
            self._pressed(event)

    def _pick(self, question: Pick, event: events.Key) -> None:
        """Taken at once, as a typed line is: a message would come after the keys behind it."""
        key = named(event)
        if event.key == "escape":
            self._said = ("", "plain")
            self._leave_conversation()
        elif key in dict(question.choices):
            self._said = ("", "plain")
            self._answer(key)
        else:
            keys = " ".join(k for k, _ in question.choices)
            self._tell(f"{key!r} is no answer here: {keys}; Esc leaves the question")

    def _type(self, event: events.Key) -> None:
        entry = self.query_one(Entry)
        if event.key == "enter":
            self._dialogue.remember(entry.text)
            self._answer(entry.text)
        elif event.key == "escape":
            self._dialogue.remember(entry.text)
            self._leave_conversation()
        else:
            entry.take(event)

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        if not self.query_one(Entry).paste(event.text):
            self._tell("no line is open to type on: what was pasted was not taken")

    def _pressed(self, event: events.Key) -> None:
        self._said = ("", "plain")
        key = named(event)
        if event.key == "tab":
            self._show_view(self._next_view())
        elif key == "?":
            self._show_view("checks" if self._view == "help" else "help")
        elif event.key in ("q", "ctrl+c", "ctrl+q"):
            self.dismiss()
        elif event.key == "escape":
            self._show_view("checks")
        elif event.key == "enter":
            bounced = event.time - self._entered < _BOUNCE
            self._entered = event.time
            if not bounced:
                self._settle()
        elif key == "p":
            self._show_plan()
        elif key == "c" and self._course.session.closed and self._paper is not None:
            self._begin(self._paper(self._tell), "paper")
        elif self._view != "checks" and self.query_one(Sheet).take(event):
            pass
        elif self.query_one(Checklist).take(event):
            self._draw_moment(self._course.now())
        elif not self._course.writable:
            self._tell(self.READ_ONLY)
        else:
            self._start_by_key(key)

    def _views(self) -> tuple[str, ...]:
        """What Tab goes through."""
        return ("checks", "log", "reasons")

    def _next_view(self) -> str:
        views = self._views()
        at = views.index(self._view) if self._view in views else -1
        return views[(at + 1) % len(views)]

    def _show_plan(self) -> None:
        session = self._course.session
        opened = session.records[0].at.date()
        self.app.push_screen(PlanScreen(session.plan, opened, may_start=False))

    def _settle(self) -> None:
        name = self.query_one(Checklist).chosen
        if not self._course.writable:
            self._tell(self.READ_ONLY)
        elif self._course.session.closed:
            self._tell("this test is closed")
        elif name is not None:
            self._begin(run_keys.settle(self._talk, name), f"settle {name}")

    def _start_by_key(self, key: str) -> None:
        name = self.query_one(Checklist).chosen or ""
        if key.isdecimal() or key in ".-":
            why = run_keys.no_figure(self._course.session, name)
            if why:
                self._tell(why)
                return
            self._begin(run_keys.figure(self._talk, name, key), "figure", typing=True)
            return
        found = run_keys.KEYS.get(key)
        if found is None:
            self._tell(f"{key!r} means nothing here: ? shows the keys")
            return
        why = run_keys.why_not(self._course.session, key)
        if why:
            self._tell(why)
            return
        self._begin(found.start(self._talk, name), key)

    @on(Checklist.Moved)
    def _moved(self) -> None:
        self._draw_moment(self._course.now())
