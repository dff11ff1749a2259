"""`audit SESSION` or `audit FILE`: is the record sound, does the verdict still follow from it.

Exit status 1 where either is not so. `--paper NUMBER:DIGEST` also asks whether the records are
those that a paper tells of. `--json` prints one object, what there is not is null:

    session, sound, torn (an unfinished line follows, never acknowledged), records, head, practice
    findings     kind, record (0: the heading), text
    verdict      announced, record (its number), derived, follows
    doubts       sentences
    paper        record, digest, borne_out
    proves       what the digest proves and what not, in words
"""

from __future__ import annotations

import json
from argparse import Namespace
from collections.abc import Iterator
from typing import Any

from engine import present
from engine.facts import RULES_EDITION
from engine.judging.verdict import stands, verdict
from engine.session import Session
from engine.trouble import Trouble
from tui.outside import Found, Outside
from tui.paragraphs import lines
from tui.sessions import folded

UNSOUND = 1
PROVES = (
    "Each record carries the digest of itself and of all before it: a record that was changed, "
    "moved, taken out or put in afterwards is found, and named.",
    "That is no signature: whoever can write the file can write all of it anew, digests too. Then "
    "only a paper printed before tells, by the record and digest on it (--paper).",
)


def run(outside: Outside, args: Namespace) -> int:
    """Print what was found; 1 where the record, the verdict or the paper does not stand."""
    found = outside.found(args.session)
    session = _session(found)
    told: dict[str, Any] = {
        "session": found.session,
        "sound": found.sound,
        "torn": found.torn,
        "records": len(found.records),
        "head": found.head,
        "practice": session.checking.practice is not None if session else None,
        "findings": _findings(found),
        "verdict": _verdict(session) if session else None,
        "doubts": [*_doubts(session, found)] if session else [],
        "paper": _paper(found, args.paper),
        "proves": list(PROVES),
    }
    print(json.dumps(told, indent=2, ensure_ascii=False) if args.json else "\n".join(_said(told)))
    fails = told["verdict"] is not None and told["verdict"]["follows"] is False
    refuted = told["paper"] is not None and not told["paper"]["borne_out"]
    return UNSOUND if not found.sound or fails or refuted else 0


def _session(found: Found) -> Session | None:
    """None where so little is sound that there is no test."""
    if found.sound:
        return folded(found)
    try:
        return folded(found)
    except Trouble:
        return None


def _findings(found: Found) -> list[dict[str, Any]]:
    told = [{"kind": f.kind, "record": f.number, "text": f.words} for f in found.findings]
    if not told and found.damage:
        told = [{"kind": "heading", "record": 0, "text": found.damage}]
    return told


def _verdict(session: Session) -> dict[str, Any] | None:
    if not session.closing.verdicts:
        return None
    last = session.closing.verdicts[-1]
    return {
        "announced": last.outcome,
        "record": last.seq,
        "derived": verdict(session).outcome,
        "follows": stands(session, last.seq),
    }


def _doubts(session: Session, found: Found) -> Iterator[str]:
    assert session.opened is not None
    edition = session.opened.rules
    if edition != RULES_EDITION:
        yield (
            f"The test was begun under edition {edition} of the rules; the verdict was worked out "
            f"by edition {RULES_EDITION}."
        )
    restarts = [a.seq + 1 for a, b in zip(session.records, session.records[1:], strict=False)
                if a.boot != b.boot]  # fmt: skip
    for seq in restarts:
        yield (
            f"The machine was restarted before record {seq}: how much time passed there is known "
            "from the wall clock alone."
        )
    yield from present.revisions(session, None if found.elsewhere else found.revisions)


def _paper(found: Found, paper: str | None) -> dict[str, Any] | None:
    if paper is None:
        return None
    number, _, digest = paper.partition(":")
    hexadecimal = "".join(digest.split()).lower()
    if not number.isdecimal() or len(hexadecimal) < 8 or set(hexadecimal) - set("0123456789abcdef"):
        raise Trouble("--paper: expected the record's number and its digest, like 57:3f9a01cc")
    record = int(number[:9])
    borne = found.bears_out(record, hexadecimal)
    return {"record": record, "digest": hexadecimal, "borne_out": borne}


def _said(told: dict[str, Any]) -> Iterator[str]:
    practice = "   PRACTICE JOINT" if told["practice"] else ""
    yield f"{told['session']}, {told['records']} records{practice}"
    for finding in told["findings"]:
        yield from lines(finding["text"], "UNSOUND  ")
    if told["sound"]:
        yield "Sound: every record is as it was written down"
    if told["torn"]:
        yield from lines("An unfinished line follows, which was never acknowledged")
    yield from lines(_verdict_said(told["verdict"]))
    for doubt in told["doubts"]:
        yield from lines(doubt, "Doubt: ")
    if told["paper"]:
        yield from lines(_paper_said(told["paper"]))
    yield f"Digest of {told['records']} records:"
    yield f"  {told['head']}"
    for sentence in told["proves"]:
        yield from lines(sentence, "  ")


def _verdict_said(said: dict[str, Any] | None) -> str:
    if said is None:
        return "No verdict was announced"
    announced, derived = (present.OUTCOME[said[key]] for key in ("announced", "derived"))
    if said["follows"]:
        return f"The verdict announced with record {said['record']}, {announced}, follows from it"
    return (
        f"The verdict announced with record {said['record']} was {announced}; what the records "
        f"say is {derived}"
    )


def _paper_said(said: dict[str, Any]) -> str:
    if said["borne_out"]:
        return f"The paper tells of these records: the digest of record {said['record']} agrees"
    return f"The paper tells of OTHER records: record {said['record']} has not that digest"
