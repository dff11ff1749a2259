"""The bench: the tests that go on, the past ones, and the way to a new one.  Loads no engine."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, Final

from textual import events, on
from textual.app import ComposeResult
from textual.message import Message
from textual.screen import Screen

from tui.bench import Bench
from tui.outside import Row as Listed
from tui.widgets.checklist import window
from tui.widgets.entry import Entry
from tui.widgets.keys import KeyHint, Keys
from tui.widgets.lines import Lines, Row

if TYPE_CHECKING:
    from engine.planfile import PlanFile
    from tui.course import Course

_HINTS: Final = (
    KeyHint("Enter", "open"),
    KeyHint("n", "new test from a plan file"),
    KeyHint("/", "search"),
    KeyHint("q", "leave"),
)
_WELCOME: Final = (
    "No tests yet. Press n and type the path of a plan file; "
    "`holdwater demo` shows a whole test on a made-up joint."
)


class BenchScreen(Screen[None]):
    """A list with a cursor, and a line to type on."""

    AUTO_FOCUS = ""
    DEFAULT_CSS = """
    BenchScreen { layout: vertical; }
    BenchScreen #head { height: 2; }
    BenchScreen #list { height: 1fr; }
    BenchScreen #faults { height: auto; max-height: 12; }
    BenchScreen Entry { height: 2; }
    """
    BINDINGS: ClassVar = []

    class Opened(Message):
        """A test is to be shown."""

        def __init__(self, course: Course) -> None:
            super().__init__()
            self.course = course

    def __init__(self, bench: Bench) -> None:
        super().__init__()
        self._bench = bench
        self._rows: Sequence[Listed] = ()
        self._at = self._top = 0
        self._search = ""
        self._asking = ""
        self._typed = {"path": "", "name": ""}
        self._plan: PlanFile | None = None

    def compose(self) -> ComposeResult:
        yield Lines(id="head")
        yield Lines(id="list")
        yield Lines(id="faults")
        yield Entry(id="entry")
        yield Keys(id="keys")

    def on_mount(self) -> None:
        self.query_one(Keys).update(_HINTS)
        self.query_one("#faults", Lines).styles.height = 0
        self.reload()

    def reload(self) -> None:
        """The list says what the index says now."""
        self._rows = self._bench.rows()
        self._draw()

    # --- drawing --------------------------------------------------------------------------------

    @property
    def _shown(self) -> list[Listed]:
        wanted = self._search.casefold().split()
        return [r for r in self._rows if all(w in _haystack(r) for w in wanted)]

    def _draw(self) -> None:
        shown = self._shown
        self._at = max(0, min(self._at, len(shown) - 1))
        going_on = sum(bool(r.get("open")) for r in self._rows)
        count = f"{going_on} going on, {len(self._rows) - going_on} past"
        looking = f"   search: {self._search}" if self._search else ""
        self.query_one("#head", Lines).show([(("holdwater ", "strong"), (count + looking, "dim"))])
        box = self.query_one("#list", Lines)
        if not shown:
            box.show([((_WELCOME if not self._rows else "Nothing found.", "plain"),)])
            return
        first, last = window(len(shown), max(1, box.size.height or 16), self._at, self._top)
        self._top = first
        box.show([_line(r, n == self._at) for n, r in enumerate(shown[first:last], first)])

    def on_resize(self) -> None:
        self._draw()

    def _faults(self, text: str) -> None:
        """What is wrong with a plan, a line each."""
        lines = text.splitlines() if text else []
        box = self.query_one("#faults", Lines)
        box.styles.height = min(12, len(lines))
        box.show([((f"! {line}", "warn"),) for line in lines])

    # --- keys -----------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        entry = self.query_one(Entry)
        if entry.is_open:
            entry.take(event)
            if self._asking == "search":
                self._search = entry.text
                self._draw()
            return
        key = event.character or event.key
        if event.key in ("q", "ctrl+c", "ctrl+q"):
            self.app.exit()
        elif event.key in ("up", "down", "pageup", "pagedown", "home", "end"):
            self._move(event.key)
        elif event.key == "enter":
            self._open()
        elif key == "n":
            self._ask("path", "Plan file")
        elif key == "/":
            self._ask("search", "Search", self._search)

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        self.query_one(Entry).paste(event.text)

    def _move(self, key: str) -> None:
        page = max(1, self.query_one("#list", Lines).size.height - 1)
        last = len(self._shown) - 1
        self._at = {
            "up": self._at - 1,
            "down": self._at + 1,
            "pageup": self._at - page,
            "pagedown": self._at + page,
            "home": 0,
            "end": last,
        }[key]
        self._draw()

    def _ask(self, what: str, prompt: str, text: str = "") -> None:
        self._asking = what
        self.query_one(Entry).ask(prompt, None, text or self._typed.get(what, ""), 400)

    @on(Entry.Given)
    def _given(self, event: Entry.Given) -> None:
        if self._asking == "search":
            self._close()
        elif self._asking == "path":
            self._typed["path"] = event.text
            self._read(event.text.strip())
        elif self._asking == "name":
            self._start(event.text.strip())

    @on(Entry.Left)
    def _left(self, event: Entry.Left) -> None:
        if self._asking == "search":
            self._search = ""
        else:
            self._typed[self._asking] = event.text
        self._close()
        self._draw()

    def _close(self) -> None:
        self._asking = ""
        self.query_one(Entry).close()

    def _refuse(self, text: str) -> None:
        """All of it above the line, which keeps what was typed."""
        lines = text.splitlines()
        self._faults(text if len(lines) > 1 else "")
        count = f"{len(lines)} things to mend in the plan" if len(lines) > 1 else text
        self.query_one(Entry).refuse(count)

    def _read(self, path: str) -> None:
        from engine.trouble import Trouble

        if not path:
            self._refuse("type the path of a plan file")
            return
        try:
            self._plan = self._bench.plan(path)
        except Trouble as trouble:
            self._refuse(str(trouble))
            return
        self._faults("")
        self._close()
        self._show_plan(self._plan)

    def _show_plan(self, plan: PlanFile) -> None:
        """Read before it is started."""
        from tui.screens.plan import PlanScreen

        self.app.push_screen(PlanScreen(plan, self._bench.today(), may_start=True), self._planned)

    def _planned(self, start: bool | None) -> None:
        if not start:
            self._ask("path", "Plan file")
        elif self._bench.by:
            self._start(self._bench.by)
        else:
            self._ask("name", "Who is testing")

    def _start(self, by: str) -> None:
        from engine.trouble import Trouble

        if not by:
            self._refuse("type your name: it stands beside every record")
            return
        assert self._plan is not None, "asked for a name before a plan was read"
        try:
            course = self._bench.start(self._plan, by)
        except Trouble as trouble:
            self._refuse(str(trouble))
            return
        self._typed["path"] = ""
        self._close()
        self.post_message(self.Opened(course))

    def _open(self) -> None:
        from engine.trouble import Trouble

        shown = self._shown
        if not shown:
            return
        try:
            course = self._bench.resume(str(shown[self._at]["session"]))
        except Trouble as trouble:
            self.query_one(Entry).close(str(trouble))
            return
        self.post_message(self.Opened(course))


def _haystack(row: Listed) -> str:
    return " ".join(str(v) for v in row.values() if isinstance(v, str)).casefold()


def _line(row: Listed, chosen: bool) -> Row:
    going_on = bool(row.get("open"))
    state = str(row.get("state", ""))
    tone = {"PASS": "good", "FAIL": "bad"}.get(state, "accent" if going_on else "warn")
    return (
        ("> " if chosen else "  ", "accent strong"),
        (f"{state:<10.10} ", f"{tone} strong"),
        (f"{row.get('product', '')!s:<28.28} ", "chosen" if chosen else "plain"),
        (f"{row.get('marks', '')!s:<16.16} ", "plain"),
        (f"{row.get('alignment', '')!s:<9.9} ", "dim"),
        (f"{row.get('when', '')!s:<16.16}", "dim"),
    )
