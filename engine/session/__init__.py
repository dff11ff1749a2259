"""A session is the fold of its records.  There is no other state."""

from engine.session.session import Session, evolve, fold

__all__ = ["Session", "evolve", "fold"]
