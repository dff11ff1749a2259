"""Which processes are left of something a test started, found by a mark in their environment."""

from __future__ import annotations

import time
from pathlib import Path

__all__ = ["all_gone", "marked"]


def marked(mark: str) -> set[int]:
    """Living processes with that text in their environment (Linux); zombies do not count."""
    found = set()
    for process in Path("/proc").glob("[0-9]*"):
        try:
            environment = (process / "environ").read_bytes()
            state = (process / "stat").read_text().rpartition(")")[2].split()[0]
        except OSError:  # ended meanwhile, or another person's
            continue
        if mark.encode() in environment and state != "Z":
            found.add(int(process.name))
    return found


def all_gone(mark: str, timeout: float = 10.0) -> bool:
    """No marked process lives, at the latest after the timeout."""
    until = time.monotonic() + timeout
    while marked(mark):
        if time.monotonic() > until:
            return False
    return True
