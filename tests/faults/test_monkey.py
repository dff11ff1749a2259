"""Thousands of random keys in bursts: no crash, no record lost, nothing shown that is not kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.monkey import Monkey


@pytest.mark.parametrize("seed", [1, 2])
async def test_whatever_is_pressed_the_records_are_whole(
    memory: Path, monkeypatch: pytest.MonkeyPatch, seed: int
) -> None:
    monkeypatch.chdir(memory)
    score = await Monkey(memory, seed).play(keys=2000, seconds=6)
    assert score.keys > 100 and len(score.screens) >= 3
