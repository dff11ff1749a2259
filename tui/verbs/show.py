"""`show SESSION`: one session, or one file: its verdict, its reasons and its records.

`--json` prints one object; quantities are `[value, "unit"]`, what there is not is null:

    session, product, marks, alignment, units, stage, closed, practice
    verdict      outcome, reasons and beside, each of: rule, text, measure, limit, place, clock,
                 grade, check, records (their numbers)
    announced    outcome, record (its number), stands: is it still what the records say?
    signed       name, role, verdict (the number of the one signed), record, corrected (the record
                 that took the test up again after it)
    credit       counted, needed, late
    needed       at_gauge, to_read (a mark of the dial), cap (at the gauge)
    probability  that the true pressure was high enough, 0 to 1
    readings     seq, t (s since the test was opened), pressure (as written), corrected (for the
                 gauge's zero), gauge, struck, late
    sightings    seq, t, place, clock, grade, returns, wets, struck
    looks        seq, t, dry, wiped, look_from, struck
    waivers      check, text, reason, record
    revisions    earlier ones, closed and taken up again: records (how many it held), record (the
                 one that took it up again), reason, kept (as it was closed; null: cannot be told)
    records      how many there are
    head         the digest of all of them
"""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from collections.abc import Iterator

from engine import present
from engine.session import Session
from tui.account import Plain, account
from tui.outside import Found, Outside
from tui.paragraphs import lines
from tui.sessions import folded

UNSOUND = 1


def run(outside: Outside, args: Namespace) -> int:
    """Print the session; of a damaged one what can be read, and 1."""
    found = outside.found(args.session)
    session = folded(found)
    kept = None if found.elsewhere else found.revisions
    said = account(found.session, session, found.head, not found.sound, kept)
    if args.json:
        print(json.dumps(said, indent=2, ensure_ascii=False))
    else:
        print("\n".join(_told(said, session, found)))
    if found.sound:
        return 0
    print(f"holdwater: {found.damage or found.findings[0].words}", file=sys.stderr)
    return UNSOUND


def _told(said: Plain, session: Session, found: Found) -> Iterator[str]:
    yield from _heading(said, session)
    for earlier in present.revisions(session, None if found.elsewhere else found.revisions):
        yield from lines(earlier)
    yield ""
    yield from _outcome(session, said)
    yield ""
    yield from _figures(said)
    yield ""
    yield "Records" if found.sound else f"DAMAGED; records that can be read: {said['records']}"
    yield from _records(session)
    if found.torn:
        yield "       behind them a line that was never finished, and never acknowledged"
    yield ""
    yield f"Digest of {said['records']} records:"
    yield f"  {said['head']}"


def _heading(said: Plain, session: Session) -> Iterator[str]:
    practice = "   PRACTICE JOINT: nothing here is a real test" if said["practice"] else ""
    yield f"{said['session']}{practice}"
    yield from lines(f"{said['product']}, {said['alignment']}")
    pinned = session.checking.practice
    if pinned is not None and session.closed:
        from engine.practice import FAULTS

        wrong = FAULTS.get(pinned.fault, pinned.fault)
        yield from lines(f"As it truly was (seed {pinned.seed}): {wrong}")
    if said["marks"]:
        yield from lines(f"Marks {said['marks']}")
    stage = "closed" if said["closed"] else f"open, in {present.STAGE[session.stage]}"
    opened = present.day_and_time(session.records[0].at)
    yield from lines(f"Opened {opened} by {session.records[0].by}; {stage}")


def _outcome(session: Session, said: Plain) -> Iterator[str]:
    yield f"Verdict: {present.ended_as(session, said['verdict']['outcome'])}"
    for reason in said["verdict"]["reasons"]:
        yield from lines(reason["text"], "  - ")
    for reason in said["verdict"]["beside"]:
        yield from lines(reason["text"], "  . ")
    announced = said["announced"]
    if announced:
        stands = "" if announced["stands"] else "; the records do not say so any more"
        outcome = present.OUTCOME[announced["outcome"]]
        yield from lines(f"Announced: {outcome} (record {announced['record']}){stands}")
    for name in said["signed"]:
        of = f"under record {name['verdict']}, by record {name['record']}"
        if name["corrected"] is not None:
            of += f", before the correction of record {name['corrected']}"
        yield from lines(f"Signed: {name['name']}, {name['role']}, {of}")


def _figures(said: Plain) -> Iterator[str]:
    credit, needed = said["credit"], said["needed"]
    if credit:
        counted, wanted, late = (
            present.duration(credit[key][0]) for key in ("counted", "needed", "late")
        )
        rests = f", {late} of it from late readings" if credit["late"][0] else ""
        yield f"Credit   {counted} of {wanted}{rests}"
    else:
        yield "Credit   none: no hold was started"
    at_gauge, to_read, cap = (
        present.pressure(needed[key][0], said["units"]) for key in ("at_gauge", "to_read", "cap")
    )
    yield f"Needed   {at_gauge} at the gauge; read {to_read} or more, never above {cap}"
    if said["probability"] is not None:
        yield f"Sure     the pressure was high enough, with {_percent(said['probability'])}"
    for waiver in said["waivers"]:
        yield from lines(f"{waiver['text']} -- {waiver['reason']}", "Waived   ")


def _percent(share: float) -> str:
    """Nothing is certain, and nothing impossible."""
    if 0.001 <= share <= 0.999:
        return f"{present.number(100 * share, 1)} %"
    return "more than 99.9 %" if share > 0.5 else "less than 0.1 %"


def _records(session: Session) -> Iterator[str]:
    for seq in range(1, session.seq + 1):
        at = present.time_of_day(session, session.times[seq - 1])
        strike = session.evidence.strikes.get(seq)
        struck = f"[struck by {strike.seq}] " if strike else ""
        yield from lines(f"{struck}{present.record(session, seq)}", f"  {seq:>4}  {at}  ")
