"""What is counted, and what there is to try it on."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count
from pathlib import Path
from shutil import copytree
from typing import Final, NamedTuple

from tests.conducting import conduct

__all__ = ["START", "Long", "Row", "Rows"]

START: Final = 30.0


class Row(NamedTuple):
    """One kind of fault."""

    kind: str
    tried: int
    acknowledged: int
    lost: int = 0


Rows = Iterator[Row]


class Long:
    """A folder in memory, one on the disk, a conducted test to copy, and how much of it to do."""

    def __init__(self, memory: Path, folder: Path, share: float) -> None:
        self.memory, self.folder, self.share = memory, folder, share
        self._numbers = count(1)
        self._conducted: Path | None = None

    def times(self, whole: int) -> int:
        return max(1, round(whole * self.share))

    def fresh(self, within: Path | None = None) -> Path:
        """An empty folder."""
        made = (within or self.memory) / f"n{next(self._numbers)}"
        made.mkdir()
        return made

    def store(self) -> Path:
        """A store with one test in its hold, that nobody has open."""
        if self._conducted is None:
            self._conducted = conduct(self.fresh(self.folder))
        return Path(copytree(self._conducted, self.fresh(self.folder) / "store"))
