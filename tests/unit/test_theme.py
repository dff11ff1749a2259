"""Which look a terminal gets, and what is done to text before it is shown."""

from __future__ import annotations

import io
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from tui import theme
from tui.theme import Look, look_for, no_screen, sanitise

UTF8 = {"TERM": "xterm-256color", "LANG": "en_US.UTF-8"}


@pytest.mark.parametrize(
    ("environ", "look"),
    [
        (UTF8, Look(ascii=False, colour=True)),
        ({**UTF8, "TERM": "screen"}, Look(ascii=False)),
        ({**UTF8, "TERM": "linux"}, Look(ascii=True)),  # its font has no braille
        ({**UTF8, "TERM": "dumb"}, Look(ascii=True)),
        ({**UTF8, "NO_COLOR": "1"}, Look(colour=False)),
        ({**UTF8, "LC_ALL": "C"}, Look(ascii=True)),
        ({**UTF8, "LC_ALL": "de_DE.ISO-8859-1"}, Look(ascii=True)),
        ({"TERM": "xterm", "LANG": "C"}, Look(ascii=True)),
        ({"TERM": "xterm", "LANG": "C", "LC_CTYPE": "C.UTF-8"}, Look(ascii=True)),  # by PEP 538
        ({"TERM": "xterm", "LANG": "C.UTF-8"}, Look(ascii=False)),
        ({"TERM": "xterm", "LC_CTYPE": "de_DE.utf8"}, Look(ascii=False)),
        ({"TERM": "xterm"}, Look(ascii=True)),
    ],
)
def test_the_look_follows_the_terminal_and_the_locale(environ: dict[str, str], look: Look) -> None:
    assert look_for(environ) == look


def test_ascii_can_be_asked_for() -> None:
    assert look_for(UTF8, ascii_asked=True).ascii


def test_where_nothing_can_be_drawn_the_reason_is_one_line() -> None:
    assert no_screen(UTF8, terminal=True) == ""
    for reason in (no_screen(UTF8, terminal=False), no_screen({"TERM": "dumb"}, terminal=True)):
        assert reason
        assert "\n" not in reason


def test_no_tone_has_a_colour_where_none_is_wanted() -> None:
    for name in ("plain", "dim", "good", "bad", "warn", "accent", "strong", "chosen"):
        assert theme.style(name, colour=False).color is None
        assert not theme.style(name, colour=False).dim
    assert theme.style("bad").color is not None


def test_preparing_reaches_textual_and_loads_neither_it_nor_rich() -> None:
    code = (
        "import sys; from tui import theme; look = theme.prepare()\n"
        "assert not {'textual', 'rich'} & set(sys.modules)\n"
        "from textual.app import App\n"
        "app = App(); print(look.colour, app.native_ansi_color, app.animation_level)"
    )
    for environ, said in ((UTF8, "True"), ({**UTF8, "NO_COLOR": "1"}, "False")):
        done = subprocess.run(
            [sys.executable, "-c", code], env=environ, capture_output=True, text=True, check=True
        )
        assert done.stdout.split() == [said, "True", "none"]


def test_a_stream_that_cannot_write_a_sign_replaces_it_by_one_cell() -> None:
    for utf8, written in ((True, "│".encode()), (False, b"?")):
        below = io.BytesIO()
        stream = io.TextIOWrapper(below, encoding="latin-1", errors="backslashreplace")
        theme._open_for_signs(stream, utf8=utf8)
        stream.write("│")
        stream.flush()
        assert below.getvalue() == written


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("13 °C", "13 deg C"),
        ("4°C", "4 deg C"),
        ("1½ in", "1 1/2 in"),
        ("2 in²", "2 in^2"),
        ("≥ 13 psi – “firm”", '>= 13 psi - "firm"'),
        ("Café", "Cafe"),
        ("漢", "?"),
    ],
)
def test_signs_are_spelt_out_in_ascii(typed: str, shown: str) -> None:
    assert sanitise(typed, ascii=True) == shown


@given(st.text())
def test_nothing_a_terminal_would_obey_is_left(text: str) -> None:
    for ascii in (False, True):
        shown = sanitise(text, ascii)
        assert "\x1b" not in shown
        assert all(sign.isprintable() or sign.isspace() for sign in shown)
        assert len(shown.splitlines()) <= 1
        assert sanitise(shown, ascii) == shown
        assert not ascii or shown.isascii()


@given(st.text(max_size=20))
def test_the_width_of_what_is_left_is_the_sum_of_its_signs(text: str) -> None:
    shown = sanitise(text)
    assert cell_len(shown) == sum(cell_len(sign) for sign in shown)
