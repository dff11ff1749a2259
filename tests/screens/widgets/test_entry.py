"""The entry: a line is typed, echoed, refused, mended, pasted into."""

from __future__ import annotations

from typing import Any

from textual import events

from tests.screens.picture import picture
from tests.screens.widgets.stand import ESC, Stand, pressed
from tui.widgets.entry import Entry


def reads(text: str) -> tuple[str, bool]:
    try:
        return f"{float(text):.1f} psi", True
    except ValueError:
        return "not a number yet", False


async def open_entry(pilot: Any, entry: Entry, **how: Any) -> None:
    entry.ask("Gauge reads", **how)
    await pilot.pause()


async def test_the_entry_takes_every_printable_key_and_echoes_what_it_means() -> None:
    entry = Entry()
    app = Stand(entry)
    async with app.run_test(size=(60, 2)) as pilot:
        await open_entry(pilot, entry, echo=reads)
        await pressed(pilot, "1", "3", "full_stop", "2")
        assert picture(app) == ["Gauge reads 13.2_", "= 13.2 psi"]
        await pressed(
            pilot, "comma", "quotation_mark", "apostrophe", "slash", "space", "q", "minus"
        )
        assert entry.text == "13.2,\"'/ q-"
        assert picture(app)[1] == "? not a number yet"


async def test_a_refusal_keeps_what_was_typed() -> None:
    entry = Entry()
    app = Stand(entry)
    async with app.run_test(size=(60, 2)) as pilot:
        await open_entry(pilot, entry, echo=reads, text="135")
        entry.refuse("135 is outside the gauge's span")
        await pilot.pause()
        assert picture(app) == ["Gauge reads 135_", "! 135 is outside the gauge's span"]
        await pressed(pilot, "backspace", "full_stop", "5")
        assert picture(app) == ["Gauge reads 13.5_", "= 13.5 psi"]
        for left_to_the_screen in ("enter", "escape"):
            assert not entry.take(events.Key(left_to_the_screen, None))
        assert entry.text == "13.5"


async def test_the_text_can_be_mended_in_the_middle() -> None:
    entry = Entry()
    async with Stand(entry).run_test(size=(60, 2)) as pilot:
        await open_entry(pilot, entry, text="12.5")
        await pressed(pilot, "left", "left", "left", "backspace", "3", "home", "delete", "9")
        assert entry.text == "92.5"
        await pressed(pilot, "end", "x", "ctrl+u")
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
        await pressed(pilot, "home")
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


async def test_a_text_that_stands_there_gives_way_to_the_first_sign_typed() -> None:
    entry = Entry()
    app = Stand(entry)
    async with app.run_test(size=(60, 2)) as pilot:
        await open_entry(pilot, entry, text="940", stands=True)
        assert picture(app)[0] == "Gauge reads 940_"
        await pressed(pilot, "1", "0", "4")
        assert entry.text == "104"
        await open_entry(pilot, entry, text="940", stands=True)
        entry.paste("94")
        assert entry.text == "94"


async def test_a_text_that_stands_there_is_kept_by_whoever_mends_it() -> None:
    entry = Entry()
    async with Stand(entry).run_test(size=(60, 2)) as pilot:
        await open_entry(pilot, entry, text="9455", stands=True)
        await pressed(pilot, "backspace", "0")
        assert entry.text == "9450"
        await open_entry(pilot, entry, text="9455", stands=True)
        await pressed(pilot, "home", "1")
        assert entry.text == "19455"


async def test_a_long_prompt_leaves_room_for_what_is_typed_and_a_refusal_stands_in_full() -> None:
    entry = Entry()
    app = Stand(entry)
    async with app.run_test(size=(60, 8)) as pilot:
        long = "Measure the inner seal line: inside face out to where the primary seals [mm]"
        entry.ask(long, text="80.5")
        await pilot.pause()
        assert " ".join(picture(app)).split() == [*long.split(), "80.5_"]
        entry.refuse("80.5 mm is " + "far " * 20 + "outside")
        await pilot.pause()
        assert "outside" in " ".join(picture(app)), "a refusal is not cut"
        entry.close("digits start a reading")
        await pilot.pause()
        assert picture(app)[0] == "digits start a reading"
