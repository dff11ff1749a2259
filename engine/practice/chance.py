"""Chance that is no chance: numbers that follow from a seed, a channel and a bucket of time."""

from __future__ import annotations

from hashlib import blake2b
from statistics import NormalDist

_NORMAL = NormalDist()


def even(seed: int, channel: str, bucket: int = 0) -> float:
    """A number in 0 <= x < 1, evenly spread; the same for the same arguments, always."""
    said = f"{seed}/{channel}/{bucket}".encode()
    return int.from_bytes(blake2b(said, digest_size=7).digest(), "big") / 2.0**56


def between(seed: int, channel: str, low: float, high: float) -> float:
    """A number from `low` to `high`, drawn once for a seed and a channel."""
    return low + (high - low) * even(seed, channel)


def normal(seed: int, channel: str, bucket: int = 0) -> float:
    """A number from the standard normal distribution, no further out than four deviations."""
    return _NORMAL.inv_cdf(min(max(even(seed, channel, bucket), 3.2e-5), 1.0 - 3.2e-5))
