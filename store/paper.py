"""The certificate as PDF: nothing is fetched for it, and no font of the system is used."""

from __future__ import annotations

import json
import re
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
_TEMPLATE: Final = Path(__file__).with_name("certificate.typ")
_LONG_WORD: Final = re.compile(r"(\S{24})(?=\S{4})")
_SETTABLE: Final = re.compile(
    "[^\u0020-\u007e\u00a1-\u00ac\u00ae-\u0377\u03a3-\u03ff\u0391-\u03a1\u0384-\u038a\u0400-\u0482"
    "\u048a-\u04ff\u05d0-\u05ea\u0621-\u063a\u0641-\u064a\u1e00-\u1eff\u2010-\u2015\u2018-\u2027"
    "\u2030-\u2044\u2074-\u208e\u20a0-\u20bf\u2100-\u211e\u2190-\u22ff\u25a0-\u25ff]"
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
    missing = len(set(_SETTABLE.findall(json.dumps(data, ensure_ascii=False))))
    for tested, shown in zip(certificate.tests, data["tests"], strict=True):
        shown["plot_svg"] = plot_svg(tested.plot) if tested.plot is not None else None
        shown["face_svg"] = face_svg(tested.face)
    if missing:
        data["statements"].append(
            f"{missing} of the characters in its record have no sign in the fonts of this paper: "
            f"they are shown as {NO_SIGN} and stand whole in the session's data."
        )
    return data


def _plain(value: Any) -> Any:
    """Tuples as lists, rows and dataclasses by name, strings that can be set and broken."""
    if isinstance(value, str):
        return _SETTABLE.sub(NO_SIGN, value)
    if isinstance(value, datetime):
        return [value.year, value.month, value.day, value.hour, value.minute, value.second]
    if is_dataclass(value):
        return {f.name: _plain(getattr(value, f.name)) for f in fields(value)}
    if hasattr(value, "_asdict"):
        return {key: _plain(item) for key, item in value._asdict().items()}
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    return value
