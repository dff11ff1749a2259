"""What an app under test shows, as lines of text and as the styles of its cells."""

from __future__ import annotations

from rich.style import Style
from textual.app import App

__all__ = ["picture", "styles"]


def picture(app: App[None]) -> list[str]:
    """The rows from the top, without the blanks at their ends."""
    strips = app.screen._compositor.render_strips()
    return ["".join(segment.text for segment in strip).rstrip() for strip in strips]


def styles(app: App[None]) -> set[Style]:
    """Every style on the screen."""
    strips = app.screen._compositor.render_strips()
    return {segment.style for strip in strips for segment in strip if segment.style is not None}
