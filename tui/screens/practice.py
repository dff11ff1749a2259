"""The run screen on the practice joint: what there is to see is told, and time can be skipped."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from textual import events

from engine import present
from engine.asking.commands import Command
from engine.checks import earlier
from engine.debrief import concluded, debrief
from engine.present import eye
from engine.trouble import Trouble
from tui.practice import Practice
from tui.screens import practice_view
from tui.screens.following import named
from tui.screens.run import RunScreen
from tui.talk import Conversation, Talk, practising
from tui.widgets.banner import Banner
from tui.widgets.clock import ClockRow
from tui.widgets.keys import KeyHint
from tui.widgets.lines import Row

_FRESH: Final = 180.0
"""Seconds for which what was seen in a look can still be written down."""


class PracticeScreen(RunScreen):
    """A look shows what there is to see; then the trainee types it, as in the yard."""

    def __init__(self, course: Practice, decimal_comma: bool = False) -> None:
        super().__init__(course, decimal_comma)
        self._practice = course
        self._eye = ""
        self._looked: tuple[float, str] = (float("-inf"), "")

    # --- drawing --------------------------------------------------------------------------------

    def on_mount(self) -> None:
        if self._course.session.seq == 1:
            self._tell("A made-up joint: nothing here is a real test. ? shows the keys", "accent")

    def _clock(self, now: float) -> Sequence[ClockRow]:
        session, speed = self._course.session, self._practice.clock.speed
        at = ClockRow(f"{speed:g}x", present.time_of_day(session, now), "dim")
        return [*super()._clock(now), *([] if session.closed else [at])]

    def _draw_caution(self, now: float) -> None:
        if self._eye and self._question is not None and not self._steps():
            self.query_one(Banner).update(self._eye, "accent")
        else:
            super()._draw_caution(now)

    def _text(self, view: str, width: int) -> Sequence[Row]:
        session = self._course.session
        if view == "faults":
            return practice_view.faults()
        if view == "debrief" and (said := debrief(session)) is not None:
            return practice_view.debrief(session, said, width)
        if view == "help":
            ours = [((key, "strong"), (f" {told}", "plain")) for key, told in practice_view.HELP]
            return [*ours, *super()._text(view, width)]
        return super()._text(view, width)

    def _hints(self) -> list[KeyHint]:
        usual = super()._hints()
        if self._question is not None:
            return usual
        if self._course.session.closed:
            return [KeyHint("Tab", "debrief, log, verdict"), *usual[1:]]
        helps = self._course.session.stage in ("prepare", "seal")
        return [*usual[:2], *([KeyHint("y", "do the plain ones")] if helps else []),
                *practice_view.HINTS, *usual[2:]]  # fmt: skip

    # --- keys -----------------------------------------------------------------------------------

    def _pressed(self, event: events.Key) -> None:
        key = named(event)
        if key in ("+", "-"):
            speed = self._practice.faster(+1 if key == "+" else -1)
            self._tell(f"Time runs {speed:g} times as fast", "accent")
        elif self._course.session.closed:
            super()._pressed(event)
        elif key == "y":
            self._tell(self._helped())
        elif key in "nA" and self._ends(key) and not concluded(self._course.session):
            self._begin(_OURS["c"](self._talk, self._practice), "c")
            self._tell("Say first what is wrong with this joint; then end it")
        elif key in _OURS:
            self._begin(_OURS[key](self._talk, self._practice), key)
        else:
            super()._pressed(event)

    def _views(self) -> tuple[str, ...]:
        return ("debrief", "log", "reasons") if self._course.session.closed else super()._views()

    def _helped(self) -> str:
        """The plain checks are done, as far as they can be; what came of it."""
        try:
            count = practising.helped(self._practice)
        except Trouble as trouble:
            return str(trouble)
        finally:
            self.draw()
            self._to_first_open()
        if count:
            return f"{count} records were made for you; what is open is yours"
        if earlier(self._course.session.stage, "fill"):
            return "No plain check is open: what is left tells of the joint, and is yours"
        return "Only in Prepare and Seal are plain checks done for you"

    def _ends(self, key: str) -> bool:
        """The key would close this test, or begin to."""
        return key == "A" or self._course.session.stage == "verdict"

    # --- conversations --------------------------------------------------------------------------

    def _begin(self, conversation: Conversation, name: str, typing: bool = False) -> None:
        self._eye = self._sight(name)
        if name == "c":
            self._show_view("faults")
        super()._begin(conversation, name, typing)

    def _sight(self, name: str) -> str:
        """What stands before the eye where this is asked."""
        session, now = self._course.session, self._course.now()
        looks = {"l": eye.inside, "settle looked_during": eye.inside,
                 "settle looked_at_end": eye.inside, "settle wiped": eye.inside,
                 "e": eye.outside}  # fmt: skip
        if name in looks:
            self._looked = (now, looks[name](session, now))
            return self._looked[1]
        if name == "s":
            fresh = now - self._looked[0] <= _FRESH
            return self._looked[1] if fresh else "Look first: l inside, e outside."
        return eye.check(session, now, name.removeprefix("settle "))

    def _leave_conversation(self) -> None:
        self._eye = ""
        if self._view == "faults":
            self._view = "checks"
        super()._leave_conversation()
        self.draw()

    def _submit(self, command: Command) -> str:
        refusal = super()._submit(command)
        if self._course.session.closed:
            self._view = "debrief"
            self.draw()
        return refusal


_Ours = Callable[[Talk, Practice], Conversation]
_OURS: Final[dict[str, _Ours]] = {
    "f": practising.time_on,
    "e": lambda talk, course: practising.walk_round(talk),
    "S": lambda talk, course: practising.supply(talk),
    "k": lambda talk, course: practising.cock(talk),
    "c": lambda talk, course: practising.conclude(talk),
}
