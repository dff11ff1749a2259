"""A screen that holds a conversation: on a line, with keys, or on a list found by typing.

    self.begin(opening.new_test(bench), self._opened)     # what the conversation returned
    if self.route(event): return                          # from on_key, while one goes on

Nothing that was typed goes by a refusal.  Loads no engine by itself.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable
from typing import TYPE_CHECKING, Any

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen
from textual.widget import Widget

from tui.screens.dialogue import Dialogue
from tui.screens.following import named
from tui.widgets.choices import Choice, Choices
from tui.widgets.entry import Entry
from tui.widgets.keys import KeyHint, Keys
from tui.widgets.lines import Lines, Row
from tui.widgets.picker import Picker

if TYPE_CHECKING:
    from tui.talk.opening import Named

_LIMIT = 400


class Conversing(Screen[None]):
    """What is asked stands at the foot; what can be found, in place of `main()`."""

    AUTO_FOCUS = ""
    DEFAULT_CSS = """
    Conversing { layout: vertical; }
    Conversing #head { height: 2; }
    Conversing #found { height: 1fr; display: none; }
    Conversing.finding #found { display: block; }
    Conversing.finding .main { display: none; }
    Conversing #faults { height: 0; max-height: 12; }
    Conversing Choices { height: auto; max-height: 2; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._dialogue = Dialogue()
        self._done: Callable[[Any], None] = lambda result: None

    # --- what a screen has beside it ------------------------------------------------------------

    def main(self) -> Iterable[Widget]:
        """What is shown while nothing is looked for."""
        return ()

    def hints(self) -> Iterable[KeyHint]:
        """The keys, while nothing is asked."""
        return ()

    def said(self) -> str:
        """What stands on the line while nothing is asked."""
        return ""

    def compose(self) -> ComposeResult:
        yield Lines(id="head")
        for widget in self.main():
            widget.add_class("main")
            yield widget
        yield Picker(id="found")
        yield Lines(id="faults")
        yield Entry(id="entry")
        yield Choices(id="choices")
        yield Keys(id="keys")

    # --- the conversation -----------------------------------------------------------------------

    @property
    def _question(self) -> Any:
        return self._dialogue.question

    @property
    def asked(self) -> bool:
        return self._question is not None

    def begin(
        self, conversation: Generator[Any, str, Any], done: Callable[[Any], None], about: str = ""
    ) -> None:
        """`about` tells it from others of its kind: what was typed for one is not for another."""
        self._done = done
        name = f"{getattr(conversation, '__name__', '')} {about}"
        self._go_on(lambda: self._dialogue.begin(conversation, name))

    def answer(self, text: str) -> None:
        if self.asked:
            self._go_on(lambda: self._dialogue.answer(text))

    def _go_on(self, step: Callable[[], Any]) -> None:
        from engine.trouble import Trouble

        try:
            question = step()
        except StopIteration as end:
            self._dialogue.forget()
            self.leave()
            self._done(end.value)
        except Trouble as trouble:
            self.leave(str(trouble))
        else:
            self._put(question)

    def _put(self, question: Any) -> None:
        from tui.talk.asking import Pick
        from tui.talk.opening import Find, Show

        self._dialogue.question = question
        entry, choices = self.query_one(Entry), self.query_one(Choices)
        self.set_class(isinstance(question, Find), "finding")
        choices.update([])
        if isinstance(question, Show):
            self._show_plan(question)
            return
        if isinstance(question, Pick):
            entry.close(question.prompt)
            choices.update([Choice(key, label) for key, label in question.choices])
        else:
            echo = None if isinstance(question, Find) else question.echo
            text, stands = self._dialogue.offered(question)
            entry.ask(question.prompt, echo, text, _LIMIT, stands)
            self._refused(question.refusal)
        if isinstance(question, Find):
            self._filter()
        self.query_one(Keys).update(self._answering())

    def _answering(self) -> Iterable[KeyHint]:
        from tui.talk.asking import Pick
        from tui.talk.opening import Find

        if isinstance(self._question, Pick):
            return [KeyHint("Esc", "leave the question")]
        if isinstance(self._question, Find) and self._question.names:
            return [KeyHint("Enter", "take it"), KeyHint("Up Down", "choose"),
                    KeyHint("type", "to find"), KeyHint("Esc", "leave it")]  # fmt: skip
        return [KeyHint("Enter", "take it"), KeyHint("Esc", "leave it")]

    def _refused(self, text: str) -> None:
        """All of it above the line, which keeps what was typed."""
        lines = text.splitlines()
        self.faults(text if len(lines) > 1 else "")
        if text:
            count = f"{len(lines)} things to mend, listed above"
            self.query_one(Entry).refuse(count if len(lines) > 1 else text)

    def faults(self, text: str) -> None:
        """What is wrong, a line each, above the line that is typed on."""
        lines = text.splitlines() if text else []
        box = self.query_one("#faults", Lines)
        box.styles.height = min(12, len(lines))
        box.show([((f"! {line}", "warn"),) for line in lines])

    def leave(self, why: str = "") -> None:
        """Nothing is asked any more; `why` is said where it ended for want of something."""
        self._dialogue.leave()
        self.remove_class("finding")
        self.query_one(Choices).update([])
        self.faults(why if len(why.splitlines()) > 1 else "")
        self.query_one(Entry).close(why.splitlines()[0] if why else self.said())
        self.query_one(Keys).update(self.hints())

    def _show_plan(self, question: Any) -> None:
        from tui.screens.plan import PlanScreen

        self.query_one(Entry).close()

        def told(start: bool | None) -> None:
            self.answer("start" if start else "")

        self.app.push_screen(PlanScreen(question.plan, question.on, may_start=True), told)

    # --- keys -----------------------------------------------------------------------------------

    def route(self, event: events.Key) -> bool:
        """The key went to the conversation; False while none goes on."""
        from tui.talk.asking import Pick
        from tui.talk.opening import Find

        if self._question is None:
            return False
        if isinstance(self._question, Pick):
            key = named(event)
            if event.key == "escape":
                self.leave()
            elif key in dict(self._question.choices):
                self.answer(key)
        elif isinstance(self._question, Find):
            if not self._in_list(event):
                self._type(event)
                self._filter()
        else:
            self._type(event)
        return True

    def _type(self, event: events.Key) -> None:
        """Enter and Esc at once: a message would come after the keys that are behind them."""
        entry = self.query_one(Entry)
        if not entry.is_open:
            return
        if event.key == "enter":
            self._given(entry.text)
        elif event.key == "escape":
            self._dialogue.remember(entry.text)
            self.leave()
        else:
            entry.take(event)

    def _in_list(self, event: events.Key) -> bool:
        """Left, right, home and end are the line's, the others the list's."""
        moves = event.key in ("up", "down", "pageup", "pagedown")
        return moves and self.query_one("#found", Picker).take(event)

    def _filter(self) -> None:
        from tui.talk.opening import Find, matching

        found = self.query_one("#found", Picker)
        entry, question = self.query_one(Entry), self._question
        if not isinstance(question, Find):
            return
        names = matching(question.names, entry.text)
        nothing = "None of them. " if question.names else ""
        free = f"{nothing}Type {question.free}." if question.free else "None of them."
        found.update(names, _named, free)

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        self.query_one(Entry).paste(event.text)
        if self.has_class("finding"):
            self._filter()
        self.pasted()

    def pasted(self) -> None:
        """Text came in one piece.  (A handler of a screen's own would be called beside this one's,
        and the text would stand there twice.)"""

    def _given(self, text: str) -> None:
        self._dialogue.remember(text)
        found = self.query_one("#found", Picker).chosen if self.has_class("finding") else None
        typed = text.strip()
        if found is not None and not _is_path(typed):
            self.answer(found.name)
        elif self.has_class("finding") and not self._question.free:
            self.query_one(Entry).refuse(f"{typed[:30]!r} is none of them")
        else:
            self.answer(text)


def _is_path(text: str) -> bool:
    return "/" in text or text.endswith(".toml")


def _named(name: Named) -> Row:
    return ((f"{name.name:<46.46} ", "plain"), (name.aside, "dim"))
