"""The catalogue: what is used again, looked at and edited a field at a time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from threading import Thread
from typing import Any, ClassVar, Final

from textual import events
from textual.message import Message
from textual.widget import Widget

from engine.entry_fields import Field, Mistyped, faults, fields, with_field
from engine.procedures import open_fields
from engine.trouble import Trouble
from tui.bench import Bench
from tui.screens import catalogue_view
from tui.screens.catalogue_view import KINDS, Item
from tui.screens.conversing import Conversing
from tui.screens.following import follow, named
from tui.talk import entries
from tui.talk.asking import Pick
from tui.widgets.entry import Entry
from tui.widgets.keys import KeyHint, Keys
from tui.widgets.lines import Lines, Row
from tui.widgets.picker import Picker
from tui.widgets.sheet import Sheet

_ESC: Final = KeyHint("Esc", "back")


class CatalogueScreen(Conversing):
    """A list of entries, or one entry's fields, or a text.

    A change is kept as a new version as soon as the entry can be used; until then it stands here,
    with what is still to be mended.
    """

    DEFAULT_CSS = """
    CatalogueScreen #fields, CatalogueScreen #text { display: none; height: 1fr; }
    CatalogueScreen.entry #fields, CatalogueScreen.text #text { display: block; }
    CatalogueScreen.entry #list, CatalogueScreen.text #list { display: none; }
    CatalogueScreen.finding #fields { display: none; }
    """
    BINDINGS: ClassVar = []

    class Rechecked(Message):
        """Past tests were gone through; `rows` is None while that goes on."""

        def __init__(self, told: str, rows: Sequence[Row] | None = None) -> None:
            super().__init__()
            self.told, self.rows = told, rows

    def __init__(self, bench: Bench) -> None:
        super().__init__()
        self._bench = bench
        self._kind = "joint"
        self._view = "list"
        self._item: Item | None = None
        self._edits: dict[str, str] = {}
        """What was typed for fields and is not kept yet."""
        self._base: Mapping[str, Any] = {}
        self._told = ""
        self._checking = 0

    def main(self) -> Iterable[Widget]:
        yield Picker(id="list")
        yield Picker(id="fields")
        yield Sheet(id="text")

    def hints(self) -> Iterable[KeyHint]:
        if self._view == "text":
            return [KeyHint("Up Down", "read"), _ESC]
        if self._view == "entry":
            confirm = [KeyHint("F", "confirm against the document")] if self._open_fields else []
            return [KeyHint("Enter", "edit"), *confirm, KeyHint("v", "versions"), _ESC]
        wrong = [KeyHint("w", "found wrong")] if self._kind == "gauge" else []
        return [KeyHint("Tab", "next kind"), KeyHint("Enter", "look, edit"), KeyHint("n", "new"),
                *wrong, _ESC]  # fmt: skip

    def said(self) -> str:
        return self._told or self._beside()

    def on_mount(self) -> None:
        self._show("list")

    # --- drawing --------------------------------------------------------------------------------

    def _show(self, view: str) -> None:
        self._view = view
        for each in ("entry", "text"):
            self.set_class(each == view, each)
        self._draw()

    def _draw(self) -> None:
        if self._view == "list":
            self._draw_list()
        elif self._view == "entry" and self._item is not None:
            self._draw_entry(self._item)
        if not self.asked:
            self.query_one(Keys).update(self.hints())
            self.query_one(Entry).close(self.said())

    def _beside(self) -> str:
        """What is wrong with the field under the cursor, or where it comes from, in full."""
        field: Field | None = self.query_one("#fields", Picker).chosen
        if self._view != "entry" or field is None:
            return ""
        if field.fault:
            return f"{field.key}: {field.fault}"
        return f"{field.key}: {field.source}" if field.source else ""

    def _draw_list(self) -> None:
        spans: Row = (("CATALOGUE  ", "strong"),)
        for kind, called in KINDS.items():
            here = kind == self._kind
            text = f"[{called}] " if here else f" {called}  "
            spans += ((text, "accent strong" if here else "dim"),)
        notice = self._bench.catalogue.notice
        self.query_one("#head", Lines).show([spans, ((notice, "warn"),) if notice else ()])
        found = catalogue_view.items(
            self._kind, self._bench.catalogue.every(self._kind), self._bench.today()
        )
        empty = f"No {KINDS[self._kind]} yet: n adds one; `holdwater import PLAN` takes them over."
        self.query_one("#list", Picker).update(found, catalogue_view.item_row, empty)

    def _draw_entry(self, item: Item) -> None:
        values = self._values
        wrong = faults(self._kind, item.name, values)
        unsaved = str(wrong[0]) if wrong and self._unsaved else ""
        self.query_one("#head", Lines).show(catalogue_view.about(item, self._kind, unsaved))
        found = fields(self._kind, item.name, values)
        self.query_one("#fields", Picker).update(found, catalogue_view.field_row)

    @property
    def _values(self) -> dict[str, Any]:
        """The entry as it is kept, with what was typed since."""
        values = dict(self._base)
        for key, text in self._edits.items():
            values = with_field(self._kind, values, key, text)
        return values

    @property
    def _unsaved(self) -> bool:
        return bool(self._edits) or (self._item is not None and self._item.version == 0
                                     and not self._open_fields)  # fmt: skip

    @property
    def _open_fields(self) -> tuple[str, ...]:
        return open_fields(self._base) if self._kind == "procedure" else ()

    # --- keys -----------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        if not self.is_active:
            follow(self, event)
            return
        if self.route(event):
            return
        self._told = ""
        {"list": self._in_entries, "entry": self._in_fields, "text": self._in_text}[self._view](
            event
        )

    def _in_entries(self, event: events.Key) -> None:
        key = named(event)
        item: Item | None = self.query_one("#list", Picker).chosen
        if event.key in ("escape", "q", "ctrl+c"):
            self.dismiss()
        elif event.key in ("tab", "shift+tab"):
            kinds = [*KINDS]
            step = 1 if event.key == "tab" else -1
            self._kind = kinds[(kinds.index(self._kind) + step) % len(kinds)]
            self.query_one("#list", Picker).move_to(0)
            self._draw()
        elif event.key == "enter" and item is not None:
            self._open(item)
        elif key == "n":
            taken = self._bench.catalogue.names(self._kind)
            like = (item.name, item.values) if item else ("", {})
            self.begin(entries.new(self._kind, taken, *like), self._made, self._kind)
        elif key == "w" and self._kind == "gauge" and item is not None:
            talk = entries.found_wrong(item.name, self._bench.decimal_comma)
            self.begin(talk, lambda wrong: self._recheck(item.name, wrong), item.name)
        elif not self.query_one("#list", Picker).take(event):
            self.query_one(Entry).close(f"{key!r} means nothing here")

    def _in_fields(self, event: events.Key) -> None:
        key = named(event)
        picker = self.query_one("#fields", Picker)
        if event.key in ("escape", "q", "ctrl+c"):
            self._leave_entry()
        elif event.key == "enter":
            self._edit(picker.chosen)
        elif key in ("f", "F") and self._open_fields and self._item is not None:
            found = fields(self._kind, self._item.name, self._base)
            talk = entries.confirming(self._base, found, self._bench.decimal_comma)
            self.begin(talk, self._confirmed, self._item.name)
        elif key == "v" and self._item is not None:
            versions = self._bench.catalogue.versions(self._kind, self._item.name)
            self.query_one(Sheet).show(catalogue_view.version_rows(versions))
            self._show("text")
        elif picker.take(event):
            self.query_one(Entry).close(self._beside())
        else:
            self.query_one(Entry).close(f"{key!r} means nothing here")

    def _in_text(self, event: events.Key) -> None:
        if event.key in ("escape", "q", "ctrl+c"):
            self._checking += 1
            self._show("entry" if self._item is not None else "list")
        else:
            self.query_one(Sheet).take(event)

    # --- editing --------------------------------------------------------------------------------

    def _open(self, item: Item) -> None:
        self._item, self._base, self._edits = item, item.values, {}
        self.query_one("#fields", Picker).move_to(0)
        self._show("entry")

    def _made(self, made: entries.New) -> None:
        self._open(Item(made.name, 0, made.values))
        self._keep()

    def _edit(self, field: Field) -> None:
        talk = entries.field(self._kind, self._values, field, self._bench.decimal_comma)

        def typed(text: str) -> None:
            self._edits[field.key] = text
            self._keep()

        name = self._item.name if self._item else ""
        self.begin(talk, typed, f"{self._kind} {name}")

    def _confirmed(self, values: dict[str, Any]) -> None:
        self._base = values
        self._keep()

    def _keep(self) -> None:
        """What was typed is a new version, on top of what others made meanwhile, if it can be."""
        item = self._item
        assert item is not None, "nothing is open"
        catalogue = self._bench.catalogue
        latest = next(iter(catalogue.versions(self._kind, item.name)[-1:]), None)
        meanwhile = latest is not None and latest.version != item.version
        if meanwhile and latest is not None:
            self._base = latest.values
        try:
            values = self._values
            if faults(self._kind, item.name, values):
                self._told = "not kept yet: mend what is marked with !"
            else:
                entry = catalogue.put(self._kind, item.name, values)
                self._item, self._base, self._edits = (
                    Item(entry.name, entry.version, entry.values), entry.values, {}
                )  # fmt: skip
                others = (
                    "; somebody else changed it meanwhile, that stands too" if meanwhile else ""
                )
                self._told = f"kept as version {entry.version}{others}"
        except (Trouble, Mistyped) as trouble:
            self._told = str(trouble)
        self._draw()

    def _leave_entry(self) -> None:
        """At once, or after one question: the cursor is where there is something to mend."""
        if not self._unsaved or self._item is None:
            self._close_entry()
            return
        wrong = faults(self._kind, self._item.name, self._values)
        found = fields(self._kind, self._item.name, self._values)
        places = (n for n, field in enumerate(found) if wrong and field.key == wrong[0].key)
        picker = self.query_one("#fields", Picker)
        picker.move_to(next(places, picker.at))
        why = str(wrong[0]) if wrong else "it could not be written down"
        self.begin(_leaving(why), lambda left: self._close_entry() if left else None)

    def _close_entry(self) -> None:
        self._item, self._edits = None, {}
        self._show("list")

    # --- a gauge found wrong --------------------------------------------------------------------

    def _recheck(self, mark: str, wrong: entries.Wrong) -> None:
        """In a thread of its own: every closed test that the gauge was read in is read again."""
        self._checking += 1
        number, width = self._checking, self.size.width
        self.query_one(Sheet).show([])
        self._show("text")

        def told(done: int, of: int) -> bool:
            if done % 20 == 0:
                self.post_message(self.Rechecked(f"{done} of {of} tests read"))
            return number == self._checking

        def work() -> None:
            high, since = wrong
            way = "low" if high.magnitude < 0 else "high"
            title = f"{mark} reads {way} by {abs(high):~P}"
            title += f", known to be right last on {since}" if since else ""
            try:
                found, unread, rows = self._bench.hanging(mark, high, since, told)
            except Trouble as trouble:
                self.post_message(self.Rechecked(str(trouble), [((str(trouble), "warn"),)]))
                return
            if number == self._checking:
                made = catalogue_view.recheck_rows(title, found, unread, rows, width)
                self.post_message(self.Rechecked("", made))

        Thread(target=work, daemon=True).start()

    def on_catalogue_screen_rechecked(self, event: Rechecked) -> None:
        if self._view != "text":
            return
        if event.rows is not None:
            sheet = self.query_one(Sheet)
            sheet.show(event.rows)
            sheet.to_start()
        self.query_one(Entry).close(event.told)


def _leaving(why: str) -> Any:
    """True where what was typed is to be let go."""
    answers = (("m", "mend it"), ("d", "drop what was typed"))
    return (yield Pick(f"Not kept: {why}", answers)) == "d"
