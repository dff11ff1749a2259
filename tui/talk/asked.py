"""Conversations of a replay: a moment to go to, a remark, a question about what to do."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable
from typing import Final

from engine import present
from engine.checks import STAGES, Stage
from engine.facts import Outcome
from engine.trouble import Trouble
from engine.units import DURATION
from tui.player import Player
from tui.questions import Answer, Choice, Kind, Questioned
from tui.talk.asking import Conversation, Part, Talk

_KEYS: Final[dict[str, Kind]] = {
    "n": "pass", "c": "close", "h": "hold", "u": "top_up", "b": "back", "a": "verdict",
    "R": "release", "w": "wait",
}  # fmt: skip
_OUTCOMES: Final[dict[str, Outcome]] = {
    "p": "pass", "f": "fail", "i": "invalid", "u": "undecided",
}  # fmt: skip
_CLOCK: Final = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2}))?")


def to_time(talk: Talk, player: Player) -> Conversation:
    """A time of day, or so long on or back: the replay stands there."""
    text, refusal = "", ""
    while True:
        text = yield from talk.text("Go to 14:31, or +5 min, -30 s", text, refusal)
        try:
            player.to_time(_moment(talk, player, text.strip()))
            return
        except ValueError as problem:
            refusal = str(problem)


def _moment(talk: Talk, player: Player, text: str) -> float:
    if text[:1] in ("+", "-"):
        gone = float(talk.parse(text[1:], DURATION).m_as("s"))
        return player.now() + (gone if text[0] == "+" else -gone)
    found = _CLOCK.fullmatch(text)
    if found is None or int(found[1]) > 23 or int(found[2]) > 59 or int(found[3] or 0) > 59:
        raise ValueError(f"{text[:20]!r}: expected a time of day like 14:31, or +5 min")
    moment = _next_time(player, 3600 * int(found[1]) + 60 * int(found[2]) + int(found[3] or 0))
    if moment is None:
        raise ValueError(f"it was never {text} in this test")
    return moment


def _next_time(player: Player, of_day: int) -> float | None:
    """When the clock next showed that time; else when it last did."""
    last = player.peek(player.count)
    found = []
    for place, record in enumerate(last.records):
        start = player.times[place]
        end = player.times[place + 1] if place + 1 < player.count else start
        at = record.at
        shown = 3600 * at.hour + 60 * at.minute + at.second + at.microsecond / 1e6
        first = (of_day - shown) % 86_400 if of_day != int(shown) else 0.0
        if start + first <= end:
            found.append(start + first)
    place = bisect_right(found, player.now())
    return found[place] if place < len(found) else (found[-1] if found else None)


def remark(talk: Talk, player: Player, by: str) -> Conversation:
    """Said about this moment, and kept beside the session."""
    text, refusal, who = "", "", by
    while True:
        text = yield from talk.text("Remark on this moment", text, refusal)
        who = who or (yield from talk.text("Who says so"))
        try:
            player.remark(text, who)
            return
        except Trouble as trouble:
            refusal = str(trouble)


def question(talk: Talk, player: Questioned, show: Callable[[Answer], None]) -> Conversation:
    """What would you do now, and why; then what was done, and what the rules say."""
    number = len(player.answers) + 1
    at = present.time_of_day(player.session, player.now())
    picked = yield from talk.pick(
        f"Question {number}, {at}: what would you do now? Esc: look around first",
        n="pass the stage", c="close the vent", h="start the hold", u="top up", b="go back",
        a="announce", R="release", w="wait, do more",
    )  # fmt: skip
    choice = yield from _whole(talk, _KEYS[picked])
    why = yield from talk.text(f"{choice.words.capitalize()}: why")
    show(player.answer(choice, why[:300]))
    yield from talk.pick("What was done, and what the rules say, stands above.", g="go on")


def _whole(talk: Talk, kind: Kind) -> Part[Choice]:
    if kind == "back":
        keys: dict[str, Stage] = {str(n): stage for n, stage in enumerate(STAGES, 1)}
        picked = yield from talk.pick("Back to", **{k: present.STAGE[s] for k, s in keys.items()})
        return Choice("back", stage=keys[picked])
    if kind == "verdict":
        words = {key: present.OUTCOME[outcome] for key, outcome in _OUTCOMES.items()}
        picked = yield from talk.pick("Announce", **words)
        return Choice("verdict", outcome=_OUTCOMES[picked])
    return Choice(kind)


def name(talk: Talk, take: Callable[[str], None]) -> Conversation:
    """Whose result it is."""
    take((yield from talk.text("All answered. Whose result is it")))
