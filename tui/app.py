"""The app: holds what is outside, shows the bench, and opens tests from it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from textual import on, work
from textual.screen import Screen

from tui.screens.bench import BenchScreen
from tui.theme import Look
from tui.widgets.narrow import NarrowApp

if TYPE_CHECKING:
    from tui.bench import Bench
    from tui.course import Course
    from tui.screens.history import HistoryScreen


_SHOWN: Final = 0.1
"""Seconds after which what is opened next is loaded: the first frame goes out undisturbed."""


class HoldwaterApp(NarrowApp[None]):
    """Starts with the bench, or with one test where `first` opens it."""

    ENABLE_COMMAND_PALETTE = False
    CSS = "Screen { background: ansi_default; }"

    def __init__(
        self,
        bench: Bench,
        look: Look,
        first: Callable[[], Course] | None = None,
        decimal_comma: bool = False,
    ) -> None:
        super().__init__()
        self.look = look
        self.failure: Exception | None = None
        """Why it ended, where it was not asked to; to be told when the terminal is ordinary."""
        self._course: Course | None = None
        self.farewell = ""
        """Said on the terminal once the screen is gone: how to come back."""
        self._bench, self._first, self._decimal_comma = bench, first, decimal_comma

    def on_mount(self) -> None:
        if self._first is not None:
            self._show_first(self._first)
            return
        self.set_timer(_SHOWN, self._warm)

    def get_default_screen(self) -> Screen[Any]:
        """The bench stands at the bottom, so that no empty screen is drawn before it."""
        return super().get_default_screen() if self._first else BenchScreen(self._bench)

    def _show_first(self, first: Callable[[], Course]) -> None:
        from engine.trouble import Trouble

        try:
            self.show(first())
        except Trouble as trouble:
            self._end(trouble)

    @work(thread=True)
    def _warm(self) -> None:
        """What the run screen needs is loaded while somebody reads the bench."""
        import tui.screens.run  # noqa: F401

    @on(BenchScreen.Opened)
    def _opened(self, event: BenchScreen.Opened) -> None:
        self.show(event.course)

    def show(self, course: Course) -> None:
        from tui.player import Player
        from tui.practice import Practice
        from tui.screens.practice import PracticeScreen
        from tui.screens.replay import ReplayScreen
        from tui.screens.run import RunScreen
        from tui.talk import past

        screen: RunScreen
        if isinstance(course, Player):
            screen = ReplayScreen(course, self._decimal_comma, self._bench.by)
        elif isinstance(course, Practice):
            screen = PracticeScreen(course, self._decimal_comma)
        else:
            screen = RunScreen(course, self._decimal_comma)
        screen.lend_paper(lambda tell: past.paper_told(self._bench, course.name, tell))
        screen.say(self._bench.notice)
        self._bench.notice = ""
        self._course = course
        self.push_screen(screen, lambda _: self._back(course))

    def _back(self, course: Course) -> None:
        """From a test: to the bench, or out where there is none behind it."""
        from engine.trouble import Trouble

        self._course = None
        self._bench.put_away(course)
        self.farewell = self._bench.farewell(course)
        if self._first is not None:
            self._end(Trouble(self._bench.notice) if self._bench.notice else None)
        elif isinstance(self.screen, BenchScreen):
            self.screen.reload()

    @on(BenchScreen.Wanted)
    def _wanted(self, event: BenchScreen.Wanted) -> None:
        """Another screen over the bench, and back."""
        from tui.screens.catalogue import CatalogueScreen
        from tui.screens.history import HistoryScreen

        screen: HistoryScreen | CatalogueScreen
        if event.screen == "history":
            screen = HistoryScreen(self._bench, event.session)
        else:
            screen = CatalogueScreen(self._bench)
        self.push_screen(screen, lambda _: self._returned())

    def _returned(self) -> None:
        if isinstance(self.screen, BenchScreen):
            self.screen.reload()

    def on_history_screen_opened(self, event: HistoryScreen.Opened) -> None:
        self.show(event.course)

    async def action_quit(self) -> None:
        """Control-Q, which the app takes before any screen: as politely as leaving each screen."""
        self.leave()

    def leave(self) -> None:
        """Ends the program politely: a test that is open is put away; its records are on disk."""
        if self._course is not None:
            self._bench.put_away(self._course)
            self.farewell = self._bench.farewell(self._course)
        self.exit()

    def _end(self, why: Exception | None) -> None:
        self.failure = why
        self.exit()

    def _fatal_error(self) -> None:
        """In place of a traceback over the screen: whoever started the app says it in a line."""
        self.failure = self._exception
        self._close_messages_no_wait()
