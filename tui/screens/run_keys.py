"""The keys of the run screen: what each starts, when it means nothing, and how help lists them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

from engine.checks import earlier
from engine.session import Session
from tui.course import Course
from tui.talk import Ask, Conversation, Pick, Talk, evidence, water
from tui.talk import checks as about_checks
from tui.widgets.keys import KeyHint
from tui.widgets.lines import Row

settle = about_checks.settle


_FIGURES: Final = {"gauge_zeroed": water.zero, "openings": water.opening}
"""Checks without a figure of their own that a digit answers while there is no water."""


def _dry(session: Session) -> bool:
    """There is no water yet: until the inlet is opened."""
    if session.stage == "fill":
        return not session.under_pressure
    return earlier(session.stage, "fill")


def figure(talk: Talk, name: str, typed: str) -> Conversation:
    """A digit starts a reading; before there is water, the figure that the check asks for."""
    check = talk.session.check(name)
    if _dry(talk.session) and check is not None:
        if check.rule in _FIGURES:
            return _FIGURES[check.rule](talk, typed)
        return about_checks.settle(talk, name, typed)
    return water.reading(talk, typed)


def no_figure(session: Session, name: str) -> str:
    """Why a digit means nothing now; empty where it does."""
    check = session.check(name)
    if not _dry(session):
        return ""
    if check is not None and (check.kind == "measure" or check.rule in _FIGURES):
        return ""
    return "there is no water yet, so no reading: Enter does the check"


class Key(NamedTuple):
    """What a key is for, and the conversation it starts on the check under the cursor."""

    label: str
    told: str
    start: Callable[[Talk, str], Conversation]


def _plain(conversation: Callable[[Talk], Conversation]) -> Callable[[Talk, str], Conversation]:
    return lambda talk, name: conversation(talk)


KEYS: Final[dict[str, Key]] = {
    "n": Key("go on", "pass this stage", _plain(about_checks.pass_stage)),
    "R": Key("RELEASE", "release the pressure now", _plain(water.release)),
    "l": Key("look", "the inside was looked at", _plain(evidence.look)),
    "s": Key("sighting", "water was seen somewhere", _plain(evidence.sighting)),
    "u": Key("top up", "water was added in the hold", _plain(water.top_up)),
    "v": Key("valve", "a valve was turned", _plain(water.valve)),
    "a": Key("added", "a measured volume: one point of stiffness", _plain(water.added)),
    "x": Key("strike", "a record does not count", _plain(evidence.strike)),
    "d": Key("late", "a reading taken before", _plain(water.late_reading)),
    "i": Key("note", "anything worth writing down", _plain(evidence.note)),
    "o": Key("opening", "joint opening at clock positions", _plain(water.opening)),
    "z": Key("zero", "the gauge at rest", _plain(water.zero)),
    "t": Key("temperature", "of water, air, concrete, rod", _plain(water.temperature)),
    "w": Key("waive", "pass over the check, with a reason", about_checks.waive),
    "b": Key("back", "reopen a stage", _plain(about_checks.reopen)),
    "m": Key("mended", "a leaking fitting was mended", _plain(water.mended)),
    "g": Key("gauge", "a gauge was fitted or swapped", _plain(water.fit_gauge)),
    "D": Key("disturbed", "the rig disturbed the specimen", _plain(about_checks.disturbed)),
    "h": Key("hand over", "somebody else goes on", _plain(evidence.hand_over)),
    "A": Key("abandon", "end this test without a result", _plain(about_checks.abandon)),
}

_PLAN: Final = KeyHint("p", "plan")
_FIRST: Final[dict[str, str]] = {
    "prepare": "nwitbA",
    "seal": "nozwitbA",
    "fill": "nRvsiwbA",
    "vent": "nRvalsiwbA",
    "hold": "nRlsudxitvabmA",
    "verdict": "nRvlsixzowbA",
}
"""What the footer shows in each stage, the most important first."""


def why_not(session: Session, key: str) -> str:
    """Why a key does nothing now; empty where it does."""
    if session.closed:
        return "this test is closed"
    if key == "R" and earlier(session.stage, "fill"):
        return "there is no water yet: nothing to release"
    if key in "ls" and earlier(session.stage, "fill"):
        return "there is no water yet: a look proves nothing"
    if key == "u" and session.hold is None:
        return "a top-up belongs to a hold; before it, type the reading"
    return ""


def hints(session: Session, course: Course, question: Ask | Pick | None) -> list[KeyHint]:
    if question is not None:
        enter = [] if isinstance(question, Pick) else [KeyHint("Enter", "write down")]
        clear = [] if isinstance(question, Pick) else [KeyHint("Ctrl-U", "clear")]
        out = [KeyHint("Esc R", "RELEASE")] if session.under_pressure else []
        return [*enter, KeyHint("Esc", "leave, nothing lost"), *out, *clear]
    views = KeyHint("Tab", "log, verdict")
    always = [KeyHint("?", "all keys"), KeyHint("q", "leave")]
    if session.closed or not course.writable:
        paper = [KeyHint("c", "certificate")] if session.closed else []
        return [*paper, *always, views, _PLAN]
    keys = [KeyHint(k, KEYS[k].label, not why_not(session, k)) for k in _FIRST[session.stage]]
    first = [KeyHint("Enter", "do"), KeyHint("0-9", "figure" if _dry(session) else "reading")]
    return [*first, *keys[:2], *always, *keys[2:6], views, *keys[6:], _PLAN]


def help_rows() -> list[Row]:
    """Every key, whatever the stage."""
    rows: list[Row] = [
        (("Enter  ", "strong"), ("do what the check under the cursor asks", "plain")),
        (("0-9    ", "strong"), ("type a reading: 13.2 Enter", "plain")),
        (("Tab p ?", "strong"), (" log and verdict; the plan; this help", "plain")),
        (("q      ", "strong"), ("leave: the test goes on where it was", "plain")),
        (("Ctrl-L ", "strong"), ("draw the screen anew", "plain")),
    ]
    pairs = list(KEYS.items())
    for left, right in zip(pairs[::2], pairs[1::2], strict=True):
        rows.append(
            (
                (f"{left[0]} ", "strong"),
                (f"{left[1].label:<12}", "plain"),
                (f"{right[0]} ", "strong"),
                (f"{right[1].label:<12}", "plain"),
            )
        )
    return rows
