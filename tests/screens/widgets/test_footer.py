"""What stands at the foot: keys, choices, and a caution above them."""

from __future__ import annotations

from tests.screens.picture import picture
from tests.screens.widgets.stand import Stand
from tui.widgets.banner import Banner
from tui.widgets.choices import Choice, Choices
from tui.widgets.keys import KeyHint, Keys


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


async def test_each_choice_stands_beside_its_key_on_as_many_rows_as_it_takes() -> None:
    choices = Choices()
    app = Stand(choices)
    async with app.run_test(size=(20, 2)) as pilot:
        choices.styles.height = 2
        choices.update([Choice("d", "dry"), Choice("m", "damp"), Choice("b", "beads")])
        await pilot.pause()
        assert picture(app) == [" d dry  m damp", " b beads"]
