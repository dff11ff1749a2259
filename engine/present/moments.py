"""Moments of a session as the wall clock showed them."""

from __future__ import annotations

from bisect import bisect_right
from datetime import datetime, timedelta

from engine.session import Session


def wall(session: Session, t: float) -> datetime | None:
    """What the wall clock said at a moment of the session."""
    if not session.records:
        return None
    place = max(bisect_right(session.times, t) - 1, 0)
    return session.records[place].at + timedelta(seconds=t - session.times[place])


def day_and_time(at: datetime) -> str:
    """To the minute, as a clock on that wall showed it."""
    return f"{at:%Y-%m-%d %H:%M}"


def time_of_day(session: Session, t: float) -> str:
    at = wall(session, t)
    return f"{at:%H:%M:%S}" if at else ""
