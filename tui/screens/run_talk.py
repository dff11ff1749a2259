"""The conversation a run screen holds, until what was asked for is written down."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from pydantic import ValidationError

from engine.asking.commands import Command
from engine.asking.refusing import unfit
from engine.trouble import Trouble
from tui.course import Course
from tui.screens.run_picture import RunPicture
from tui.talk import Ask, Conversation, Pick, Submit, Talk
from tui.widgets.choices import Choice, Choices
from tui.widgets.entry import Entry

_LONGEST: Final = 400
"""Signs of a line typed here."""


class RunTalk(RunPicture):
    """One question after the other; a refusal goes back into the conversation that asked."""

    def __init__(self, course: Course, decimal_comma: bool = False) -> None:
        super().__init__(course)
        self._talk = Talk(lambda: course.session, course.now, decimal_comma)
        self._refused = False
        self._brought_view = False
        """A question brought a view with it."""

    def _begin(self, conversation: Conversation, name: str, typing: bool = False) -> None:
        self._refused = False
        self._go_on(lambda: self._dialogue.begin(conversation, name, typing))

    def _answer(self, text: str) -> None:
        self._go_on(lambda: self._dialogue.answer(text))

    def _go_on(self, step: Callable[[], Ask | Pick | Submit]) -> None:
        """Until the next question, or the end."""
        try:
            question = step()
            while isinstance(question, Submit):
                question = self._dialogue.answer(self._submit(question.command))
        except ValidationError as error:  # of what was typed no fact can be made
            self._said, self._refused = (str(unfit(error)), "warn"), True
            self._leave_conversation()
        except StopIteration:
            if not self._refused:
                self._dialogue.forget()
            self._leave_conversation()
        else:
            self._put(question)

    def _put(self, question: Ask | Pick) -> None:
        self._dialogue.question = question
        if isinstance(question, Pick) and question.view:
            self._brought_view = True
            self._show_view(question.view)
        entry, choices = self.query_one(Entry), self.query_one(Choices)
        if isinstance(question, Pick):
            entry.close(question.prompt)
            choices.update([Choice(key, label) for key, label in question.choices])
        else:
            choices.update([])
            text, stands = self._dialogue.offered(question)
            entry.ask(question.prompt, question.echo, text, _LONGEST, stands)
            if question.refusal:
                entry.refuse(question.refusal)
        self._draw_moment(self._course.now())

    def _leave_conversation(self) -> None:
        if self._brought_view and not self._course.session.closed:
            self._show_view("checks")
        self._brought_view = False
        self._dialogue.leave()
        self.query_one(Choices).update([])
        self.query_one(Entry).close()
        self._draw_moment(self._course.now())

    def _submit(self, command: Command) -> str:
        """The refusal, empty where it was written down; the screen shows what is on disk."""
        before = self._course.session
        try:
            after = self._course.ask(command)
        except Trouble as trouble:
            self._said, self._refused = (str(trouble), "warn"), True
            return str(trouble)
        self._said, self._refused = ("", "plain"), False
        self._dialogue.forget()
        if after.stage != before.stage or after.closed:
            self._view = "reasons" if after.closed else "checks"
        self.draw()
        self._to_first_open()
        return ""
