"""The app for odd terminals."""

from __future__ import annotations

from textual.drivers import linux_driver

from tests.screens.widgets.stand import Stand


def test_an_odd_byte_does_not_end_the_input() -> None:
    Stand()  # which chooses the driver
    decode = vars(linux_driver)["getincrementaldecoder"]("utf-8")().decode
    assert decode(b"\xe913") == "\ufffd13"
    assert decode("é".encode()[:1]) + decode("é".encode()[1:]) == "é"
