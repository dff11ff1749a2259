"""How the terminal at hand is drawn on: theme, ASCII or not, tones, and text made harmless.

    look = theme.prepare(ascii_asked=args.ascii)   # before anything imports Textual
    app = TheApp(look)                             # keeps it as `self.look`: widgets read it there

Names of styles are the tones `plain dim good bad warn accent` and the marks `strong`, `chosen`;
several may be joined by a blank: "warn strong".
"""

from __future__ import annotations

import os
import re
import sys
import unicodedata
from collections.abc import Mapping
from functools import cache
from io import TextIOWrapper
from typing import TYPE_CHECKING, Final, Literal, NamedTuple

if TYPE_CHECKING:
    from rich.style import Style

__all__ = ["Look", "Tone", "look_for", "no_screen", "prepare", "sanitise", "style"]

Tone = Literal["plain", "dim", "good", "bad", "warn", "accent"]

# Only the terminal's own sixteen colours, so that 16 are enough and an ansi theme keeps them.
_COLOURED: Final = {
    "plain": "",
    "dim": "dim",
    "good": "green",
    "bad": "bold red",
    "warn": "bold yellow",
    "accent": "bold cyan",
    "strong": "bold",
    "chosen": "reverse",
}
_COLOURLESS: Final = {
    "plain": "",
    "dim": "",
    "good": "",
    "bad": "reverse",
    "warn": "underline",
    "accent": "bold",
    "strong": "bold",
    "chosen": "reverse",
}


class Look(NamedTuple):
    """What this terminal can show."""

    ascii: bool = False
    colour: bool = True


def look_for(environ: Mapping[str, str], ascii_asked: bool = False) -> Look:
    """ASCII where asked for, where the locale is not UTF-8, and where the font is too small."""
    poor_font = environ.get("TERM", "") in ("linux", "dumb", "")
    plain = ascii_asked or poor_font or not _speaks_utf8(environ)
    return Look(ascii=plain, colour="NO_COLOR" not in environ)


def prepare(ascii_asked: bool = False) -> Look:
    """The environment and the error stream, where Textual draws, suit the terminal at hand.

    Call it before Textual is imported: it reads its theme from the environment only then.
    """
    look = look_for(os.environ, ascii_asked)
    if look.colour:
        os.environ.setdefault("TEXTUAL_THEME", "ansi-dark")
    else:  # any other theme turns colours into shades of grey instead of leaving them out
        os.environ["TEXTUAL_THEME"] = "ansi-dark"
    os.environ.setdefault("TEXTUAL_ANIMATIONS", "none")
    if os.environ.get("TERM", "dumb") == "dumb":  # else taken for a terminal of 16 million colours
        os.environ.setdefault("TEXTUAL_COLOR_SYSTEM", "standard")
    _open_for_signs(sys.__stderr__, utf8=_speaks_utf8(os.environ))
    return look


def no_screen(environ: Mapping[str, str], terminal: bool) -> str:
    """Why nothing can be drawn here, in one line; empty if it can."""
    if not terminal:
        return "screen: this is not a terminal; run it in one, or a verb that prints"
    if environ.get("TERM", "") == "dumb":
        return "screen: TERM is dumb, which cannot place text; set TERM to what you have, as xterm"
    return ""


def style(names: str, colour: bool = True) -> Style:
    """The style of a tone, or of several names together.  Raises KeyError for an unknown name."""
    return _style(names, colour)


@cache
def _style(names: str, colour: bool) -> Style:
    from rich.style import Style  # choosing a theme needs no rich

    table = _COLOURED if colour else _COLOURLESS
    return Style.combine(Style.parse(table[name]) for name in names.split())


def _speaks_utf8(environ: Mapping[str, str]) -> bool:
    """Does the locale say so?

    In a C locale Python itself sets LC_CTYPE to a UTF-8 one (PEP 538): that says nothing of the
    terminal, so LC_CTYPE counts only beside a LANG that is not plain.
    """
    lang = environ.get("LANG", "")
    kind = environ.get("LC_CTYPE", "")
    if lang in ("", "C", "POSIX") and kind in ("C.UTF-8", "C.utf8", "UTF-8"):
        kind = ""
    name = environ.get("LC_ALL") or kind or lang
    return name.lower().replace("-", "").endswith("utf8")


def _open_for_signs(stream: object, utf8: bool) -> None:
    """No sign written to `stream` becomes an escape such as \\u2502 on the screen."""
    if not isinstance(stream, TextIOWrapper):
        return
    if not utf8:
        stream.reconfigure(errors="replace")
    elif stream.encoding.lower().replace("-", "") != "utf8":
        stream.reconfigure(encoding="utf-8", errors="replace")


# Marks that change the width or the direction of their neighbours, or cannot be seen at all.
_UNSEEN: Final = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_SPELT: Final = {
    **dict.fromkeys("‐‑‒–—−─┄", "-"),
    **dict.fromkeys("‘’′", "'"),
    **dict.fromkeys("“”″", '"'),
    "°": " deg ",
    "≥": ">=",
    "≤": "<=",
    "±": "+-",
    "×": "x",
    "·": ".",
    "µ": "u",
    "μ": "u",
    "⁄": "/",
    "…": "...",
    "│": "|",
    "Δ": "d",
    "√": "sqrt ",
    "≈": "~",
    "→": "->",
    "←": "<-",
    "ß": "ss",
    "Ø": "O",
    "ø": "o",
    "Æ": "AE",
    "æ": "ae",
}
_PLAIN: Final = re.compile(r"[ -~]*")
_MIXED_NUMBER: Final = re.compile(r"(?<=\d)(?=[\u00bc-\u00be\u2150-\u215e])")


def sanitise(text: str, ascii: bool = False) -> str:
    """`text` on one line, with nothing in it that a terminal would obey.

    Control, escape, direction and invisible characters become `?`, line ends and tabs a blank.
    With `ascii`, other signs are spelt out or become `?`.  Markup stays as it was typed.
    """
    if _PLAIN.fullmatch(text):
        return text
    text = " ".join(re.split(r"\r\n|[\t\n\r\v\f]", text))
    harmless = "".join(map(_harmless, unicodedata.normalize("NFC", text)))
    if not ascii:
        return harmless
    harmless = _MIXED_NUMBER.sub(" ", harmless)  # 1½ must not become 11/2
    return "".join(map(_spelt, harmless)).replace("  deg", " deg")


def _harmless(sign: str) -> str:
    # Above 0xFFFF terminals disagree about widths, and one wrong width tears the whole row.
    if unicodedata.category(sign) in _UNSEEN or ord(sign) > 0xFFFF:
        return "?"
    return "" if "\ufe00" <= sign <= "\ufe0f" else sign


@cache
def _spelt(sign: str) -> str:
    if sign.isascii():
        return sign
    if sign in _SPELT:
        return _SPELT[sign]
    raised = "^" if unicodedata.decomposition(sign).startswith("<super>") else ""
    parts = raised + unicodedata.normalize("NFKD", sign)
    bare = "".join(part for part in parts if not unicodedata.combining(part))
    return "".join(p if p.isascii() else _SPELT.get(p, "?") for p in bare)
