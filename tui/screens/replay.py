"""The run screen on a past session: read only, on a cursor, with questions where they are asked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar, Final

from textual import events
from textual.app import ComposeResult

from engine.trouble import Trouble
from tui.player import Player
from tui.questions import Answer, Questioned
from tui.screens import replay_view
from tui.screens.following import named
from tui.screens.run import RunScreen
from tui.talk import Conversation, asked
from tui.widgets.banner import Banner
from tui.widgets.keys import KeyHint
from tui.widgets.lines import Lines, Row
from tui.widgets.track import Track


class ReplayScreen(RunScreen):
    """Shows what was shown then; the keys move the cursor, and none of them writes."""

    DEFAULT_CSS = """
    ReplayScreen #state { height: 1; }
    ReplayScreen #entry, ReplayScreen #choices { display: none; }
    ReplayScreen.asking #entry, ReplayScreen.asking #choices { display: block; }
    ReplayScreen.asking #choices { height: 2; }
    ReplayScreen.asking #last { display: none; }
    """
    READ_ONLY: ClassVar = "read only: this is a replay"
    AROUND: ClassVar = 13
    """As many as a question takes, with the line of the whole, so that nothing moves for one."""

    def __init__(self, player: Player, decimal_comma: bool = False, by: str = "") -> None:
        super().__init__(player, decimal_comma)
        self._player, self._by = player, by
        self._shown: Sequence[Answer] = ()
        self._put_off = self._finished = False
        self._told = ""

    def compose(self) -> ComposeResult:
        for widget in super().compose():
            if widget.id == "entry":
                yield Lines(id="state")
                yield Track(id="track")
            yield widget

    # --- drawing --------------------------------------------------------------------------------

    def _tick(self) -> None:
        super()._tick()
        if self.is_active:  # a question behind the plan would be put where nobody sees it
            self._ask_where_due()

    def _draw_moment(self, now: float) -> None:
        super()._draw_moment(now)
        self.query_one("#state", Lines).show([replay_view.state(self._player)])
        self.query_one(Track).update(*replay_view.course(self._player))

    def _needed(self, now: float) -> Row:
        if isinstance(self._player, Questioned) and not self._player.over:
            told = "What is to be done now? That is the question (Enter: go to it)"
            return ((told, "accent strong"),)
        return super()._needed(now)

    def _draw_foot(self, now: float) -> None:
        self.set_class(self._question is not None, "asking")
        super()._draw_foot(now)

    def _draw_caution(self, now: float) -> None:
        said = replay_view.remark(self._player)
        if said:
            self.query_one(Banner).update(f"REMARK by {said}", "accent")
        else:
            super()._draw_caution(now)

    def _text(self, view: str, width: int) -> Sequence[Row]:
        if view == "answer" and isinstance(self._player, Questioned) and self._shown:
            return replay_view.answer(self._player, self._shown[-1], width)
        if view == "result" and isinstance(self._player, Questioned):
            return replay_view.result(self._player, self._told, width)
        if view == "help":
            return [((key, "strong"), (f" {told}", "plain")) for key, told in replay_view.HELP]
        return super()._text(view, width)

    def _hints(self) -> list[KeyHint]:
        if self._question is not None:
            return super()._hints()
        if isinstance(self._player, Questioned) and not self._player.over:
            return [KeyHint("Enter", "next question"), *replay_view.HINTS]
        return list(replay_view.HINTS)

    def _ring(self, now: float) -> None:
        """Nobody waits for a past timer."""

    # --- keys -----------------------------------------------------------------------------------

    def _pressed(self, event: events.Key) -> None:
        key = named(event)
        move = _MOVES.get(event.key) or _MOVES.get(key)
        if move is not None:
            self._said = ("", "plain")
            said = move(self._player)
            self._moved_on()
            if said:
                self._tell(said)
        elif key == "/":
            self._begin(asked.to_time(self._talk, self._player), "time")
        elif key == "r":
            self._begin(asked.remark(self._talk, self._player, self._by), "remark")
        else:
            super()._pressed(event)

    def _settle(self) -> None:
        """Enter goes on to the question, where one stands next."""
        if isinstance(self._player, Questioned) and not self._player.over:
            self._player.to_record(self._player.halt or 1)
            self._moved_on()
        else:
            self._tell(self.READ_ONLY)

    def _moved_on(self) -> None:
        self._put_off = False
        if self._view in ("answer", "result"):
            self._view = "checks"
        self.draw()
        self._to_first_open()
        self._ask_where_due()

    def _leave_conversation(self) -> None:
        super()._leave_conversation()
        player = self._player
        self._put_off = isinstance(player, Questioned) and player.halted
        self.draw()
        if isinstance(player, Questioned) and player.over and not self._finished:
            self._finish(player)

    # --- questions ------------------------------------------------------------------------------

    def _ask_where_due(self) -> None:
        """The question that the cursor stands before; put once, and again with Enter."""
        player = self._player
        if not isinstance(player, Questioned) or not player.halted or self._put_off:
            return
        if not self._dialogue.going_on:
            self._begin(self._questioned(player), "question")

    def _questioned(self, player: Questioned) -> Conversation:
        def show(answer: Answer) -> None:
            self._shown = (*self._shown, answer)
            self._view = "answer"
            self.draw()

        yield from asked.question(self._talk, player, show)
        self._view = "checks"

    def _finish(self, player: Questioned) -> None:
        """The round is over: whose it is, and how it went."""
        self._finished = True
        self._told = "Nothing was kept."
        self._show_view("result")
        if self._by:
            self._keep(self._by)
        elif player.may_keep:
            self._begin(asked.name(self._talk, self._keep), "name")

    def _keep(self, by: str) -> None:
        assert isinstance(self._player, Questioned), "only questions have a result"
        try:
            if self._player.keep(by):
                self._told = f"Kept for {by}."
        except Trouble as trouble:
            self._told = f"Not kept: {trouble}"
        self.draw()


def _seen(player: Player, by: int) -> str:
    way = "before this" if by < 0 else "after this"
    return "" if player.to_seen(by) else f"no sighting or verdict {way}"


_Move = Callable[[Player], str | None]
_MOVES: Final[dict[str, _Move]] = {
    "space": lambda player: player.toggle(),
    "left": lambda player: player.step(-1),
    "right": lambda player: player.step(+1),
    "[": lambda player: player.to_stage(-1),
    "]": lambda player: player.to_stage(+1),
    "-": lambda player: player.faster(-1),
    "+": lambda player: player.faster(+1),
    ",": lambda player: _seen(player, -1),
    ".": lambda player: _seen(player, +1),
}
