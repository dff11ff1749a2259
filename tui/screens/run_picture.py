"""The run screen as it is drawn: a session at a moment, with a cursor, a view and a question."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, Final

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.screen import Screen

from tui.course import Course
from tui.screens import now_view, run_keys, run_view
from tui.screens.dialogue import Dialogue
from tui.screens.sharing import shared
from tui.talk import Ask, Pick
from tui.theme import Tone
from tui.widgets.banner import Banner
from tui.widgets.checklist import Checklist
from tui.widgets.choices import Choices
from tui.widgets.clock import Clock, ClockRow
from tui.widgets.entry import Entry
from tui.widgets.keys import KeyHint, Keys
from tui.widgets.lines import Lines, Row
from tui.widgets.sheet import Sheet
from tui.widgets.trend import Trend

_LOGGED: Final = 300
_CLOCK: Final = 25
_CLOCK_IN_HOLD: Final = 29


class RunPicture(Screen[None]):
    """Shows what the session says; what it keeps of its own is cursor, view and question."""

    AUTO_FOCUS = ""
    DEFAULT_CSS = """
    RunPicture { layout: vertical; }
    RunPicture #title, RunPicture #stages, RunPicture #needed, RunPicture #last { height: 1; }
    RunPicture #main { height: 1fr; }
    RunPicture #left { width: 1fr; margin-right: 1; }
    RunPicture #trend { display: none; }
    RunPicture #trend.shown { display: block; }
    RunPicture #checks, RunPicture #text { height: 1fr; }
    RunPicture #text { display: none; }
    RunPicture .reading #checks, RunPicture .reading #trend.shown { display: none; }
    RunPicture .reading #text { display: block; }
    RunPicture #clock { height: 1fr; }
    RunPicture #keys { height: 2; }
    """
    BINDINGS: ClassVar = []
    AROUND: ClassVar = 10
    """Rows above and below the checks: title, stages, need, caution; line, choices, keys."""

    def __init__(self, course: Course) -> None:
        super().__init__()
        self._course = course
        self._dialogue = Dialogue()
        self._said: tuple[str, Tone] = ("", "plain")
        self._view = "checks"
        self._left, self._logged = 50, 1

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

    @property
    def _question(self) -> Ask | Pick | None:
        asked: Ask | Pick | None = self._dialogue.question
        return asked

    def on_screen_resume(self) -> None:
        """Nothing was drawn while another screen stood before this one."""
        self.draw()

    def on_resize(self) -> None:
        if self.is_active:
            self.draw()

    def draw(self) -> None:
        """The whole screen says what the session says now."""
        session, now = self._course.session, self._course.now()
        self.query_one("#title", Lines).show(
            [run_view.title(session, self._course.label, self._course.name)]
        )
        self.query_one("#stages", Lines).show([run_view.stages(session)])
        trend = self.query_one("#trend", Trend)
        trend.set_class(self._in_hold, "shown")
        if self._in_hold:
            trend.update(*run_view.trend(session))
        self._share(now)
        self._draw_text()
        self._draw_moment(now)

    @property
    def _in_hold(self) -> bool:
        session = self._course.session
        return session.stage in ("hold", "verdict") and bool(session.holds)

    def _share(self, now: float) -> None:
        """Rows and columns go where there is something to show."""
        clock = _CLOCK_IN_HOLD if self._in_hold else _CLOCK
        self._left = self.app.size.width - clock - 1
        checks = self.query_one(Checklist)
        checks.update(run_view.checks(self._course.session, now))
        rows, wanted = self.app.size.height - self.AROUND, checks.wanted(self._left)
        shares = shared(rows, wanted, len(self._clock(now)), self._in_hold)
        self.query_one(Clock).styles.width = clock
        self.query_one(Trend).styles.height = shares.trend
        self._logged = shares.log if self._view == "checks" else 1
        self.query_one("#last", Lines).styles.height = self._logged

    def _draw_moment(self, now: float) -> None:
        """What time changes; the rest stands still."""
        self.query_one("#needed", Lines).show([self._needed(now)])
        self.query_one(Checklist).update(run_view.checks(self._course.session, now))
        self.query_one(Clock).update(self._clock(now))
        self._draw_caution(now)
        self._draw_foot(now)

    def _needed(self, now: float) -> Row:
        text, tone = now_view.needed(self._course.session, now)
        if self._steps():
            text, tone = "RELEASING: follow the steps below", "bad"
        elif isinstance(self._question, Pick) and self._question.now:
            text, tone = self._question.now, "warn"
        return ((f"NOW  {text}", f"{tone} strong"),)

    def _clock(self, now: float) -> Sequence[ClockRow]:
        return run_view.clock(self._course.session, now)

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
            text.show(self._text(self._view, max(20, self._left)))

    def _text(self, view: str, width: int) -> Sequence[Row]:
        session = self._course.session
        if view == "log":
            return run_view.log(session, _LOGGED)
        if view == "reasons":
            return run_view.reasons(session, width)
        return run_keys.help_rows()

    def _hints(self) -> list[KeyHint]:
        return run_keys.hints(self._course.session, self._course, self._question)

    def _draw_foot(self, now: float) -> None:
        session = self._course.session
        said, tone = self._said
        last = run_view.log(session, self._logged)
        if said:
            last[-1:] = [((said, tone),)]
        above: list[Row] = [()] * (self._logged - len(last))
        self.query_one("#last", Lines).show([*above, *last])
        self.query_one(Keys).update(self._hints())
        if self._question is None:
            here = run_view.check_under(session, self.query_one(Checklist).chosen, now)
            self.query_one(Entry).close(now_view.hint(session, here, self._course.writable))

    def _tell(self, text: str, tone: Tone = "warn") -> None:
        self._said = (text, tone)
        self._draw_foot(self._course.now())

    def _show_view(self, view: str) -> None:
        self._view = view
        self.draw()
        sheet = self.query_one(Sheet)
        if view == "log":
            self.call_after_refresh(sheet.to_end)
        else:
            sheet.to_start()

    def _to_first_open(self) -> None:
        name = now_view.first_open(self._course.session, self._course.now())
        if name is not None:
            self.query_one(Checklist).move_to(name)
        self._draw_moment(self._course.now())
