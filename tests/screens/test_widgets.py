"""The line widgets, one at a time in an app that holds nothing else."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

import pytest
from rich.console import RenderableType
from textual import events
from textual._compositor import CompositorUpdate
from textual.app import ComposeResult
from textual.drivers import linux_driver
from textual.geometry import Region
from textual.message import Message
from textual.screen import Screen as TextualScreen
from textual.widget import Widget

from tests.screen import Screen
from tests.screens.picture import picture, styles
from tui.theme import Look
from tui.widgets.banner import Banner
from tui.widgets.checklist import Checklist, CheckRow, window
from tui.widgets.choices import Choice, Choices
from tui.widgets.clock import Clock, ClockRow
from tui.widgets.entry import Entry
from tui.widgets.keys import KeyHint, Keys
from tui.widgets.lines import Lines, Row
from tui.widgets.narrow import NarrowApp, narrowed
from tui.widgets.trend import Frame, Point, Trend, scale_for

ESC = "\x1b"
HOSTILE = f"[red]x[/] {ESC}]0;title\x07 \u202egnp \u200b 漢字 é 1½"


class Stand(NarrowApp[None]):
    """Widgets one below the other; keeps what they post and what they repaint."""

    ENABLE_COMMAND_PALETTE = False
    AUTO_FOCUS = ""

    def __init__(self, *widgets: Widget, look: Look | None = None) -> None:
        super().__init__(ansi_color=True)
        self.look = look or Look()
        self.posted: list[Message] = []
        self.sent: list[str] = []
        self._widgets = widgets

    def compose(self) -> ComposeResult:
        yield from self._widgets

    def _display(self, screen: TextualScreen[Any], renderable: RenderableType | None) -> None:
        super()._display(screen, renderable)
        update = narrowed(renderable)
        if isinstance(update, CompositorUpdate):
            self.sent.append(update.render_segments(self.console))

    def on_checklist_chosen(self, message: Checklist.Chosen) -> None:
        self.posted.append(message)

    def on_checklist_moved(self, message: Checklist.Moved) -> None:
        self.posted.append(message)

    def on_entry_given(self, message: Entry.Given) -> None:
        self.posted.append(message)

    def on_entry_left(self, message: Entry.Left) -> None:
        self.posted.append(message)

    def on_choices_picked(self, message: Choices.Picked) -> None:
        self.posted.append(message)


class Watched(Lines):
    """Lines that keep the regions they asked to have repainted."""

    def __init__(self) -> None:
        super().__init__()
        self.repainted: list[Region] = []

    def refresh(self, *regions: Region, **how: bool) -> Watched:
        self.repainted += regions or [Region(-1, -1, 0, 0)]
        return super().refresh(*regions, **how)


def plain(*lines: str) -> list[Row]:
    return [((line, "plain"),) for line in lines]


def check(id: str, sign: Any = "open", aside: str = "") -> CheckRow:
    return CheckRow(id, sign, f"Settle {id}", aside)


def points(*values: float) -> list[Point]:
    return [Point(60.0 * n, value, joined=n > 0) for n, value in enumerate(values)]


# Lines -----------------------------------------------------------------------


async def test_only_the_cells_that_changed_are_repainted() -> None:
    lines = Watched()
    async with Stand(lines).run_test(size=(40, 4)) as pilot:
        lines.show(plain("credit   4:20", "missing  5:40"))
        await pilot.pause()
        lines.repainted.clear()
        lines.show(plain("credit   4:21", "missing  5:39"))
        assert lines.repainted == [Region(12, 0, 1, 1), Region(11, 1, 2, 1)]


async def test_changes_far_apart_are_repainted_apart() -> None:
    lines = Watched()
    async with Stand(lines).run_test(size=(40, 1)) as pilot:
        lines.show(plain("a" + " " * 30 + "b"))
        await pilot.pause()
        lines.repainted.clear()
        lines.show(plain("A" + " " * 30 + "B"))
        assert lines.repainted == [Region(0, 0, 1, 1), Region(31, 0, 1, 1)]


async def test_the_same_rows_repaint_nothing() -> None:
    lines = Watched()
    async with Stand(lines).run_test(size=(40, 4)) as pilot:
        lines.show(plain("as before"))
        await pilot.pause()
        lines.repainted.clear()
        lines.show(plain("as before"))
        assert lines.repainted == []


async def test_a_wide_sign_is_never_halved() -> None:
    lines = Watched()
    async with Stand(lines).run_test(size=(10, 1)) as pilot:
        lines.show(plain("a漢b"))
        await pilot.pause()
        lines.repainted.clear()
        lines.show(plain("a字b"))
        assert lines.repainted == [Region(1, 0, 2, 1)]


async def test_rows_are_laid_out_again_when_the_size_changes() -> None:
    banner = Banner()
    app = Stand(banner)
    async with app.run_test(size=(60, 4)) as pilot:
        banner.update("stand clear of both ends and of the rods")
        await pilot.pause()
        assert picture(app)[0] == "! stand clear of both ends and of the rods"
        await pilot.resize_terminal(24, 4)
        await pilot.pause()
        assert picture(app)[:2] == ["! stand clear of both", "  ends and of the rods"]


async def test_what_is_in_sight_follows_the_height() -> None:
    checklist = Checklist()
    app = Stand(checklist)
    async with app.run_test(size=(50, 4)) as pilot:
        checklist.update([check(str(n)) for n in range(6)])
        await pilot.pause()
        assert picture(app)[3] == "      (3 more below, 3 of them not settled)"
        await pilot.resize_terminal(50, 6)
        await pilot.pause()
        assert picture(app)[3:] == ["  [ ] Settle 3", "  [ ] Settle 4", "  [ ] Settle 5"]


async def test_what_came_from_outside_is_neither_obeyed_nor_taken_for_markup() -> None:
    lines = Lines()
    app = Stand(lines)
    async with app.run_test(size=(60, 1)) as pilot:
        lines.show(plain(HOSTILE))
        await pilot.pause()
        assert picture(app) == ["[red]x[/] ?]0;title? ?gnp ? 漢字 é 1½"]


async def test_a_row_that_is_too_long_says_so() -> None:
    for ascii, end in ((False, "…"), (True, "~")):
        lines = Lines()
        app = Stand(lines, look=Look(ascii=ascii))
        async with app.run_test(size=(8, 1)) as pilot:
            lines.show(plain("0123456789"))
            await pilot.pause()
            assert picture(app) == ["0123456" + end]


async def test_a_terminal_fed_narrow_updates_shows_what_a_whole_repaint_would() -> None:
    dice = random.Random(7)
    lines, clock = Lines(), Clock()
    app = Stand(lines, clock)
    async with app.run_test(size=(50, 12)) as pilot:
        lines.styles.padding = (1, 2)
        terminal = Screen(50, 12)
        for turn in range(25):
            clock.display = turn % 5 != 3
            words = ["".join(dice.choice("ab 漢é") for _ in range(20)) for _ in range(5)]
            lines.show(plain(*words))
            clock.update("now", [ClockRow("missing", f"{dice.randrange(600)} s")])
            await pilot.pause()
            terminal.show("".join(app.sent).encode())
            app.sent.clear()
            assert terminal.picture() == picture(app)


async def test_a_digit_sends_its_own_cell_and_no_more() -> None:
    clock = Clock()
    app = Stand(clock)
    async with app.run_test(size=(80, 8)) as pilot:
        clock.update("Read the gauge", [ClockRow("next reading due", "0:23")])
        await pilot.pause()
        app.sent.clear()
        clock.update("Read the gauge", [ClockRow("next reading due", "0:22")])
        await pilot.pause()
        assert app.sent == [f"{ESC}[3;26H2"]


# Checklist -------------------------------------------------------------------


async def test_every_state_of_a_check_has_its_own_sign() -> None:
    signs = ("settled", "open", "waiting", "blocked", "waived", "carried")
    checklist = Checklist()
    app = Stand(checklist)
    async with app.run_test(size=(40, 6)) as pilot:
        asides = {"waiting": "2:00 left"}
        checklist.update([check(sign, sign, asides.get(sign, "")) for sign in signs])
        await pilot.pause()
        assert picture(app) == [
            "> [x] Settle settled",
            "  [ ] Settle open",
            "  [~] Settle waiting           2:00 left",
            "  [!] Settle blocked",
            "  [w] Settle waived",
            "  [=] Settle carried",
        ]


async def test_the_cursor_stays_on_its_check_when_rows_come_and_go() -> None:
    checklist = Checklist()
    app = Stand(checklist)
    async with app.run_test(size=(40, 6)) as pilot:
        checklist.update([check("a"), check("b"), check("c")])
        checklist.move_to("b")
        checklist.update([check("new"), check("a"), check("b", "settled")])
        assert checklist.chosen == "b"
        checklist.update([check("new"), check("a")])
        assert checklist.chosen == "a"
        await pilot.pause()
        moves = [m.id for m in app.posted if isinstance(m, Checklist.Moved)]
        assert moves == ["a", "b", "a"]


async def test_what_is_out_of_sight_is_counted() -> None:
    checklist = Checklist()
    app = Stand(checklist)
    async with app.run_test(size=(50, 4)) as pilot:
        checklist.update([check(str(n), "settled" if n < 4 else "open") for n in range(6)])
        await pilot.pause()
        assert picture(app)[3] == "      (3 more below, 2 of them not settled)"
        checklist.focus()
        await pilot.press("down", "down", "down")
        assert picture(app)[0:4] == [
            "  [x] Settle 1",
            "  [x] Settle 2",
            "> [x] Settle 3",
            "      (1 more above, 2 more below, 2 of them not settled)"[:49] + "…",
        ]
        await pilot.press("end", "enter")
        assert picture(app)[2] == "> [ ] Settle 5"
        assert isinstance(app.posted[-1], Checklist.Chosen)
        assert app.posted[-1].id == "5"
        await pilot.press("home")
        assert checklist.chosen == "0"


def test_the_cursor_is_always_in_sight() -> None:
    for height in range(1, 8):
        for count in range(1, 12):
            for at in range(count):
                for top in range(count):
                    first, last = window(count, height, at, top)
                    assert 0 <= first <= at < last <= count
                    assert last - first <= height


async def test_a_move_of_the_cursor_sends_two_marks() -> None:
    checklist = Checklist()
    app = Stand(checklist)
    async with app.run_test(size=(80, 8)) as pilot:
        checklist.update([check("a"), check("b")])
        await pilot.pause()
        app.sent.clear()
        checklist.move_to("b")
        await pilot.pause()
        assert "Settle" not in "".join(app.sent)
        assert len("".join(app.sent)) < 80


# Clock -----------------------------------------------------------------------


async def test_no_row_of_the_clock_moves_when_the_words_on_top_change() -> None:
    clock = Clock()
    app = Stand(clock)
    async with app.run_test(size=(30, 6)) as pilot:
        rows = [ClockRow("credit", "4:20 min"), ClockRow("run lost at", "9:59")]
        clock.update("Look round the inside of the joint, then read", rows)
        await pilot.pause()
        long = picture(app)
        clock.update("Read", rows)
        await pilot.pause()
        assert long[:4] == [
            "Look round the inside of the",
            "joint, then read",
            "credit       4:20 min",
            "run lost at      9:59",
        ]
        assert picture(app)[:4] == ["Read", "", *long[2:4]]


# Trend -----------------------------------------------------------------------


async def test_readings_are_drawn_between_the_needed_line_and_the_cap() -> None:
    trend = Trend()
    app = Stand(trend, look=Look(ascii=True))
    async with app.run_test(size=(41, 8)) as pilot:
        trend.update(points(14.0, 14.0, 14.0), Frame(until=600, needed=13.0, cap=15.0))
        await pilot.pause()
        assert picture(app) == [
            "     15.5 |",
            "cap  15.0 |==============================",
            "          |",
            "          |*..*..*",
            "          |",
            "need 13.0 |------------------------------",
            "     12.5 |",
            "           0             5         min 10",
        ]


def dotted(rows: list[str]) -> set[int]:
    """The heights, in dots from the top, at which the first column of a plot is dotted."""
    marks = ((0x09, 0), (0x12, 1), (0x24, 2), (0xC0, 3))
    cells = [ord(row[11:12] or " ") for row in rows]
    return {
        4 * y + down
        for y, cell in enumerate(cells)
        for dots, down in marks
        if (cell - 0x2800 if cell >= 0x2800 else 0) & dots
    }


async def test_a_reading_is_drawn_on_its_side_of_the_needed_line() -> None:
    trend = Trend()
    app = Stand(trend)
    async with app.run_test(size=(41, 9)) as pilot:
        for value, above in ((13.0, True), (13.001, True), (12.999, False)):
            trend.update([], Frame(needed=13.0, cap=15.0))
            await pilot.pause()
            lines = dotted(picture(app))
            trend.update([Point(0, value)], Frame(needed=13.0, cap=15.0))
            await pilot.pause()
            reading = dotted(picture(app)) - lines
            assert max(reading) < max(lines) if above else min(reading) > max(lines)


async def test_in_ascii_a_reading_never_hides_the_needed_line_it_is_above_or_below() -> None:
    trend = Trend()
    app = Stand(trend, look=Look(ascii=True))
    async with app.run_test(size=(41, 9)) as pilot:
        for value, rows_off in ((13.0, -1), (13.01, -1), (12.99, 1)):
            trend.update([Point(0, value)], Frame(needed=13.0, cap=15.0))
            await pilot.pause()
            first = [row[11:12] for row in picture(app)]
            assert first.index("*") == first.index("-") + rows_off


async def test_a_new_reading_repaints_only_where_it_is() -> None:
    trend = Trend()
    app = Stand(trend)
    async with app.run_test(size=(80, 12)) as pilot:
        trend.update(points(14.0, 13.9), Frame(needed=13.0, cap=15.0))
        await pilot.pause()
        app.sent.clear()
        trend.update(points(14.0, 13.9, 13.9), Frame(needed=13.0, cap=15.0))
        await pilot.pause()
        assert 0 < len("".join(app.sent).encode()) < 80
        app.sent.clear()
        trend.update(points(14.0, 13.9, 13.9), Frame(needed=13.0, cap=15.0))
        await pilot.pause()
        assert app.sent == []


async def test_a_struck_or_late_reading_is_marked_by_its_sign() -> None:
    trend = Trend()
    app = Stand(trend)
    async with app.run_test(size=(60, 10)) as pilot:
        marks = [Point(0, 14), Point(300, 13.6, sign="x"), Point(600, 13.6, sign="L")]
        trend.update(marks, Frame(needed=13.0))
        await pilot.pause()
        plot = "".join(row[11:] for row in picture(app)[:9])
        assert plot.count("x") == 1
        assert plot.count("L") == 1


def test_the_scale_moves_only_when_it_must() -> None:
    first = scale_for([13.0, 15.0], None)
    assert scale_for([12.9, 13.0, 15.0, 15.1], first) is first
    wider = scale_for([0.0, 13.0, 15.0], first)
    assert wider.low == 0.0
    assert wider.high >= 15.0


# Entry and choices -----------------------------------------------------------


def reads(text: str) -> tuple[str, bool]:
    try:
        return f"{float(text):.1f} psi", True
    except ValueError:
        return "not a number yet", False


async def open_entry(pilot: Any, entry: Entry, **how: Any) -> None:
    entry.ask("Gauge reads", **how)
    entry.focus()
    await pilot.pause()


async def test_the_entry_takes_every_printable_key_and_echoes_what_it_means() -> None:
    entry = Entry()
    app = Stand(entry)
    async with app.run_test(size=(60, 2)) as pilot:
        await open_entry(pilot, entry, echo=reads)
        await pilot.press("1", "3", "full_stop", "2")
        assert picture(app) == ["Gauge reads 13.2_", "= 13.2 psi"]
        await pilot.press("comma", "quotation_mark", "apostrophe", "slash", "space", "q", "minus")
        assert entry.text == "13.2,\"'/ q-"
        assert picture(app)[1] == "? not a number yet"
        await pilot.press("enter")
        assert isinstance(app.posted[-1], Entry.Given)
        assert app.posted[-1].text == "13.2,\"'/ q-"


class Routed(Stand):
    """Gives the focus to nothing and hands every key on: digits open the entry."""

    def on_key(self, event: events.Key) -> None:
        entry, checklist = self.query_one(Entry), self.query_one(Checklist)
        if not entry.is_open and event.character and event.character.isdecimal():
            entry.ask("Gauge reads")
        if entry.take(event) or checklist.take(event):
            event.stop()


async def test_a_reading_that_arrives_in_one_piece_goes_to_the_entry_whole() -> None:
    entry, checklist = Entry(), Checklist()
    app = Routed(checklist, entry)
    async with app.run_test(size=(40, 6)) as pilot:
        checklist.update([check("a")])
        await pilot.pause()
        app.posted.clear()
        for key in ("1", "3", ".", "2"):
            app.post_message(events.Key(key, key))
        app.post_message(events.Key("enter", "\r"))
        await pilot.pause()
        await pilot.pause()
        assert [m.text for m in app.posted if isinstance(m, Entry.Given)] == ["13.2"]
        assert len(app.posted) == 1


def test_an_odd_byte_does_not_end_the_input() -> None:
    Stand()  # which chooses the driver
    decode = vars(linux_driver)["getincrementaldecoder"]("utf-8")().decode
    assert decode(b"\xe913") == "\ufffd13"
    assert decode("é".encode()[:1]) + decode("é".encode()[1:]) == "é"


async def test_a_refusal_keeps_what_was_typed() -> None:
    entry = Entry()
    app = Stand(entry)
    async with app.run_test(size=(60, 2)) as pilot:
        await open_entry(pilot, entry, echo=reads, text="135")
        await pilot.press("enter")
        entry.refuse("135 is outside the gauge's span")
        await pilot.pause()
        assert picture(app) == ["Gauge reads 135_", "! 135 is outside the gauge's span"]
        await pilot.press("backspace", "full_stop", "5")
        assert picture(app) == ["Gauge reads 13.5_", "= 13.5 psi"]
        await pilot.press("escape")
        assert isinstance(app.posted[-1], Entry.Left)
        assert entry.text == "13.5"


async def test_the_text_can_be_mended_in_the_middle() -> None:
    entry = Entry()
    async with Stand(entry).run_test(size=(60, 2)) as pilot:
        await open_entry(pilot, entry, text="12.5")
        await pilot.press("left", "left", "left", "backspace", "3", "home", "delete", "9")
        assert entry.text == "92.5"
        await pilot.press("end", "x", "ctrl+u")
        assert entry.text == ""
        assert not entry.take(events.Key("f5", None))


async def test_a_paste_gives_its_first_line_without_what_cannot_be_printed() -> None:
    entry = Entry()
    app = Stand(entry)
    async with app.run_test(size=(60, 2)) as pilot:
        await open_entry(pilot, entry, limit=10)
        entry.paste(f"13\u00a0{ESC}psi\x00\nrm")
        await pilot.pause()
        assert entry.text == "13 psi"
        assert picture(app)[1] == "! only the first line was taken"
        entry.paste("0123456789")
        await pilot.pause()
        assert entry.text == "13 psi0123"
        assert picture(app)[1] == "! no more than 10 signs fit here"


async def test_a_long_text_keeps_the_cursor_in_sight() -> None:
    entry = Entry()
    app = Stand(entry)
    async with app.run_test(size=(24, 2)) as pilot:
        await open_entry(pilot, entry, text="abcdefghijklmnopqrst")
        assert picture(app)[0] == "Gauge reads <klmnopqrst_"
        await pilot.press("home")
        assert picture(app)[0] == "Gauge reads abcdefghijk…"


async def test_a_closed_entry_takes_no_key() -> None:
    entry = Entry()
    app = Stand(entry)
    async with app.run_test(size=(40, 2)) as pilot:
        entry.close("digits start a reading")
        await pilot.pause()
        assert picture(app)[0] == "digits start a reading"
        assert not entry.take(events.Key("1", "1"))
        assert not entry.paste("13")


async def test_a_choice_is_made_by_one_key_and_shown() -> None:
    choices = Choices()
    app = Stand(choices)
    async with app.run_test(size=(40, 2)) as pilot:
        choices.update([Choice("d", "dry"), Choice("m", "damp"), Choice("b", "beads")])
        choices.focus()
        await pilot.press("x", "m")
        assert [m.key for m in app.posted if isinstance(m, Choices.Picked)] == ["m"]
        assert picture(app)[0] == " d dry <m damp> b beads"


# Keys and banner -------------------------------------------------------------


async def test_a_key_that_cannot_be_used_stands_in_brackets_at_its_place() -> None:
    keys = Keys()
    app = Stand(keys)
    async with app.run_test(size=(40, 1)) as pilot:
        hints = [
            KeyHint("r", "release"),
            KeyHint("v", "verdict", enabled=False),
            KeyHint("l", "look"),
        ]
        keys.update(hints)
        await pilot.pause()
        assert picture(app) == [" r release (v verdict) l look"]
        app.sent.clear()
        keys.update([KeyHint(hint.key, hint.label) for hint in hints])
        await pilot.pause()
        assert picture(app) == [" r release  v verdict  l look"]
        assert "release" not in "".join(app.sent)


async def test_keys_without_room_are_counted() -> None:
    keys = Keys()
    app = Stand(keys)
    async with app.run_test(size=(24, 1)) as pilot:
        keys.update([KeyHint(key, "something") for key in "abcd"])
        await pilot.pause()
        assert picture(app) == [" a something  +3"]


async def test_a_caution_wraps_to_two_rows_and_says_what_it_cut() -> None:
    banner = Banner()
    app = Stand(banner)
    async with app.run_test(size=(20, 3)) as pilot:
        banner.update("never tighten, loosen or strike anything under pressure", tone="bad")
        await pilot.pause()
        assert picture(app) == ["!! never tighten,", "   loosen or strike…", ""]


# Every widget, on poor terminals ---------------------------------------------


def furnished() -> tuple[list[Widget], Callable[[], None]]:
    """One of each, and what fills them with hostile text."""
    banner, checklist, clock, trend = Banner(), Checklist(), Clock(), Trend()
    entry, choices, keys = Entry(), Choices(), Keys()

    def fill() -> None:
        banner.update(HOSTILE * 3)
        checklist.update([check(HOSTILE, sign, HOSTILE) for sign in ("open", "blocked", "waiting")])
        clock.update(HOSTILE, [ClockRow(HOSTILE, HOSTILE, "bad")])
        trend.update([*points(13.5, 12.2, 15.5), Point(200, 13, sign="é")], Frame(600, 13, 15))
        entry.ask(HOSTILE, echo=lambda text: (text, False), text=HOSTILE)
        choices.update([Choice("d", HOSTILE), Choice("é", "x")], picked="d")
        keys.update([KeyHint("é", HOSTILE), KeyHint("b", HOSTILE, enabled=False)])

    return [banner, checklist, clock, trend, entry, choices, keys], fill


@pytest.mark.parametrize("size", [(80, 24), (20, 24), (5, 7), (1, 1)])
async def test_ascii_mode_shows_nothing_but_ascii(size: tuple[int, int]) -> None:
    widgets, fill = furnished()
    app = Stand(*widgets, look=Look(ascii=True))
    async with app.run_test(size=size) as pilot:
        fill()
        await pilot.pause()
        shown = "".join(picture(app))
        assert shown.isascii()
        assert ESC not in shown


async def test_without_colour_no_cell_has_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    widgets, fill = furnished()
    app = Stand(*widgets, look=Look(colour=False))
    async with app.run_test(size=(80, 24)) as pilot:
        fill()
        await pilot.pause()
        for style in styles(app):
            assert style.color is None or style.color.is_default
            assert style.bgcolor is None or style.bgcolor.is_default
        assert any(style.reverse for style in styles(app))
        assert any(style.underline for style in styles(app))
        assert not any(style.dim for style in styles(app))
