"""Thousands of random keys in bursts: no crash, no record lost, nothing shown that is not kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.monkey import Monkey


async def test_whatever_is_pressed_the_records_are_whole(
    memory: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(memory)
    score = await Monkey(memory, seed=1).play(keys=2_500, seconds=8)
    assert score.keys > 100 and len(score.screens) >= 3
