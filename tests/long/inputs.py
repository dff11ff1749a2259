"""Hostile input of every kind, and random keys."""

from __future__ import annotations

import asyncio
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from shutil import rmtree
from typing import Any

from tests.faults import test_untrusted
from tests.hostile import made
from tests.long.counting import Long, Row, Rows
from tests.monkey import Monkey


def fuzz(long: Long) -> Rows:
    tried = turn = 0

    def counted(seed: int, inputs: int, make: Callable[[Random], Any]) -> Iterator[Any]:
        nonlocal tried
        for each in made(seed + 1_000 * turn, inputs, make):
            tried += 1
            yield each

    vars(test_untrusted)["made"] = counted
    cases = [case for name, case in vars(test_untrusted).items() if _draws(name, case)]
    for turn in range(1, 1 + long.times(8)):  # noqa: B007 - `counted` draws by it
        for case in cases:
            takes_folder = "tmp_path" in case.__code__.co_varnames[: case.__code__.co_argcount]
            try:
                case(*([long.fresh()] if takes_folder else []))
            except AssertionError as error:
                if error.__cause__ is not None:  # else only: fewer were refused than usual
                    raise
    yield Row("hostile files, records, plans, quantities", tried, 0)


def _draws(name: str, case: Any) -> bool:
    return name.startswith("test_") and "made" in case.__code__.co_names


def monkey(long: Long) -> Rows:
    keys = records = starts = refused = 0
    before = Path.cwd()
    for seed in range(100, 100 + long.times(30)):
        folder = long.fresh()
        os.chdir(folder)
        score = asyncio.run(Monkey(folder, seed).play(keys=4_000, seconds=25))
        os.chdir(before)
        keys, records = keys + score.keys, records + score.records
        starts, refused = starts + score.starts, refused + score.refused
        rmtree(folder)
    yield Row(f"random keys ({starts} starts, disk full on {refused} screens)", keys, records)
