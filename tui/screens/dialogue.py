"""A conversation that a screen holds: its question, and what was typed and came to nothing yet.

    question = dialogue.begin(talk.new_test(bench), "new_test")
    text, stands = dialogue.offered(question)
    entry.ask(question.prompt, question.echo, text, stands=stands)
    question = dialogue.answer(text)   # StopIteration at its end, with what came of it

A text that was typed stands there again when the same is asked in the same conversation, whether
that ended by a refusal, by Esc, or because the disk said no.  Loads no engine.
"""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

__all__ = ["Dialogue"]


class Dialogue:
    """One conversation at a time; what was typed is kept until `forget`."""

    def __init__(self) -> None:
        self.question: Any = None
        """What is asked now; the screen says so when it has put it."""
        self._conversation: Generator[Any, str, Any] | None = None
        self._name = ""
        self._typing = False
        self._typed: dict[str, dict[str, str]] = {}

    @property
    def going_on(self) -> bool:
        return self._conversation is not None

    def begin(self, conversation: Generator[Any, str, Any], name: str, typing: bool = False) -> Any:
        """The first question.  Conversations of one `name` are about the same thing; `typing`
        where a key that was pressed is the first sign of its answer."""
        self._conversation, self._name, self.question = conversation, name, None
        self._typing = typing
        return next(conversation)

    def answer(self, text: str) -> Any:
        """What follows on `text`: the next question.  Raises StopIteration at the end."""
        assert self._conversation is not None, "nothing is asked"
        self.question, self._typing = None, False
        return self._conversation.send(text)

    def remember(self, text: str) -> None:
        """`text` was typed for the question."""
        self._typed.setdefault(self._name, {})[self.question.prompt] = text

    def offered(self, question: Any) -> tuple[str, bool]:
        """What is on the line already, and whether a sign typed takes its place.

        A text from before, a refused one included, stands there; what is being typed just now, or
        is written in sentences, is gone on with.
        """
        known = self._typed.get(self._name, {})
        text = str(question.text or known.get(question.prompt, ""))
        return text, not self._typing and not question.prose

    def forget(self) -> None:
        """Something came of what was typed."""
        self._typed.pop(self._name, None)

    def leave(self) -> None:
        """Nothing is asked any more; what was typed is kept."""
        conversation, self._conversation, self.question = self._conversation, None, None
        if conversation is not None:
            conversation.close()
