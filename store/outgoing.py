"""Files handed out: written where the user says, whole or not at all."""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from pathlib import Path

from store.faults import NotWritten, plain
from store.paths import expanded


def hand_out(path: str, data: bytes) -> None:
    """The file holds `data`, and it is on the disk; what stood there before stands until then.

    A link is followed: the file it leads to is replaced.  Raises NotWritten, in one line.
    """
    target = expanded(path)
    shown = plain(str(target), 200)
    try:
        target = target.resolve()
        if target.exists() and not stat.S_ISREG(target.stat().st_mode):
            raise NotWritten(f"{shown}: not a file")
        _replace(target, data)
    except OSError as error:
        why = (error.strerror or "could not be written").lower()
        raise NotWritten(f"{shown}: {why}") from None
    except ValueError:
        raise NotWritten(f"{shown}: not a name for a file") from None


def _replace(target: Path, data: bytes) -> None:
    fresh = target.with_name(f".{target.name[:200]}.{os.getpid()}.tmp")
    try:
        file = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o666)
        with os.fdopen(file, "wb") as opened:
            opened.write(data)
            opened.flush()
            os.fsync(file)
        fresh.replace(target)
    except OSError:
        with suppress(OSError):
            fresh.unlink()
        raise
    folder = os.open(target.parent, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
