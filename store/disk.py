"""The one place where bytes are written, so that what is said to be written is on the disk."""

from __future__ import annotations

import errno
import fcntl
import os
import re
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import TracebackType
from typing import Final, NamedTuple, Self

from store.faults import Changed, Fault, InUse, NotRead, NotWritten

LARGEST: Final = 1 << 28
"""Bytes: no file of the store is read beyond this."""

_PART: Final = re.compile(r"[a-z0-9][a-z0-9.-]{0,99}")
_WHY: Final = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk quota is used up",
    errno.EROFS: "the disk is read-only",
    errno.EACCES: "this user has no permission",
    errno.EPERM: "this user has no permission",
    errno.EIO: "the disk reports an error",
    errno.ENXIO: "something else stands where a file of the store should",
    errno.EISDIR: "a folder stands where a file of the store should",
    errno.ELOOP: "a link stands where a file of the store should",
    errno.ENOTDIR: "something else stands where a folder of the store should",
    errno.EEXIST: "something else stands where a folder of the store should",
    errno.EMFILE: "too many files are open",
    errno.EFBIG: "the file is larger than the disk allows",
}


def is_name(text: str) -> bool:
    """A file of the store may be called so."""
    return _PART.fullmatch(text) is not None


class Mark(NamedTuple):
    """Differs whenever a file may have changed."""

    inode: int
    changed: int
    size: int


class Calls:
    """What is asked of the operating system, one method a call, so that each can be made to fail.

    `folder` is an open folder that names are looked up in; links are never followed.
    """

    def open(self, name: str, flags: int, folder: int | None = None) -> int:
        links = 0 if folder is None else os.O_NOFOLLOW
        file = os.open(name, flags | links | os.O_CLOEXEC, 0o600, dir_fd=folder)
        if flags & os.O_CREAT and stat.S_IMODE(os.fstat(file).st_mode) & 0o600 != 0o600:
            os.fchmod(file, 0o600)  # a mask took from its owner what was just made
        return file

    def read(self, file: int, size: int) -> bytes:
        return os.read(file, size)

    def write(self, file: int, data: bytes) -> int:
        return os.write(file, data)

    def sync(self, file: int) -> None:
        os.fsync(file)

    def truncate(self, file: int, length: int) -> None:
        os.ftruncate(file, length)

    def rename(self, old: str, new: str, folder: int) -> None:
        os.rename(old, new, src_dir_fd=folder, dst_dir_fd=folder)

    def unlink(self, name: str, folder: int) -> None:
        os.unlink(name, dir_fd=folder)

    def mkdir(self, name: str, folder: int) -> None:
        os.mkdir(name, 0o700, dir_fd=folder)
        os.chmod(name, 0o700, dir_fd=folder)  # whatever the mask

    def lock(self, file: int) -> None:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


@contextmanager
def _telling(kind: type[Fault], before: str) -> Iterator[None]:
    """Whatever the operating system refuses becomes one line of `kind`."""
    try:
        yield
    except OSError as error:
        why = _WHY.get(error.errno or 0) or os.strerror(error.errno or 0)
        raise kind(f"{before}: {why}") from error


class Lock:
    """Held until released, or until its process is gone in whatever way."""

    def __init__(self, disk: Disk, name: str, file: int) -> None:
        self._disk = disk
        self._name = name
        self._file: int | None = file

    def release(self, *, last: bool = False) -> None:
        """`last`: nobody will need this lock again, so its file goes too."""
        if self._file is None:
            return
        if last:
            with suppress(Fault):
                self._disk.remove(self._name)
        os.close(self._file)
        self._file = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        self.release()


