"""A cursor in a list: where a key leads it, and what of the list is in sight."""

from __future__ import annotations

__all__ = ["goal", "kept", "window"]


def goal(key: str, at: int, count: int, page: int) -> int | None:
    """The place that a key leads to from `at`, `page` rows at a time; None where it leads nowhere.

    Keys: up, down, page up, page down, home, end.
    """
    goals = {
        "up": at - 1,
        "down": at + 1,
        "pageup": at - page,
        "pagedown": at + page,
        "home": 0,
        "end": count - 1,
    }
    return kept(goals[key], count) if key in goals else None


def kept(place: int, count: int) -> int:
    """`place`, or the end of the list that is nearest to it; 0 where there is nothing."""
    return max(0, min(place, count - 1))


def window(count: int, height: int, at: int, top: int) -> tuple[int, int]:
    """The rows [first, last) in sight: all, or one fewer than fit and a row that says so.

    They stay where they were (`top`) as long as the cursor is among them.
    """
    if count <= height:
        return 0, count
    body = max(1, height - 1)
    first = min(max(top, at - body + 1), at, count - body)
    return first, first + body
