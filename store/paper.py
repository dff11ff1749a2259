"""The certificate as PDF: nothing is fetched for it, and no font of the system is used."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final, Literal

from engine.certificate import Certificate
from store.face import face_svg
from store.faults import Fault, plain
from store.plot import plot_svg

Paper = Literal["us-letter", "a4"]
PAPER: Final[dict[str, Paper]] = {"us": "us-letter", "si": "a4"}
SIZES: Final[dict[str, Paper]] = {"letter": "us-letter", "a4": "a4"}
_TEMPLATE: Final = Path(__file__).with_name("certificate.typ")
_LONG_WORD: Final = re.compile(r"\S{35,}")
_NEVER_BROKEN: Final = frozenset({"proof", "digest", "number", "identities", "identity"})
_ROOMY: Final = 1700
"""Characters on the first page up to which the drawing still fits under them."""
_SAID_ONCE: Final = ("demand", "rig", "gauge", "rig_doubts")
_UNSETTABLE: Final = re.compile(
    "[^\u0020-\u007e\u00a1-\u00ac\u00ae-\u0377\u03a3-\u03ff\u0391-\u03a1\u0384-\u038a\u0400-\u0482"
    "\u048a-\u04ff\u05d0-\u05ea\u0621-\u063a\u0641-\u064a\u1e00-\u1eff\u2010-\u2015\u2018-\u2027"
    "\u2030-\u2040\u2044\u2074-\u208e\u20a0-\u20bf\u2100-\u211e\u2190-\u22ff\u25a0-\u25ff]"
)
"""Whatever the typesetter's own fonts have no sign for."""
NO_SIGN: Final = "\u25a1"


class NoTypesetter(Fault):
    """The typesetter is not installed."""


class NotSet(Fault):
    """The typesetter refused."""


def pdf(certificate: Certificate, paper: Paper | None = None) -> bytes:
    """One to three pages for a test, PDF/A-2b; the same bytes for the same certificate.

    Raises NoTypesetter where it is not installed, NotSet where it fails.
    """
    try:
        import typst  # 83 MB that only a certificate needs
    except ImportError:
        raise NoTypesetter(
            "the typesetter is not installed (pip install 'holdwater[pdf]'): "
            "no PDF, but the text certificate can be had"
        ) from None
    inputs = {
        "data": json.dumps(_data(certificate), ensure_ascii=False),
        "paper": paper or PAPER[certificate.system],
    }
    try:
        made = typst.compile(
            _TEMPLATE.read_bytes(),
            sys_inputs=inputs,
            ignore_system_fonts=True,
            pdf_standards=["a-2b"],
        )
    except typst.TypstError as error:
        raise NotSet(f"the certificate could not be typeset: {plain(str(error), 120)}") from None
    assert isinstance(made, bytes), "one document was asked for"
    return made


def _data(certificate: Certificate) -> dict[str, Any]:
    """What the template shows, with the drawings made and a date it can read."""
    data: dict[str, Any] = _plain(certificate)
    missing = len(set(_UNSETTABLE.findall("".join(_strings(certificate)))))
    _say_once(data["tests"])
    for tested, shown in zip(certificate.tests, data["tests"], strict=True):
        shown["plot_svg"] = plot_svg(tested.plot) if tested.plot is not None else None
        shown["face_svg"] = face_svg(tested.face)
    front = len("".join(_strings((certificate.authority, certificate.subject))))
    front += sum(len(said) for t in certificate.tests for said in (*t.beside, *t.doubts))
    data["dense"] = len(certificate.tests) > 1 or front > _ROOMY
    if missing:
        data["statements"].append(
            f"{missing} of the characters in its record have no sign in the fonts of this paper: "
            f"they are shown as {NO_SIGN} and stand whole in the session's data."
        )
    return data


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif is_dataclass(value):
        for field in fields(value):
            yield from _strings(getattr(value, field.name))
    elif isinstance(value, tuple):
        for item in value:
            yield from _strings(item)


def _say_once(tests: list[dict[str, Any]]) -> None:
    """What a later test has in common with the first is said with the first."""
    first = tests[0]
    for tested in tests:
        tested["as_in"] = "" if tested is first else first["identity"]
        for key in _SAID_ONCE if tested is not first else ():
            tested[key] = [row for row in tested[key] if row not in first[key]]


def _breakable(word: re.Match[str]) -> str:
    """Words longer than a line of a narrow column end somewhere all the same."""
    return "\u200b".join(re.findall(".{1,12}", word[0]))


def _plain(value: Any, key: str = "") -> Any:
    """Tuples as lists, rows and dataclasses by name, strings that can be set and broken."""
    if isinstance(value, str):
        settable = _UNSETTABLE.sub(NO_SIGN, value)
        return settable if key in _NEVER_BROKEN else _LONG_WORD.sub(_breakable, settable)
    if isinstance(value, datetime):
        return [value.year, value.month, value.day, value.hour, value.minute, value.second]
    if is_dataclass(value):
        return {f.name: _plain(getattr(value, f.name), f.name) for f in fields(value)}
    if hasattr(value, "_asdict"):
        return {key: _plain(item) for key, item in value._asdict().items()}
    if isinstance(value, tuple | list):
        return [_plain(item, key) for item in value]
    return value
