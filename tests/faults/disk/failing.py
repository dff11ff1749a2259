"""Operating systems that fail on purpose, and one whose machine loses its power."""

from __future__ import annotations

import errno
import os
import stat
from dataclasses import dataclass, field
from pathlib import Path
from typing import ClassVar, NamedTuple

from store.disk import Calls


class Plan(NamedTuple):
    """Which call fails, with what, and whether all later ones do too.

    half  a write that fails has first written half of what it was given
    """

    at: int
    error: int = errno.ENOSPC
    forever: bool = False
    half: bool = False


class FailingDisk(Calls):
    """Fails as planned, from the n-th call on; syncing is counted but not waited for."""

    tried: ClassVar[int] = 0
    """How many such disks there were."""

    def __init__(self, plan: Plan) -> None:
        FailingDisk.tried += 1
        self._plan = plan
        self.calls = 0

    @property
    def failed(self) -> bool:
        return self.calls >= self._plan.at

    def _count(self) -> None:
        self.calls += 1
        if self._due():
            raise OSError(self._plan.error, os.strerror(self._plan.error))

    def _due(self) -> bool:
        return self.calls == self._plan.at or (self._plan.forever and self.calls > self._plan.at)

    def open(self, name: str, flags: int, folder: int | None = None) -> int:
        self._count()
        return super().open(name, flags, folder)

    def read(self, file: int, size: int) -> bytes:
        self._count()
        return super().read(file, size)

    def write(self, file: int, data: bytes) -> int:
        if self._plan.half and self.calls + 1 == self._plan.at:
            super().write(file, data[: len(data) // 2])
        self._count()
        return super().write(file, data)

    def sync(self, file: int) -> None:
        self._count()

    def truncate(self, file: int, length: int) -> None:
        self._count()
        super().truncate(file, length)

    def rename(self, old: str, new: str, folder: int) -> None:
        self._count()
        super().rename(old, new, folder)

    def unlink(self, name: str, folder: int) -> None:
        self._count()
        super().unlink(name, folder)

    def mkdir(self, name: str, folder: int) -> None:
        self._count()
        super().mkdir(name, folder)

    def lock(self, file: int) -> None:
        self._count()
        super().lock(file)


class Broken(Calls):
    """Whichever calls are named in `broken` fail for as long as they are."""

    def __init__(self) -> None:
        self.broken: set[str] = set()

    def _try(self, call: str) -> None:
        if call in self.broken:
            raise OSError(errno.EIO, os.strerror(errno.EIO))

    def sync(self, file: int) -> None:
        self._try("sync")

    def truncate(self, file: int, length: int) -> None:
        self._try("truncate")
        super().truncate(file, length)

    def unlink(self, name: str, folder: int) -> None:
        os.stat(name, dir_fd=folder)
        self._try("unlink")
        super().unlink(name, folder)


class Stingy(Calls):
    """Takes a few bytes at a time, as an operating system may."""

    def write(self, file: int, data: bytes) -> int:
        return super().write(file, data[:7])

    def read(self, file: int, size: int) -> bytes:
        return super().read(file, min(size, 11))

    def sync(self, file: int) -> None:
        pass


@dataclass
class _Synced:
    """What a disk without power holds: contents by file, names by folder, each as last synced."""

    contents: dict[int, bytes] = field(default_factory=dict)
    names: dict[int, dict[str, int]] = field(default_factory=dict)


class PowerCut(FailingDisk):
    """From the n-th call on nothing works; then `left` tells what a cautious disk still holds."""

    def __init__(self, at: int) -> None:
        super().__init__(Plan(at, errno.EIO, forever=True))
        self._synced = _Synced()
        # Held open, so that no number of a file that is gone is given to a new one.
        self._held: list[int] = []

    def open(self, name: str, flags: int, folder: int | None = None) -> int:
        file = super().open(name, flags, folder)
        if flags & os.O_CREAT:
            # Opened anew: a duplicate would share, and so keep, a lock.
            self._held.append(os.open(f"/proc/self/fd/{file}", os.O_RDONLY))
        return file

    def sync(self, file: int) -> None:
        super().sync(file)
        at = os.fstat(file)
        if stat.S_ISDIR(at.st_mode):
            with os.scandir(file) as entries:
                self._synced.names[at.st_ino] = {entry.name: entry.inode() for entry in entries}
        else:
            self._synced.contents[at.st_ino] = Path(f"/proc/self/fd/{file}").read_bytes()

    def restart(self) -> None:
        """The program died, the machine did not: everything works again for the next one."""
        self._plan = Plan(0)

    def left(self, root: Path, to: Path, *, names: bool) -> None:
        """What is left of the folder `root`, at `to`.

        Contents are those last synced.  `names`: the folders' entries made it to the disk even
        where they were not synced; else they too are those last synced.
        """
        for file in self._held:
            os.close(file)
        above = self._synced.names.get(root.parent.stat().st_ino, {})
        if names or root.name in above:
            self._restore(root, to, names)

    def _restore(self, folder: Path, to: Path, names: bool) -> None:
        to.mkdir()
        if not folder.exists():
            return
        now = {path.name: path.stat().st_ino for path in folder.iterdir()}
        then = now if names else self._synced.names.get(folder.stat().st_ino, {})
        for name, inode in then.items():
            if (folder / name).is_dir():
                self._restore(folder / name, to / name, names)
            else:
                (to / name).write_bytes(self._synced.contents.get(inode, b""))
