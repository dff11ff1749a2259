"""`export SESSION`: its data, to a file or to whoever reads along.

`--csv` its readings (the default), `--json` the whole session as one document, as its published
schema has it, `--svg` the plot of its last hold.  `--remarks` what was written beside it:

    session
    remarks      t (s since the test was opened), seq (the record before), by, text
    rounds       by, at, answers, each of: record, done, answer, why, grade
"""

from __future__ import annotations

import json
import sys
from argparse import Namespace

from engine.certificate import plot
from engine.trouble import Trouble
from tui.certificates import desk
from tui.outside import Found, Outside
from tui.sessions import folded


def run(outside: Outside, args: Namespace) -> int:
    """Write or print the data.  Raises Trouble where the record is unsound."""
    found = outside.found(args.session)
    if not found.sound:
        raise Trouble(f"nothing is exported: {found.damage or found.findings[0].words}")
    data = _data(outside, args, found)
    if args.output:
        desk(outside).write(args.output, data)
        print(args.output)
    else:
        sys.stdout.buffer.write(data)
    return 0


def _data(outside: Outside, args: Namespace, found: Found) -> bytes:
    if args.remarks:
        return _beside(outside, found)
    papers, session = desk(outside), folded(found)
    if args.json:
        if found.elsewhere:
            raise Trouble(f"session {found.session} is a file already: take it in first")
        return papers.json(found.session)
    if args.svg:
        drawn = plot(session)
        if drawn is None:
            raise Trouble(f"session {found.session} has no hold to draw")
        return papers.svg(drawn)
    return papers.csv(found.session, session)


def _beside(outside: Outside, found: Found) -> bytes:
    """Nothing lies beside a file from elsewhere."""
    here, shelf = not found.elsewhere, outside.shelf
    whole = {
        "session": found.session,
        "remarks": list(shelf.remarks(found.session)) if here else [],
        "rounds": list(shelf.rounds(found.session)) if here else [],
    }
    return (json.dumps(whole, indent=1, ensure_ascii=False) + "\n").encode()
