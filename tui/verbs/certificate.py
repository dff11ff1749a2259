"""`certificate SESSION`: the paper of a closed test, with what was done to the same specimen.

`-o FILE.pdf` typesets it, `-o FILE.txt` or nothing gives it as text.
"""

from __future__ import annotations

import sys
from argparse import Namespace

from tui.certificates import hand_out, made, paper
from tui.outside import Outside


def run(outside: Outside, args: Namespace) -> int:
    """Write or print the certificate.  Raises Trouble where there can be none."""
    if args.output:
        print(hand_out(outside, args.session, args.output, args.size))
    else:
        sys.stdout.buffer.write(paper(outside, made(outside, args.session), ".txt"))
    return 0
