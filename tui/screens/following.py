"""Keys as they come: what each is called, and the screen it is for."""

from __future__ import annotations

from typing import Any

from textual import events
from textual.screen import Screen

__all__ = ["follow", "named"]


def named(event: events.Key) -> str:
    """The sign that was typed, or the name of a key that types none."""
    sign = event.character
    return sign if sign is not None and sign.isprintable() else event.key


def follow(behind: Screen[Any], event: events.Key) -> None:
    """The key goes to the screen that has come in the place of the one it was sent to.

    Ask `is_active` first: `is_current` is true of the screen behind the one in front as well.
    """
    if behind.app.screen is not behind:
        behind.app.screen.post_message(events.Key(event.key, event.character))
