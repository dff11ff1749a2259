"""The bench: the tests that go on, the past ones, and the way to a new one.  Loads no engine."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from threading import Lock, Thread
from typing import TYPE_CHECKING, ClassVar, Final

from textual import events
from textual.message import Message
from textual.widget import Widget

from tui.bench import Bench
from tui.outside import Row as Listed
from tui.screens.following import follow, named
from tui.screens.searching import Searching
from tui.widgets.entry import Entry
from tui.widgets.keys import KeyHint, Keys
from tui.widgets.lines import Lines, Row
from tui.widgets.picker import Picker

if TYPE_CHECKING:
    from engine.history import Search
    from tui.course import Course

_HINTS: Final = (
    KeyHint("Enter", "open"),
    KeyHint("n", "new test"),
    KeyHint("r", "again"),
    KeyHint("p", "paper"),
    KeyHint("/", "search"),
    KeyHint("h", "history"),
    KeyHint("c", "catalogue"),
    KeyHint("U", "take up again"),
    KeyHint("q", "leave"),
)
_SOON: Final = 0.4
"""Seconds after which the index is held against the sessions: the first frame comes first."""
_AGAIN: Final = 15.0
"""Seconds after which it is again: tests go on at other terminals meanwhile."""
_WELCOME: Final = (
    "No tests yet. Press n and type the path of a plan file; "
    "`holdwater demo` shows a whole test on a made-up joint."
)


class BenchScreen(Searching):
    """A list with a cursor, and a line to type on."""

    BINDINGS: ClassVar = []

    class Opened(Message):
        """A test is to be shown."""

        def __init__(self, course: Course) -> None:
            super().__init__()
            self.course = course

    class Wanted(Message):
        """Another screen is to be shown: `history` or `catalogue`."""

        def __init__(self, screen: str, session: str) -> None:
            super().__init__()
            self.screen, self.session = screen, session

    class Mended(Message):
        """The index was held against the sessions."""

        def __init__(self, note: str) -> None:
            super().__init__()
            self.note = note

    def __init__(self, bench: Bench) -> None:
        super().__init__()
        self._bench = bench
        self._rows: Sequence[Listed] = ()
        self._shown: Sequence[Listed] = ()
        self._search: Search | None = None
        self._note = self._notice = ""
        self._held: list[events.Key] | None = None
        self._looking = Lock()

    def main(self) -> Iterable[Widget]:
        return (Picker(id="list"),)

    def hints(self) -> Iterable[KeyHint]:
        return _HINTS

    def said(self) -> str:
        """What could not be done, before how the list is doing."""
        return self._notice or self._note

    def on_mount(self) -> None:
        self.query_one(Keys).update(_HINTS)
        self.reload()
        self.set_timer(_SOON, self._look)
        self.set_interval(_AGAIN, self._look)

    def reload(self) -> None:
        """The list says what the index says now; the line, what could not be done."""
        from engine.trouble import Trouble

        before, said = self._chosen, self.said()
        try:
            self._rows, self._search = self._bench.rows(), None
        except Trouble as trouble:
            self._bench.notice = self._bench.notice or str(trouble)
        self.narrow()
        places = (n for n, row in enumerate(self._shown) if row["session"] == before)
        listed = self.query_one("#list", Picker)
        listed.move_to(next(places, listed.at))
        if self._held is None:  # else it is for the screen that comes
            self._notice, self._bench.notice = self._bench.notice, ""
        if (said or self.said()) and not self.asked and not self._searching:
            self._tell(self.said())

    def _look(self) -> None:
        """One look at a time, and none behind another screen."""
        if self.is_active and not self._looking.locked():
            Thread(target=self._mend, daemon=True).start()

    def _mend(self) -> None:
        """In a thread of its own: making the index anew takes as long as it takes."""
        with self._looking:
            self._mended()

    def _mended(self) -> None:
        from engine.trouble import Trouble

        try:
            missing = self._bench.unlisted()
            if missing:
                self.post_message(self.Mended(f"making the list anew: {missing} tests to read"))
            amiss = self._bench.mend()
        except Trouble as trouble:
            self.post_message(self.Mended(str(trouble)))
            return
        told = [f"{len(amiss)} to look into, like: {why}" for why in list(amiss.values())[:1]]
        self.post_message(self.Mended("; ".join(told)))

    def on_bench_screen_mended(self, event: Mended) -> None:
        before, self._note = self._note, event.note
        self._bench.notice = self._bench.notice or self._notice
        self.reload()
        if before and not self.said() and not self.asked and not self._searching:
            self._tell("")

    # --- drawing --------------------------------------------------------------------------------

    def narrow(self) -> None:
        self._shown = self._found() if self._wanted.strip() else self._rows
        tests = [row for row in self._rows if not row.get("practice")]
        going_on = sum(bool(row.get("open")) for row in tests)
        made_up = len(self._rows) - len(tests)
        count = f"{going_on} going on, {len(tests) - going_on} past"
        count += f", {made_up} practice" if made_up else ""
        looking = f"   search: {self._wanted} ({len(self._shown)})" if self._wanted else ""
        self.query_one("#head", Lines).show([(("holdwater ", "strong"), (count + looking, "dim"))])
        empty = "Nothing found." if self._rows else _WELCOME
        self.query_one("#list", Picker).update(self._shown, _line, empty)

    def _found(self) -> Sequence[Listed]:
        """Open ones first, as in the whole list."""
        from engine.history import Search

        if self._search is None:
            self._search = Search(self._rows)
        return sorted(self._search.found(self._wanted), key=lambda r: not r.get("open"))

    # --- keys -----------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """The screen routes its keys: a burst on a bad link must never be split by a focus."""
        event.stop()
        event.prevent_default()
        if self._held is not None:
            self._held.append(event)
        elif not self.is_active:
            follow(self, event)
        elif not self.route(event):
            self._pressed(event)

    def _pressed(self, event: events.Key) -> None:
        key = named(event)
        if event.key in ("q", "ctrl+c", "ctrl+q"):
            self.app.exit()
        elif self.query_one("#list", Picker).take(event):
            pass
        elif event.key == "escape" and self._wanted:
            self._wanted = ""
            self.narrow()
        elif event.key == "enter":
            self._open()
        elif key == "/":
            self.search()
        elif key in ("n", "r"):
            self._start(key)
        elif key in ("p", "U") and self._chosen:
            self._on_past(key)
        elif key in ("h", "c"):
            screen = {"h": "history", "c": "catalogue"}[key]
            self.post_message(self.Wanted(screen, self._chosen))
        else:
            self._tell(f"{key!r} means nothing here")

    def _tell(self, text: str) -> None:
        self.query_one(Entry).close(text)

    @property
    def _chosen(self) -> str:
        """The identity of the test under the cursor."""
        row = self.query_one("#list", Picker).chosen
        return str(row["session"]) if row else ""

    # --- opening --------------------------------------------------------------------------------

    def _start(self, key: str) -> None:
        from tui.talk import opening

        if key == "n":
            self.begin(opening.new_test(self._bench), self._opened)
        elif self._chosen:
            self.begin(opening.follow(self._bench, self._chosen), self._opened, self._chosen)
        else:
            self._tell("there is no test yet that another could follow")

    def _on_past(self, key: str) -> None:
        from tui.talk import past

        if key == "p":
            self.begin(past.paper(self._bench, self._chosen), self._tell, self._chosen)
        else:
            self.begin(past.take_up(self._bench, self._chosen), self._opened, self._chosen)

    def _opened(self, course: Course) -> None:
        """Keys that come before the test is on the screen are for the test."""
        self._held = []
        self.post_message(self.Opened(course))

    def on_screen_suspend(self) -> None:
        held, self._held = self._held or [], None
        for event in held:
            follow(self, event)

    def _open(self) -> None:
        from engine.trouble import InHand, Trouble
        from tui.talk import opening

        if not self._chosen:
            return
        try:
            course = self._bench.resume(self._chosen)
        except InHand as held:
            self.begin(opening.watch_instead(self._bench, self._chosen, str(held)), self._opened)
        except Trouble as trouble:
            self._tell(str(trouble))
        else:
            self._opened(course)


def _line(row: Listed) -> Row:
    going_on = bool(row.get("open"))
    pressure = bool(row.get("pressure"))
    state = f"{'! ' if pressure else ''}{row.get('state', '')}"
    tone = {"PASS": "good", "FAIL": "bad"}.get(state, "accent" if going_on else "warn")
    tone = "bad" if pressure else tone
    product = f"{'practice: ' if row.get('practice') else ''}{row.get('product', '')}"
    return (
        (f"{state:<9.9} ", f"{tone} strong"),
        (f"{product:<24.24} ", "plain"),
        (f"{row.get('marks', '')!s:<15.15} ", "plain"),
        (f"{row.get('alignment', '')!s:<9.9} ", "dim"),
        (f"{row.get('when', '')!s:<16.16}", "dim"),
    )
