"""What the replay shows beside the run screen: where it stands, the whole on a line, answers."""

from __future__ import annotations

from typing import Final, NamedTuple

from engine import present
from tui.player import Player
from tui.questions import Answer, Grade, Questioned
from tui.theme import Tone
from tui.widgets.keys import KeyHint
from tui.widgets.lines import Row, hung
from tui.widgets.track import Part

HINTS: Final = (
    KeyHint("Space", "play"),
    KeyHint("Left Right", "a record"),
    KeyHint("[ ]", "stage"),
    KeyHint("- +", "speed"),
    KeyHint(", .", "sighting, verdict"),
    KeyHint("/", "time"),
    KeyHint("r", "remark"),
    KeyHint("Tab", "log, verdict"),
    KeyHint("p", "plan"),
    KeyHint("?", "help"),
    KeyHint("q", "leave"),
)
HELP: Final[tuple[tuple[str, str], ...]] = (
    ("Space      ", "play, or stand still"),
    ("Left, Right", "one record back or on"),
    ("[  ]       ", "to the stage before, or the next"),
    ("-  +       ", "slower, faster: half to sixty times"),
    (",  .       ", "to the sighting or verdict before, or next"),
    ("/          ", "to a time: 14:31, +5 min, -30 s"),
    ("r          ", "a remark on this moment, kept beside the test"),
    ("Tab p ?    ", "log and verdict; the plan; this help"),
    ("q          ", "leave"),
    ("Ctrl-L     ", "draw the screen anew"),
    ("           ", ""),
    ("On the line", "= hold  ! sighting  V verdict  R release"),
    ("           ", "* remark  # here; idle stretches are cut"),
)
_SIGNS: Final = {"sighting": "!", "verdict": "V", "release": "R"}


def state(player: Player) -> Row:
    """Playing or not, how fast, when, and which record of how many."""
    playing = "PLAYING" if player.playing else "AT THE END" if player.at_end else "STANDS STILL"
    at = present.time_of_day(player.session, player.now())
    of = "?" if player.halt is not None else str(player.count)
    asked = ""
    if isinstance(player, Questioned):
        asked = f"  {len(player.answers)} answered"
    tone = "accent strong" if player.playing else "strong"
    return (
        (f"{playing:<12} {player.speed:g}x", tone),
        (f"  {at}  record {player.seq} of {of}{asked}", "plain"),
    )


class Course(NamedTuple):
    """What the line is drawn from, in shares of the whole."""

    parts: list[Part]
    holds: list[tuple[float, float]]
    signs: list[tuple[float, str]]
    at: float
    known: float


def course(player: Player) -> Course:
    """The whole session in busy time; with a halt, what may be shown of it fills the line."""
    most = player.count
    end = player.busy.of(player.times[most - 1])
    if player.halt is not None:
        end = max(end, player.busy.of(player.now())) * 1.05
    whole = end or 1.0

    def share(t: float) -> float:
        return player.busy.of(t) / whole

    shown = [m for m in player.marks if m.seq <= most]
    last = player.peek(most)
    parts = [Part(share(player.times[m.seq - 1]), present.STAGE[m.stage])
             for m in shown if m.stage is not None]  # fmt: skip
    holds = [(share(h.start), share(last.t if h.end is None else h.end)) for h in last.holds]
    signs = [(share(player.times[m.seq - 1]), _SIGNS[m.kind]) for m in shown if m.kind in _SIGNS]
    signs += [(share(r.t), "*") for r in player.remarks if r.t <= last.t or player.halt is None]
    known = 1.0 if player.halt is None else share(max(last.t, player.now()))
    return Course(parts, holds, signs, share(player.now()), known)


def remark(player: Player) -> str:
    """What is said about this moment."""
    return "; ".join(f"{r.by}: {r.text}" for r in player.said())


_TONE: Final[dict[Grade, Tone]] = {"right": "good", "another way": "accent", "wrong": "bad"}
_WORD: Final[dict[Grade, str]] = {
    "right": "RIGHT",
    "another way": "ALLOWED, but another way was taken",
    "wrong": "NOT SO",
}


def answer(player: Questioned, made: Answer, width: int) -> list[Row]:
    """What was answered, what was done, and what the rules say to each."""
    session = player.peek(made.seq)
    at = present.time_of_day(session, session.times[made.seq - 1])
    by = session.records[made.seq - 1].by
    rows: list[Row] = [((_WORD[made.grade], f"{_TONE[made.grade]} strong"),)]
    rows += _told("You", f"{made.choice.words}, because {made.why}", width)
    if made.choice != made.done:
        rows += _told("Rules", made.rules, width)
    rows += _told("Done", f"{at} by {by}: {present.record(session, made.seq)}", width)
    rows += _told("Rules", made.rules_done, width)
    return rows


def _told(head: str, text: str, width: int) -> list[Row]:
    return hung((f"{head:<7}", "dim"), text, width, 6)


def result(player: Questioned, told: str, width: int) -> list[Row]:
    """How the round went, the answers that were not right first."""
    count = player.result()
    of = len(player.answers)
    right, other, wrong = count["right"], count["another way"], count["wrong"]
    said = f"{right} of {of} right, {other} another way, {wrong} not so"
    rows: list[Row] = [((said, "strong"),), ((told, "plain"),)]
    for made in sorted(player.answers, key=lambda a: (a.grade == "right", a.seq)):
        session = player.peek(made.seq)
        at = present.time_of_day(session, session.times[made.seq - 1])
        sign = {"right": "+", "another way": "~", "wrong": "!"}[made.grade]
        text = f"{at} {made.choice.words}"
        if made.choice != made.done:
            text += f"; done: {made.done.words}. {made.rules_done}"
        rows += hung((f"{sign} ", _TONE[made.grade]), text, width, 4)
    return rows
