"""Builders for papers: tests that passed, failed, stayed open, followed each other, ran on."""

from __future__ import annotations

from functools import cache
from hashlib import sha256
from typing import Any

from engine import facts as f
from engine.asking.commands import Abandon, Waive, Write
from engine.certificate import Attested
from engine.clock import Stamp
from engine.facts import record
from engine.session import Session, evolve
from engine.stages import checks_for
from engine.units import q
from tests.plans import BOX, PIPE, plan
from tests.story import START, Story

NAMED: dict[str, Any] = {
    "specimen": {
        "spigot": "D-1041",
        "bell": "D-1042",
        "cast": "2026-05-20",
        "gasket_lot": "L-77/3",
        "lubricant": "soap, by brush",
        "customer": "Town of Nowhere",
        "place": "Bay 3",
    },
    "procedure__authority": "Contract 12-44, by order of the owner's engineer",
    "procedure__edition": "2025",
    "procedure__clause": "4.2",
    "procedure__standing": "contract",
    "procedure__term": "leak-resistant",
}
DEFLECTED: dict[str, Any] = {"procedure__alignment": "deflected", "procedure__opening": "0.5 in"}
SI: dict[str, Any] = {
    "units": "si",
    "procedure__pressure": "90 kPa",
    "procedure__cap": "105 kPa",
    "gauge": {
        **PIPE["gauge"], "span": ["0 kPa", "200 kPa"], "graduation": "2 kPa", "height": "850 mm",
    },
}  # fmt: skip
LONG = "A very long name of a thing that goes on and on, " * 40
UNBROKEN = "W" * 110


def attested(story: Story, identity: str = "2026-06-03-1") -> Attested:
    """As the store would vouch for it; the digest is made up."""
    return Attested(identity, sha256(identity.encode()).hexdigest(), story.session)


def passed(**changed: Any) -> Story:
    """Ended as it should; five minutes into the hold the water was 55 °F."""
    story = Story(plan(**{**NAMED, **changed})).to("hold").raise_to()
    story.write(f.TemperatureRead(what="water", temperature=q(55, "degF"), ago=0.0))
    story.hold().go_on()
    return story.end()


@cache
def usual() -> Story:
    """One that passed; made once, and only to be looked at, like those that follow."""
    return passed()


@cache
def failed() -> Story:
    """A drip at six, three minutes into the hold; damp elsewhere."""
    story = Story(plan(**NAMED)).to("hold").raise_to()
    story.read(13.5)
    story.pass_time(60).read(13.25)
    story.see("secondary", "damp", 2.0)
    story.look(dry=False)
    story.see("primary", "drip", 6.0)
    story.write(f.Noted(text="Water stood in the invert"))
    story.ask(Abandon("leaks past the primary"))
    story.read(6.0)
    story.release()
    return story


@cache
def undecided() -> Story:
    """A waiver, an unknown gauge, a dip before a top-up, a struck reading; then it rained."""
    changed = {"procedure__authority": "not stated", "procedure__edition": "not stated",
               "procedure__clause": "not stated", "gauge__accuracy": "unknown",
               "joint__primary_held": "step"}  # fmt: skip
    story = Story(plan(**{**NAMED, **changed}))
    story.ask(Waive("faces", "no light in the bay"))
    story.to("hold").raise_to()
    story.read(13.5)
    story.pass_time(60).read(13.5)
    story.write(f.ToppedUp(before=q(12.5, "psi"), after=q(13.5, "psi"), volume=q(40, "mL")))
    story.strike(story.read(14.0), "read off the wrong dial")
    story.pass_time(60).read(13.5)
    story.ask(Abandon("lightning"))
    story.release()
    return story


@cache
def metric() -> Story:
    story = Story(plan(BOX, **{**NAMED, **SI})).to("hold").raise_to(13.5)
    story.hold()
    story.see("primary", "damp", 3.0)
    story.see("port", "damp", 12.0)
    story.go_on()
    return story.end()


@cache
def practised() -> Story:
    """The same on the practice joint."""
    chosen = plan(**NAMED)
    story = Story.__new__(Story)
    story.session, story.records, story.by = Session(), [], "A. Trainee"
    story.boot, story.ticks, story.wall = "practice", 0.0, START
    practice = f.Practice(seed=1, fault="none", edition=1)
    story.ask(Write(f.SessionOpened(plan=chosen, checks=checks_for(chosen), practice=practice)))
    return story.to("verdict").end()


@cache
def wordy() -> Story:
    """Whatever can be written is written as long as it may be, and much of it."""
    names = dict.fromkeys(NAMED["specimen"], LONG[:1900]) | {"bell": UNBROKEN * 3}
    changed = {"specimen": names, "joint__name": UNBROKEN, "procedure__authority": LONG[:1900],
               "procedure__edition": UNBROKEN * 4, "gauge__certificate": LONG[:1900]}  # fmt: skip
    story = Story(plan(**{**NAMED, **changed}), by=UNBROKEN)
    for check in ("faces", "sizes", "port_places"):
        story.ask(Waive(check, LONG[:1900]))
    story.to("hold").raise_to().hold()
    for n in range(30):
        story.write(f.Noted(text=LONG[:1900]))
        story.see("primary", "damp", float(n % 12 + 1))
    story.go_on()
    return story.end()


@cache
def long_hold(readings: int = 10_000) -> Story:
    """A hold with a reading every ten seconds; the one in the middle is the lowest."""
    hold = {"procedure__hold": f"{readings // 6} min"}
    story = Story(plan(**{**NAMED, **hold})).to("hold").raise_to()
    mark = story.session.plan.gauge.mark
    for n in range(readings):
        story.pass_time(10)
        psi = 13.125 if n == readings // 2 else 13.5 + 0.125 * (n % 5)
        _add(story, f.PressureRead(pressure=q(psi, "psi"), ago=0.0, mark=mark), story.stamp)
        if n == readings // 2:
            story.look()
    story.look()
    story.read(13.5)
    story.go_on()
    return story.end()


def _add(story: Story, fact: f.Fact, stamp: Stamp) -> None:
    made = record(story.session.seq + 1, fact, stamp, story.by)
    story.session = evolve(story.session, made)
    story.records.append(made)
