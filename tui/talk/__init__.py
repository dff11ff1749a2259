"""Conversations: what a key asks for, question by question, until it is written down.

A conversation is a generator.  It yields a question (`Ask`, `Pick`) and is sent the answer, or
yields `Submit` and is sent the refusal, empty where it was taken.  So it can be held by a screen,
a prompt or a test, and nothing that was typed is lost by a refusal.
"""

from tui.talk.asking import Ask, Conversation, Pick, Question, Submit, Talk

__all__ = ["Ask", "Conversation", "Pick", "Question", "Submit", "Talk"]
