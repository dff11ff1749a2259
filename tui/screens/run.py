"""The run screen: conducts one test, stage by stage, from the keyboard."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar, Final

from pydantic import ValidationError
from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.screen import Screen

from engine.asking.commands import Command
from engine.asking.refusing import unfit
from engine.judging.settling import standings
from engine.trouble import Trouble
from tui.course import Course
from tui.screens import now_view, run_keys, run_view
from tui.screens.dialogue import Dialogue
from tui.screens.following import follow
from tui.screens.plan import PlanScreen
from tui.talk import Ask, Conversation, Pick, Submit, Talk
from tui.theme import Tone
from tui.widgets.banner import Banner
from tui.widgets.checklist import Checklist
from tui.widgets.choices import Choice, Choices
from tui.widgets.clock import Clock
from tui.widgets.entry import Entry
from tui.widgets.keys import KeyHint, Keys
from tui.widgets.lines import Lines, Row
from tui.widgets.sheet import Sheet
from tui.widgets.trend import Trend

_TICK: Final = 0.5
_BOUNCE: Final = 0.3
"""Seconds within which a second Enter is a bouncing key and not a second yes."""
_LOGGED: Final = 300
_LONGEST: Final = 400
"""Signs of a line typed here."""


class RunScreen(Screen[None]):
    """A function of a session and a moment; keeps only cursor, view, and what is being typed."""

    AUTO_FOCUS = ""
    DEFAULT_CSS = """
    RunScreen { layout: vertical; }
    RunScreen #title, RunScreen #stages, RunScreen #needed, RunScreen #last { height: 1; }
    RunScreen #main { height: 1fr; }
    RunScreen #left { width: 1fr; margin-right: 1; }
    RunScreen #trend { height: 7; display: none; }
    RunScreen #trend.shown { display: block; }
    RunScreen #checks, RunScreen #text { height: 1fr; }
    RunScreen #text { display: none; }
    RunScreen .reading #checks, RunScreen .reading #trend.shown { display: none; }
    RunScreen .reading #text { display: block; }
    RunScreen #clock { width: 29; height: 1fr; }
    RunScreen #keys { height: 2; }
    """
    BINDINGS: ClassVar = []
    VIEWS: ClassVar[tuple[str, ...]] = ("checks", "log", "reasons")
    """What Tab goes through."""
    READ_ONLY: ClassVar = "read only: another program writes this test"

    def __init__(self, course: Course, decimal_comma: bool = False) -> None:
        super().__init__()
        self._course = course
        self._talk = Talk(lambda: course.session, course.now, decimal_comma)
        self._dialogue = Dialogue()
        self._said: tuple[str, Tone] = ("", "plain")
        self._view = "checks"
        self._rung: set[str] = set()
        self._refused = False
        self._entered = 0.0
        self._paper: Callable[[Callable[[str], None]], Conversation] | None = None
        self._second = -1

    @property
    def _question(self) -> Ask | Pick | None:
        asked: Ask | Pick | None = self._dialogue.question
        return asked

    def lend_paper(self, paper: Callable[[Callable[[str], None]], Conversation]) -> None:
        """How the certificate of a closed test is asked for."""
        self._paper = paper

    def say(self, text: str) -> None:
        """What is to be known first, until a key is pressed."""
        self._said = (text, "warn")

    # --- drawing --------------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        yield Lines(id="title")
        yield Lines(id="stages")
        yield Lines(id="needed")
        yield Banner(id="banner")
        with Horizontal(id="main"):
            with Vertical(id="left"):
                yield Trend(id="trend")
                yield Checklist(id="checks")
                yield Sheet(id="text")
            yield Clock(values=11, id="clock")
        yield Lines(id="last")
        yield Entry(id="entry")
        yield Choices(id="choices")
        yield Keys(id="keys")

    def on_mount(self) -> None:
        self._rung = set(self._over(self._course.now()))
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

    def on_screen_resume(self) -> None:
        """Nothing was drawn while another screen stood before this one."""
        self.draw()

    def _refreshed(self) -> bool:
        try:
            return self._course.refresh()
        except Trouble as trouble:
            self._said = (str(trouble), "warn")
            return False

    def draw(self) -> None:
        """The whole screen says what the session says now."""
        session, now = self._course.session, self._course.now()
        self.query_one("#title", Lines).show(
            [run_view.title(session, self._course.label, self._course.name)]
        )
        self.query_one("#stages", Lines).show([run_view.stages(session)])
        trend = self.query_one("#trend", Trend)
        in_hold = session.stage in ("hold", "verdict") and bool(session.holds)
        trend.set_class(in_hold, "shown")
        if in_hold:
            trend.update(*run_view.trend(session))
        self._draw_text()
        self._draw_moment(now)

    def _draw_moment(self, now: float) -> None:
        session = self._course.session
        text, tone = now_view.needed(session, now)
        if self._steps():
            text, tone = "RELEASING: follow the steps below", "bad"
        self.query_one("#needed", Lines).show([((f"NOW  {text}", f"{tone} strong"),)])
        self.query_one(Checklist).update(run_view.checks(session, now))
        self.query_one(Clock).update("", run_view.clock(session, now))
        self._draw_caution(now)
        self._draw_foot(now)

    def _draw_caution(self, now: float) -> None:
        steps = self._steps()
        if steps:
            self.query_one(Banner).update(steps, "bad")
            return
        here = run_view.check_under(self._course.session, self.query_one(Checklist).chosen, now)
        check = here.check if here else None
        self.query_one(Banner).update(*now_view.caution(self._course.session, check))

    def _steps(self) -> str:
        """What to do, or to know, before the question is answered."""
        return self._question.steps if isinstance(self._question, Ask) else ""

    def _draw_text(self) -> None:
        self.query_one("#left").set_class(self._view != "checks", "reading")
        if self._view != "checks":
            text = self.query_one(Sheet)
            text.show(self._text(self._view, max(20, text.size.width or 49)))

    def _text(self, view: str, width: int) -> Sequence[Row]:
        session = self._course.session
        if view == "log":
            return run_view.log(session, _LOGGED)
        if view == "reasons":
            return run_view.reasons(session, width)
        return run_keys.help_rows(session)

    def _hints(self) -> list[KeyHint]:
        return run_keys.hints(self._course.session, self._course, self._question)

    def _draw_foot(self, now: float) -> None:
        session = self._course.session
        said, tone = self._said
        last = [((said, tone),)] if said else run_view.log(session, 1)
        self.query_one("#last", Lines).show(last)
        self.query_one(Keys).update(self._hints())
        if self._question is None:
            here = run_view.check_under(session, self.query_one(Checklist).chosen, now)
            self.query_one(Entry).close(now_view.hint(session, here, self._course.writable))

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
        key = _named(event)
        if event.key == "escape":
            self._leave_conversation()
        elif key in dict(question.choices):
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
        key = _named(event)
        if event.key == "tab":
            at = self.VIEWS.index(self._view) if self._view in self.VIEWS else -1
            self._show_view(self.VIEWS[(at + 1) % len(self.VIEWS)])
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

    def _show_view(self, view: str) -> None:
        self._view = view
        self.draw()
        sheet = self.query_one(Sheet)
        if view == "log":
            self.call_after_refresh(sheet.to_end)
        else:
            sheet.to_start()

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
            self._begin(run_keys.figure(self._talk, name, key), "figure")
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

    def _tell(self, text: str, tone: Tone = "warn") -> None:
        self._said = (text, tone)
        self._draw_foot(self._course.now())

    # --- conversations --------------------------------------------------------------------------

    def _begin(self, conversation: Conversation, name: str) -> None:
        self._refused = False
        self._go_on(lambda: self._dialogue.begin(conversation, name))

    @on(Checklist.Moved)
    def _moved(self) -> None:
        self._draw_moment(self._course.now())

    def _answer(self, text: str) -> None:
        self._go_on(lambda: self._dialogue.answer(text))

    def _go_on(self, step: Callable[[], Ask | Pick | Submit]) -> None:
        """Until the next question, or the end."""
        try:
            question = step()
            while isinstance(question, Submit):
                question = self._dialogue.answer(self._submit(question.command))
        except ValidationError as error:  # of what was typed no fact can be made
            self._said, self._refused = (str(unfit(error)), "warn"), True
            self._leave_conversation()
        except StopIteration:
            if not self._refused:
                self._dialogue.forget()
            self._leave_conversation()
        else:
            self._put(question)

    def _put(self, question: Ask | Pick) -> None:
        self._dialogue.question = question
        entry, choices = self.query_one(Entry), self.query_one(Choices)
        if isinstance(question, Pick):
            entry.close(question.prompt)
            choices.update([Choice(key, label) for key, label in question.choices])
        else:
            choices.update([])
            text = self._dialogue.offered(question)
            entry.ask(question.prompt, question.echo, text, _LONGEST)
            if question.refusal:
                entry.refuse(question.refusal)
        self._draw_caution(self._course.now())
        self._draw_foot(self._course.now())

    def _leave_conversation(self) -> None:
        self._dialogue.leave()
        self.query_one(Choices).update([])
        self.query_one(Entry).close()
        self._draw_moment(self._course.now())

    def _submit(self, command: Command) -> str:
        """The refusal, empty where it was written down; the screen shows what is on disk."""
        before = self._course.session
        try:
            after = self._course.ask(command)
        except Trouble as trouble:
            self._said, self._refused = (str(trouble), "warn"), True
            return str(trouble)
        self._said, self._refused = ("", "plain"), False
        self._dialogue.forget()
        if after.stage != before.stage or after.closed:
            self._view = "reasons" if after.closed else "checks"
        self.draw()
        self._to_first_open()
        return ""

    def _to_first_open(self) -> None:
        name = now_view.first_open(self._course.session, self._course.now())
        if name is not None:
            self.query_one(Checklist).move_to(name)
        self._draw_moment(self._course.now())

    # --- bells ----------------------------------------------------------------------------------

    def _ring(self, now: float) -> None:
        """Once for each timer that has ended since the last look."""
        over = set(self._over(now))
        ended, self._rung = over - self._rung, over
        if ended:
            self.app.bell()
        if self._question is None and f"wait {self.query_one(Checklist).chosen}" in ended:
            self._to_first_open()

    def _over(self, now: float) -> list[str]:
        session = self._course.session
        if session.opened is None or session.closed:
            return []
        waits = [
            f"wait {s.check.id}"
            for s in standings(session, session.stage, now)
            if s.check.kind == "wait" and s.settled
        ]
        return [*waits, *now_view.timers_over(session, now)]


def _named(event: events.Key) -> str:
    """The sign that was typed, or the name of a key that types none."""
    sign = event.character
    return sign if sign is not None and sign.isprintable() else event.key
