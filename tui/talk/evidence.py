"""Conversations about what is seen: sightings, looks, notes, strikes, hand-over."""

from __future__ import annotations

from engine import facts as f
from engine import present
from engine.asking.commands import Strike, Write
from engine.grades import GRADES
from tui.talk.asking import Ask, Conversation, Submit, Talk

_PLACES = {"p": "primary", "s": "secondary", "o": "port", "f": "fitting"}
_GRADES = {"m": "damp", "b": "beads", "d": "drip", "o": "pool", "r": "run", "s": "spray",
           "y": "dry"}  # fmt: skip
assert set(_GRADES.values()) == set(GRADES)


def sighting(talk: Talk) -> Conversation:
    """Where, how wet, at which position; and what makes it count."""
    place = _PLACES[
        (yield from talk.pick("Seen on", p="primary gasket", s="secondary", o="port", f="fitting"))
    ]
    picked = yield from talk.pick(f"On the {present.PLACE[place]}", **_GRADES)
    grade = _GRADES[picked]
    clock = yield from talk.clock()
    returns = wets = False
    if place == "primary" and grade in ("damp", "beads"):
        returns = yield from talk.yes("Did it come back after it was wiped")
    if place in ("port", "fitting"):
        wets = yield from talk.yes("Can its water reach the place that is looked at")
    fact = f.Sighted.model_validate(
        {"place": place, "clock": clock, "grade": grade, "returns": returns, "wets": wets}
    )
    yield Submit(Write(fact))


def look(talk: Talk) -> Conversation:
    """All round inside: dry, or then where it is not."""
    procedure = talk.session.plan.procedure
    said = yield from talk.pick(
        f"Looked along the whole primary gasket ({procedure.look_from}):",
        y="dry all round",
        w="wiped, then dry all round",
        n="not dry: say where",
    )
    fact = f.Looked(dry=said != "n", wiped=said == "w", look_from=procedure.look_from, ago=0.0)
    yield Submit(Write(fact))
    if said == "n":
        yield from sighting(talk)


def note(talk: Talk) -> Conversation:
    text, refusal = "", ""
    while True:
        text = yield from talk.text("Note", text, refusal)
        refusal = yield Submit(Write(f.Noted(text=text)))
        if not refusal:
            return


def strike(talk: Talk) -> Conversation:
    """The last reading by default; what it says is shown before it is struck."""
    session = talk.session
    last = max((r.seq for r in session.evidence.readings), default=session.seq)
    text, refusal = "", ""
    while True:

        def says(typed: str) -> tuple[str, bool]:
            chosen = typed.strip() or str(last)
            if not (chosen.isdecimal() and 1 <= int(chosen) <= talk.session.seq):
                return f"a record from 1 to {talk.session.seq}", False
            return present.record(talk.session, int(chosen)), True

        said = present.record(session, last)
        text = yield Ask(f"Strike record (Enter: {last}, {said})", says, text, refusal)
        if not says(text)[1]:
            refusal = f"{text.strip()[:20]!r}: expected a record from 1 to {talk.session.seq}"
            continue
        text = text.strip() or str(last)
        told = present.record(talk.session, int(text))
        reason = yield from talk.text(f"Why is record {int(text)} struck: {told}")
        refusal = yield Submit(Strike(int(text), reason))
        if not refusal:
            return


def hand_over(talk: Talk) -> Conversation:
    name = yield from talk.text("Who takes over")
    yield Submit(Write(f.HandedOver(to=name)))
