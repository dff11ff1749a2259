"""Where failing disks are tried."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture
def memory(tmp_path: Path) -> Iterator[Path]:
    """A folder in memory where there is such a thing: what is tried is the order of the calls.

    On a disk, some file systems wait for it at every rename, thousands of times here.
    """
    shared = Path("/dev/shm")
    place = shared if shared.is_dir() and os.access(shared, os.W_OK) else tmp_path
    with tempfile.TemporaryDirectory(dir=place) as folder:
        yield Path(folder)