class Disk:
    """The store's folder.  Names are `file` or `folder/file`, of small letters, digits, `-`, `.`.

    Folders are made as they are needed, for their owner only.  Raises NotWritten or NotRead.
    """

    def __init__(self, root: Path, calls: Calls | None = None) -> None:
        self.root = root
        self._calls = calls or Calls()
        self._made: set[str] = set()

    def ready(self) -> None:
        """The folder is there and can be looked into.  Raises NotWritten, NotRead."""
        with _telling(NotWritten, "the store's folder cannot be made"):
            os.close(self._root(make=True))
        with _telling(NotRead, "the store's folder cannot be read"):
            for _ in self.root.iterdir():
                break

    # --- reading ---

    def read(self, name: str, start: int = 0) -> bytes | None:
        """The bytes from `start` on; None where there is no such file."""
        with _telling(NotRead, f"{name} could not be read"):
            try:
                with self._file(name, os.O_RDONLY) as file:
                    return self._all(file, name, start)
            except FileNotFoundError:
                return None

    def mark(self, name: str) -> Mark | None:
        """None where there is no such file."""
        with _telling(NotRead, f"{name} could not be read"):
            try:
                with self._folder(name) as (folder, last):
                    at = os.stat(last, dir_fd=folder, follow_symlinks=False)
            except FileNotFoundError:
                return None
        return Mark(at.st_ino, at.st_mtime_ns, at.st_size)

    def names(self, folder: str) -> list[str]:
        """What the folder holds, in order of names."""
        with _telling(NotRead, f"{folder} could not be read"):
            try:
                with self._folder(f"{folder}/any") as (opened, _), os.scandir(opened) as entries:
                    return sorted(entry.name for entry in entries)
            except FileNotFoundError:
                return []

    def _all(self, file: int, name: str, start: int) -> bytes:
        at = os.fstat(file)
        if not stat.S_ISREG(at.st_mode):
            raise NotRead(f"{name} could not be read: something else stands where a file should")
        os.lseek(file, start, os.SEEK_SET)
        parts: list[bytes] = []
        size = at.st_size
        while size <= LARGEST:
            part = self._calls.read(file, max(at.st_size - start, 0) + 4096)
            if not part:
                return b"".join(parts)
            parts.append(part)
            size = sum(map(len, parts))  # it may grow meanwhile, and never come to an end
        raise NotRead(f"{name} could not be read: larger than {LARGEST >> 20} MiB")

    # --- writing ---

    def append(self, name: str, data: bytes, at: int) -> None:
        """`data` is on the disk behind the first `at` bytes, which were all there was.

        After NotWritten any part of `data` may be in the file, on the disk or not.
        """
        with (
            _telling(NotWritten, "not written down"),
            self._file(name, os.O_WRONLY | os.O_APPEND) as file,
        ):
            if os.fstat(file).st_size != at:
                raise Changed("not written down: another program changed the file")
            self._write(file, data)

    def settle(self, name: str, length: int | None = None) -> None:
        """The file, cut off after `length` bytes where that is given, and its name are on the disk.

        For what another program may have written and died before it came to syncing.
        """
        with _telling(NotWritten, "not written down"):
            with self._file(name, os.O_WRONLY) as file:
                if length is not None:
                    self._calls.truncate(file, length)
                self._calls.sync(file)
            with self._folder(name) as (folder, _):
                self._calls.sync(folder)

    def replace(self, name: str, data: bytes, keep: str | None = None) -> None:
        """The file holds `data`; whoever opens it at any moment finds the old or the new, whole.

        With `keep`, the old file stays under that name; then, between the two renames, there is
        a moment when it is to be found only there.
        """
        with _telling(NotWritten, "not written down"), self._folder(name, make=True) as opened:
            folder, last = opened
            fresh = f"{last}.tmp"
            try:
                self._fresh(fresh, data, folder)
                if keep is not None:
                    with suppress(FileNotFoundError):
                        self._calls.rename(last, keep.rpartition("/")[2], folder)
                self._calls.rename(fresh, last, folder)
            except OSError:
                with suppress(OSError):
                    self._calls.unlink(fresh, folder)
                raise
            self._calls.sync(folder)

    def remove(self, name: str) -> None:
        """There is no such file."""
        with (
            _telling(NotWritten, "not removed"),
            suppress(FileNotFoundError),
            self._folder(name) as (folder, last),
        ):
            self._calls.unlink(last, folder)
            self._calls.sync(folder)

    def lock(self, name: str, wait: float = 0.0) -> Lock:
        """Nobody else holds this lock; InUse where somebody does for longer than `wait` seconds."""
        until = time.monotonic() + wait
        while True:
            with _telling(NotWritten, f"{name} could not be opened for writing"):
                file = self._locked(name)
            if file is not None:
                return Lock(self, name, file)
            if time.monotonic() >= until:
                raise InUse("another program is writing to it")
            time.sleep(0.01)

    def _locked(self, name: str) -> int | None:
        with self._folder(name, make=True) as (folder, last):
            file = self._calls.open(last, os.O_RDWR | os.O_CREAT, folder)
            try:
                self._calls.lock(file)
                # Its last holder may have removed the file between the two calls: then this is
                # a lock on nothing, which the next to come would not meet.
                if os.stat(last, dir_fd=folder).st_ino == os.fstat(file).st_ino:
                    return file
            except (BlockingIOError, FileNotFoundError):
                pass
            except BaseException:
                os.close(file)
                raise
            os.close(file)
            return None

    def _fresh(self, name: str, data: bytes, folder: int) -> None:
        with suppress(FileNotFoundError):  # what a program that died here left behind
            self._calls.unlink(name, folder)
        file = self._calls.open(name, os.O_WRONLY | os.O_CREAT | os.O_EXCL, folder)
        try:
            self._write(file, data)
        finally:
            os.close(file)

    def _write(self, file: int, data: bytes) -> None:
        rest = memoryview(data)
        while rest:
            rest = rest[self._calls.write(file, bytes(rest)) :]
        self._calls.sync(file)

    # --- finding ---

    @contextmanager
    def _file(self, name: str, flags: int) -> Iterator[int]:
        with self._folder(name) as (folder, last):
            file = self._calls.open(last, flags | os.O_NONBLOCK, folder)  # no pipe is waited for
        try:
            yield file
        finally:
            os.close(file)

    @contextmanager
    def _folder(self, name: str, make: bool = False) -> Iterator[tuple[int, str]]:
        """The open folder that holds `name`, and the last part of the name."""
        *within, last = name.split("/")
        if len(within) > 1 or not all(map(is_name, (*within, last))):
            raise ValueError(f"not a name in the store: {name!r}")
        folder = self._root(make)
        try:
            for part in within:
                inner = self._inside(folder, part, make)
                os.close(folder)
                folder = inner
            yield folder, last
        finally:
            os.close(folder)

    def _root(self, make: bool) -> int:
        if make and "" not in self._made:
            missing = [each for each in (self.root, *self.root.parents) if not each.exists()]
            self.root.mkdir(mode=0o700, parents=True, exist_ok=True)
            if missing:
                self.root.chmod(0o700)  # whatever the mask
            for made in missing:
                self._sync_above(made)
            if not missing:
                # Whoever made it may not have come to this.  Where the folder above is not ours
                # to look into, somebody else made it, and saw to it.
                with suppress(PermissionError):
                    self._sync_above(self.root)
            self._made.add("")
        return self._calls.open(str(self.root), os.O_RDONLY | os.O_DIRECTORY)

    def _sync_above(self, folder: Path) -> None:
        above = self._calls.open(str(folder.parent), os.O_RDONLY | os.O_DIRECTORY)
        try:
            self._calls.sync(above)
        finally:
            os.close(above)

    def _inside(self, folder: int, part: str, make: bool) -> int:
        # Synced once by each process even where it exists: whoever made it may not have come to it.
        if make and part not in self._made:
            with suppress(FileExistsError):
                self._calls.mkdir(part, folder)
            self._calls.sync(folder)
            self._made.add(part)
        return self._calls.open(part, os.O_RDONLY | os.O_DIRECTORY, folder)
