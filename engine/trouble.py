"""What goes wrong in a way that people are told about."""

from __future__ import annotations


class Trouble(Exception):  # noqa: N818 - the base of refusals, faults of the disk, bad plans
    """Its text is one line for people (a bad plan: one line a fault)."""


class InHand(Trouble):
    """Another program writes it, so that it can only be watched."""


class Unsound(Trouble):
    """It is not what was written; what stands before the damage can be looked at."""
