"""Paths that users type: where they lead, and all of the file that lies there."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from store.faults import Malformed, plain


def expanded(path: str) -> Path:
    """`~somebody` stays as it is where there is nobody of that name."""
    try:
        return Path(path).expanduser()
    except RuntimeError:
        return Path(path)


def contents(path: Path, most: int) -> bytes:
    """All of a file; Malformed where it is none, cannot be read, or is larger than `most` bytes.

    Nothing is waited for: what is no file, like a pipe, is refused.
    """
    name = plain(path.name or str(path))
    try:
        file = os.open(path, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)
        try:
            mode = os.fstat(file).st_mode
            if stat.S_ISDIR(mode):
                raise Malformed(f"{plain(str(path))}: this is a folder; expected a file")
            if not stat.S_ISREG(mode):
                raise Malformed(f"{name}: this is not a file")
            with open(file, "rb", closefd=False) as opened:
                data = opened.read(most + 1)
        finally:
            os.close(file)
    except FileNotFoundError:
        raise Malformed(f"{name}: there is no such file") from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "not a name for a file"
        raise Malformed(f"{name}: {why}") from None
    if len(data) > most:
        size = f"{most >> 20} MiB" if most >> 20 else f"{most >> 10} KiB"
        raise Malformed(f"{name}: larger than {size}")
    return data
