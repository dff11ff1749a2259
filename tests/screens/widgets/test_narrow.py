"""The app for bad links and odd terminals."""

from __future__ import annotations

from textual.drivers import linux_driver

from tests.screen import Screen
from tests.screens.picture import picture
from tests.screens.widgets.stand import Stand, plain
from tui.widgets.entry import Entry
from tui.widgets.lines import Lines


def test_an_odd_byte_does_not_end_the_input() -> None:
    Stand()  # which chooses the driver
    decode = vars(linux_driver)["getincrementaldecoder"]("utf-8")().decode
    assert decode(b"\xe913") == "\ufffd13"
    assert decode("é".encode()[:1]) + decode("é".encode()[1:]) == "é"


async def test_control_l_draws_every_cell_and_nothing_that_was_typed_goes() -> None:
    lines, entry = Lines(), Entry()
    app = Stand(lines, entry)
    async with app.run_test(size=(30, 5)) as pilot:
        lines.show(plain("credit 4:20", "missing 5:40"))
        entry.ask("Gauge reads", text="13.")
        await pilot.pause()
        app.sent.clear()
        await pilot.press("ctrl+l")
        await pilot.pause()
        spoilt = Screen(30, 5)
        spoilt.show(b"\x1b[HBroadcast message" * 20)
        spoilt.show("".join(app.sent).encode())
        assert spoilt.picture() == picture(app)
        assert entry.text == "13."
