"""The history: past tests found and narrowed, a product's standing, a specimen's story, a trend."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import ClassVar, Final

from textual import events
from textual.containers import Vertical
from textual.message import Message
from textual.widget import Widget

from engine.history import Filter, Search
from engine.history.shown import SHOWN, shown_in, units_of
from engine.history.trend import Figure
from tui import histories
from tui.bench import Bench
from tui.course import Course
from tui.outside import Row as Listed
from tui.screens import history_view
from tui.screens.following import follow, named
from tui.screens.searching import Searching
from tui.widgets.entry import Entry
from tui.widgets.keys import KeyHint, Keys
from tui.widgets.lines import Lines, Row
from tui.widgets.picker import Picker
from tui.widgets.plot import Plot
from tui.widgets.sheet import Sheet

_COMMON: Final = (
    KeyHint("Tab", "next view"),
    KeyHint("f", "show only"),
    KeyHint("/", "search"),
    KeyHint("Enter", "open"),
    KeyHint("p", "paper"),
    KeyHint("Esc", "back"),
)
_HINTS: Final = {
    "sessions": _COMMON,
    "standing": (KeyHint("Tab", "next view"), KeyHint("Up Down", "read"), KeyHint("Esc", "back")),
    "story": (KeyHint("Tab", "next view"), KeyHint("Up Down", "read"), KeyHint("Esc", "back")),
    "trend": (KeyHint("Tab", "next view"), KeyHint("Left Right", "tests"),
              KeyHint("Space", "next figure"), KeyHint("a", "alignment"),
              KeyHint("Enter", "open"), KeyHint("Esc", "back")),
}  # fmt: skip
_FIGURES: Final[tuple[Figure, ...]] = tuple(SHOWN)
_ALIGNMENTS: Final = (None, "straight", "deflected")


class HistoryScreen(Searching):
    """Views of the same rows; Tab goes from one to the next.

    Standing and trend are of the product, the story of the specimen, under the cursor.
    """

    DEFAULT_CSS = """
    HistoryScreen #text { display: none; }
    HistoryScreen #drawn { display: none; height: 1fr; }
    HistoryScreen #under { height: 3; }
    HistoryScreen.standing #list, HistoryScreen.story #list, HistoryScreen.trend #list
        { display: none; }
    HistoryScreen.standing #text, HistoryScreen.story #text { display: block; }
    HistoryScreen.trend #drawn { display: block; }
    HistoryScreen.finding #text, HistoryScreen.finding #drawn { display: none; }
    """
    BINDINGS: ClassVar = []

    class Opened(Message):
        """A test is to be shown."""

        def __init__(self, course: Course) -> None:
            super().__init__()
            self.course = course

    def __init__(self, bench: Bench, session: str = "") -> None:
        super().__init__()
        self._bench, self._first = bench, session
        self._rows: Sequence[Listed] = ()
        self._shown: Sequence[Listed] = ()
        self._search: Search | None = None
        self._left = False
        self._only = Filter()
        self._view = "sessions"
        self._figure = 0
        self._alignment = 0
        self._drawn: history_view.Course | None = None

    def main(self) -> Iterable[Widget]:
        yield Picker(id="list")
        yield Sheet(id="text")
        yield Vertical(Plot(id="plot"), Lines(id="under"), id="drawn")

    def hints(self) -> Iterable[KeyHint]:
        return _HINTS[self._view]

    def on_mount(self) -> None:
        self._rows = self._bench.rows()
        self.narrow()
        places = (n for n, row in enumerate(self._shown) if row["session"] == self._first)
        self.query_one("#list", Picker).move_to(next(places, 0))
        self._show("sessions")

    def on_screen_resume(self) -> None:
        """A test that was opened from here may have been closed meanwhile."""
        if self._left:
            self._rows, self._search, self._left = self._bench.rows(), None, False
            self.narrow()

    def on_screen_suspend(self) -> None:
        self._left = True

    # --- what is shown --------------------------------------------------------------------------

    @property
    def _chosen(self) -> Listed | None:
        found: Listed | None = self.query_one("#list", Picker).chosen
        return found

    @property
    def _product(self) -> str:
        row = self._chosen
        return str(row.get("product", "")) if row else self._only.product or ""

    def narrow(self) -> None:
        rows = self._only.of(self._rows)
        if self._wanted.strip():
            self._search = self._search or Search(rows)
            rows = self._search.found(self._wanted)
        self._shown = rows
        self.query_one("#list", Picker).update(rows, history_view.session, "No such test.")
        self._head()

    def _head(self) -> None:
        spans: Row = (("HISTORY  ", "strong"),)
        for view in history_view.VIEWS:
            here = view == self._view
            spans += ((f"[{view}] " if here else f" {view}  ", "accent strong" if here else "dim"),)
        self.query_one("#head", Lines).show([spans, ((self._below_views(), "dim"),)])

    def _below_views(self) -> str:
        if self._view == "trend":
            units = units_of(self._rows, self._product)
            shown = shown_in(_FIGURES[self._figure], units)
            unit = f" [{shown.unit}]" if shown.unit else ""
            held = _ALIGNMENTS[self._alignment] or "both alignments"
            return f"{shown.name}{unit}: {self._product}, {held}"
        only = history_view.filtered(self._only)
        count = len(self._shown)
        words = [f"{count} test{'' if count == 1 else 's'}"]
        words += [f"only {only}"] if only else []
        words += [f"search: {self._wanted}"] if self._wanted else []
        return ", ".join(words)

    def _show(self, view: str) -> None:
        for each in history_view.VIEWS:
            self.set_class(each == view, each)
        self._view = view
        sheet = self.query_one(Sheet)
        width = max(40, self.size.width)
        if view == "standing":
            today, every = self._bench.today(), self._bench.interval()
            sheet.show(
                histories.standing_rows(self._rows, self._product, today, width, every)
                if self._product
                else [(("No product.", "plain"),)]
            )
            sheet.to_start()
        elif view == "story":
            name = str(self._chosen["session"]) if self._chosen else ""
            sheet.show(histories.story_rows(self._rows, name))
            sheet.to_start()
        elif view == "trend":
            self._draw_trend()
        self._head()
        self.query_one(Keys).update(self.hints())

    def _draw_trend(self) -> None:
        name, held = _FIGURES[self._figure], _ALIGNMENTS[self._alignment]
        self._drawn = history_view.course(self._rows, self._product, name, held)
        self.query_one(Plot).update(self._drawn.dots, self._drawn.band)
        self._under()

    def _under(self) -> None:
        drawn, name = self._drawn, _FIGURES[self._figure]
        if drawn is None:
            return
        point = drawn.points[self.query_one(Plot).at] if drawn.points else None
        word: Row = ((f"! {drawn.word}", "warn strong"),) if drawn.word else ()
        self.query_one("#under", Lines).show(
            [history_view.point_row(self._rows, name, point), ((drawn.usual, "dim"),), word]
        )

    # --- keys -----------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        if not self.is_active:
            follow(self, event)
        elif not self.route(event):
            self._pressed(event)

    def _pressed(self, event: events.Key) -> None:
        key = named(event)
        views = history_view.VIEWS
        if event.key in ("tab", "shift+tab"):
            step = 1 if event.key == "tab" else -1
            self._show(views[(views.index(self._view) + step) % len(views)])
        elif event.key == "escape" and self._view != "sessions":
            self._show("sessions")
        elif event.key in ("escape", "q", "ctrl+c"):
            self.dismiss()
        elif event.key == "enter":
            self._open()
        elif key == "p" and self._chosen:
            from tui.talk import past

            name = str(self._chosen["session"])
            self.begin(past.paper(self._bench, name), self.query_one(Entry).close, name)
        elif self._view == "sessions" and key in ("f", "/"):
            self._ask(key)
        elif not self._moved(event, key):
            self.query_one(Entry).close(f"{key!r} means nothing here")

    def _moved(self, event: events.Key, key: str) -> bool:
        """The key changed what is shown in this view."""
        if self._view == "sessions":
            return self.query_one("#list", Picker).take(event)
        if self._view != "trend":
            return self.query_one(Sheet).take(event)
        if event.key == "space":
            self._figure = (self._figure + 1) % len(_FIGURES)
        elif key == "a":
            self._alignment = (self._alignment + 1) % len(_ALIGNMENTS)
        elif self.query_one(Plot).take(event):
            self._under()
            return True
        else:
            return False
        self._draw_trend()
        self._head()
        return True

    def _ask(self, key: str) -> None:
        from tui.talk import narrowing

        if key == "f":
            self.begin(narrowing.narrowed(self._only, self._rows), self._narrowed)
            return
        self.search()

    def _narrowed(self, chosen: Filter) -> None:
        self._only, self._search = chosen, None
        self.query_one("#list", Picker).move_to(0)
        self.narrow()

    def _open(self) -> None:
        """The test under the cursor, on the run screen."""
        from engine.trouble import Trouble

        name = str(self._chosen["session"]) if self._chosen else ""
        if self._view == "trend" and self._drawn is not None and self._drawn.points:
            name = self._drawn.points[self.query_one(Plot).at].session
        if not name:
            return
        try:
            self.post_message(self.Opened(self._bench.resume(name)))
        except Trouble as trouble:
            self.query_one(Entry).close(str(trouble))
