"""What practice shows beside the run screen: its keys, the faults to choose from, the debrief."""

from __future__ import annotations

from typing import Final

from engine import present
from engine.debrief import Debrief
from engine.practice import FAULTS
from engine.session import Session
from tui.theme import Tone
from tui.widgets.keys import KeyHint
from tui.widgets.lines import Row, hung

HINTS: Final = (
    KeyHint("f", "time on"),
    KeyHint("e", "outside"),
    KeyHint("c", "conclude"),
)
HELP: Final[tuple[tuple[str, str], ...]] = (
    ("f  ", "let time pass: to the end of a wait, the next reading"),
    ("- +", "time runs slower, faster"),
    ("l e", "look inside; walk round outside"),
    ("v k", "turn a valve; the gauge's cock"),
    ("a u", "pump in so many mL; the same in a hold"),
    ("S  ", "set the supply"),
    ("y  ", "Prepare and Seal: the plain checks are done for you"),
    ("c  ", "say what is wrong with this joint"),
)


def faults() -> list[Row]:
    """Every fault there is, with its number."""
    names = [f"{n:>2} {name.replace('_', ' ')}" for n, name in enumerate(FAULTS, 1)]
    half = (len(names) + 1) // 2
    rows: list[Row] = [(("What is wrong with this joint?", "strong"),)]
    for left, right in zip(names[:half], [*names[half:], ""], strict=False):
        rows.append(((f"{left:<24.24} {right:.24}", "plain"),))
    return rows


def debrief(session: Session, said: Debrief, width: int) -> list[Row]:
    """The truth beside what was made of it."""
    units = session.plan.units
    tone: Tone = "good" if said.found else "bad"
    name = said.fault.replace("_", " ")
    rows: list[Row] = [((f"THE FAULT: {name}", "strong"),)]
    rows += _told("", said.told, width)
    if said.first is not None:
        rows += _told("Seen", f"first {_at(session, said.first.t)}: {said.first.words}", width)
    elif said.fault != "none":
        rows += _told("Seen", "nothing of it could be seen in what was done", width)
    rows += _concluded(session, said, width, tone)
    if said.announced is not None:
        t, outcome = said.announced
        rows += _told("Verdict", f"{present.OUTCOME[outcome]}, {_at(session, t)}", width)
    cap, peak = present.pressure(said.cap, units), present.pressure(said.peak, units)
    rows += _told("Highest", f"{peak} at the crown; never to exceed {cap}", width)
    if said.over_at is not None:
        rows.append(((f"        EXCEEDED, first {_at(session, said.over_at)}", "bad strong"),))
    else:
        rows.append((("        kept", "good"),))
    return rows


def _concluded(session: Session, said: Debrief, width: int, tone: Tone) -> list[Row]:
    if not said.concluded:
        return _told("You", "said nothing of what was wrong", width, "warn")
    rows: list[Row] = []
    for one in said.concluded:
        text = f"{one.fault.replace('_', ' ')}, {_at(session, one.t)}"
        rows += _told("You", text, width)
    rows.append((("        FOUND" if said.found else "        NOT FOUND", f"{tone} strong"),))
    return rows


def _at(session: Session, t: float) -> str:
    after = present.duration(t)
    return f"at {present.time_of_day(session, t)} ({after} in)"


def _told(head: str, text: str, width: int, tone: Tone = "plain") -> list[Row]:
    return hung((f"{head:<8}", "dim"), text, width, 5, tone)
