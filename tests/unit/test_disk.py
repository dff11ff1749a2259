"""The store's folder: on the disk with everything above it, and usable wherever it lies."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

from store.disk import Calls, Disk


class Watched(Calls):
    """Keeps which folders were synced, and what was in them then."""

    def __init__(self) -> None:
        self.synced: dict[int, set[str]] = {}

    def sync(self, file: int) -> None:
        at = os.fstat(file)
        if stat.S_ISDIR(at.st_mode):
            self.synced[at.st_ino] = set(os.listdir(file))


class Secret(Calls):
    """One folder may be gone through and not looked into."""

    def __init__(self, folder: Path) -> None:
        self._folder = str(folder)

    def open(self, name: str, flags: int, folder: int | None = None) -> int:
        if name == self._folder:
            raise PermissionError(errno.EACCES, "no")
        return super().open(name, flags, folder)


def test_every_folder_that_was_made_for_the_store_is_synced(tmp_path: Path) -> None:
    """A record in a folder whose own name the disk has forgotten is lost."""
    calls, root = Watched(), tmp_path / "share" / "holdwater" / "store"
    Disk(root, calls).replace("live/a-1.journal", b"x")
    for folder in (root, *root.parents[:2]):
        assert folder.name in calls.synced[folder.parent.stat().st_ino], folder


def test_a_store_in_a_folder_that_cannot_be_looked_into_is_used_all_the_same(
    tmp_path: Path,
) -> None:
    root = tmp_path / "closed" / "store"
    root.mkdir(parents=True)
    disk = Disk(root, Secret(root.parent))
    disk.ready()
    disk.replace("live/a-1.journal", b"x")
    assert disk.read("live/a-1.journal") == b"x"
