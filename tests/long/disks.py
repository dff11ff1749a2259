"""Disks that fail at every call in turn, once, for ever, while recovering, or with the power."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from tests.faults.disk import test_failing_disk as failing
from tests.faults.disk.failing import FailingDisk
from tests.faults.disk.life import Life
from tests.long.counting import Long, Row, Rows


def disks(long: Long) -> Rows:
    for kind, cases in _cases().items():
        before = FailingDisk.tried, Life.checked
        for case in cases:
            case(long.fresh())
        yield Row(kind, FailingDisk.tried - before[0], Life.checked - before[1])


def _cases() -> dict[str, list[Callable[[Path], None]]]:
    once = failing.test_a_call_that_fails_once_loses_nothing_and_leaves_nothing_over
    forever = failing.test_a_disk_that_fails_for_ever_keeps_what_was_acknowledged
    power = failing.test_power_lost_at_any_call_keeps_what_was_acknowledged
    crash = failing.test_what_the_next_program_shows_outlives_the_power
    recovering = failing.test_failing_while_recovering_loses_nothing_either
    every = failing.ONCE + failing.FOREVER
    return {
        "disk fails at the n-th call, once": [partial(once, plan=p) for p in failing.ONCE],
        "disk fails from the n-th call on": [partial(forever, plan=p) for p in failing.FOREVER],
        "power lost at the n-th call": [partial(power, names=n) for n in failing.NAMES],
        "power lost after another's crash": [partial(crash, names=n) for n in failing.NAMES],
        "disk fails while recovering": [partial(recovering, plan=p) for p in every],
    }
