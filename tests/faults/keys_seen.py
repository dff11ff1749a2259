"""A small program that shows what reaches it: its own number, then how many bytes so far.

Ends at the byte of Ctrl+Q.
"""

from __future__ import annotations

import os
import sys
import tty

QUIT = 0x11


def main() -> None:
    tty.setraw(0)
    seen = 0
    sys.stdout.write(f"ready as {os.getpid()}.\r\n")
    while True:
        sys.stdout.flush()
        data = os.read(0, 4096)
        if not data or QUIT in data:
            return
        seen += len(data)
        sys.stdout.write(f"seen {seen} bytes\r\n")


if __name__ == "__main__":
    main()
