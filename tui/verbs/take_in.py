"""`import FILE`: a closed session, a plan file or a catalogue from elsewhere is kept here too."""

from __future__ import annotations

from argparse import Namespace

from tui.outside import Outside
from tui.paragraphs import lines


def run(outside: Outside, args: Namespace) -> int:
    """Print what became of it, a line for each thing.  Raises Trouble for what is refused."""
    for told in outside.take_in(args.file):
        print("\n".join(lines(told)))
    return 0
