"""A technician at the keyboard of the real program: what the session asks for, in keys.

    with Terminal.python("-m", "tui", "start", ...) as terminal:
        hand = Hand(terminal, store)
        hand.to("hold")
        hand.reading("13.5")

What comes next is told from the store, as a watcher would see it; everything done goes over the
terminal, key by key.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Mapping
from datetime import timedelta
from pathlib import Path
from typing import Final

from engine.checks import Stage
from engine.judging.holding import holding
from engine.judging.settling import Standing, stopping
from engine.present.row import row
from engine.session import Session, fold
from store.shelf import Shelf
from tests.story import Story
from tests.terminal import Terminal
from tui.__main__ import _machine_clock

__all__ = ["BY", "PLAN", "Hand", "conduct", "holdwater", "keep", "plan_file"]

BY: Final = "R. Example"
PLAN: Final = """
units = "us"

[joint]
name = "54 in pipe, wall B"
shape = "circle"
inside = "54 in"
wall = "5.5 in"
inner_seal = "2.5 in"
outer_seal = "3 in"
pocket_width = "2.25 in"

[specimen]
spigot = "D-1041"
bell = "D-1042"

[procedure]
authority = "Works instruction 12, by order of the owner"
pressure = "13 psi"
datum = "crown"
hold = "{hold}"
reading_every = "{every}"
longest_gap = "{gap}"
cap = "15 psi"
ramp = "2.9 psi/s"

[gauge]
mark = "G-07"
span = ["0 psi", "30 psi"]
accuracy = "A"
graduation = "0.5 psi"
height = "29.5 in"
calibration_due = 2099-03-31

[supply]
pressure = "55 psi"
relief = "15 psi"
flow = "1.5 gal/min"
temperature = "55 degF"

[restraint]
rod = "1-8 UNC"
grade = "F1554-36"
length = "17 ft"
at = [["-38 in", "30 in"], ["38 in", "30 in"], ["-38 in", "-30 in"], ["38 in", "-30 in"]]
beam = "C6X8.2"
beams_per_end = 2
span = "76 in"

[waits]
bond = "0 s"
soak = "0 s"
vent_flow = "1 s"
settle = "1 s"
"""
_FIGURES: Final = {"warmth": "52", "vent_top": "1/8", "restraint_on": "2", "gauge_height": "29.5",
                   "relief_lifts": "15", "through": "5 gal", "ramp": "60"}  # fmt: skip
_DOING: Final[dict[str, str]] = {
    "openings": "0.5\r0.5\r0.5\r0.5\r",
    "gauge_zeroed": "0\r",
    "zero_again": "0\r",
    "valves_open": "q",
    "vent_shut": "",
    "inlet_first": "",
    "inlet_shut": "",
    "raised": "13.5\r\r",  # far above the burp's 5 psi, so a second Enter is asked for
    "needle_rose": "13.5\r",
    "credit": "",
    "looked_during": "y",
    "looked_at_end": "y",
    "needle_fell": "6\r\r",
    "released": "0\ry",
    "announced": "y",
    "signed": "\rn",
}
_SAID: Final = {"gasket_again": "same", "marks": "D-1041 / D-1042"}
_BOUNCE: Final = 0.35  # seconds between two Enters, else the second is a bouncing key
_LOOKED: Final = 0.8  # seconds within which the screen has seen that a wait is over
_PATIENCE: Final = 10.0


def plan_file(path: Path, hold: str = "10 min", every: str = "20 min", gap: str = "30 min") -> Path:
    """A plan whose waits are short; the gaps long enough for whatever happens in a test."""
    path.write_text(PLAN.format(hold=hold, every=every, gap=gap))
    return path


def holdwater(store: Path, *words: str, env: Mapping[str, str] | None = None) -> Terminal:
    """The program on a terminal of 80 x 24."""
    command = (sys.executable, "-m", "tui", *words, "--store", str(store), "--by", BY)
    return Terminal(*command, env=env)


def conduct(folder: Path) -> Path:
    """A store with one test, conducted by keys from its plan file into the hold, and then left."""
    plan = plan_file(folder / "plan.toml")
    with holdwater(folder / "store", "start", str(plan)) as terminal:
        terminal.wait_for("NOW", timeout=30)
        Hand(terminal, folder / "store").to_hold()
        terminal.press("q")
        assert terminal.ended() == 0
        assert terminal.settle().restored
    return folder / "store"


def keep(folder: Path, session: str, story: Story, ago: float = 0.0) -> None:
    """The story is an open session of the store; it was told `ago` seconds before now, on this
    machine's own clocks.  Its own starts of the machine but the last stay others."""
    now = _machine_clock()()
    shelf = Shelf(folder)
    journal = shelf.begin(session)
    for record in story.records:
        before = ago + (story.wall - record.at).total_seconds()
        stamp = record.stamp._replace(wall=now.wall - timedelta(seconds=before))
        if record.boot == story.boot:
            stamp = stamp._replace(boot=now.boot, ticks=now.ticks - before)
        journal.append(record.fact, stamp, record.by)
    shelf.put_row(session, row(session, fold(journal.records())))
    shelf.close()


class Hand:
    """Presses what the session in the store asks for, and waits until it is written down."""

    def __init__(self, terminal: Terminal, store: Path, session: str | None = None) -> None:
        self.terminal = terminal
        self.shelf = Shelf(store)
        self._named = session
        self._entered = 0.0
        self._clock = _machine_clock()

    @property
    def name(self) -> str:
        """The session that goes on, where no other was named."""
        return self._named or self.shelf.live()[-1]

    @property
    def session(self) -> Session:
        return fold(self.shelf.read(self.name).records)

    def now(self, session: Session) -> float:
        return session.now(self._clock())

    # --- whole stages ---------------------------------------------------------------------------

    def to(self, stage: Stage) -> Hand:
        """Everything done as it should be, up to the beginning of `stage`."""
        while self.session.stage != stage:
            self.step()
        return self

    def to_hold(self, psi: str = "13.5") -> Hand:
        """At pressure, settled, the hold begun, with one good reading in it."""
        self.to("hold")
        while self.session.hold is None:
            self.step()
        return self.reading(psi)

    def to_end(self) -> Hand:
        """The rest of the test, as its records ask for it."""
        while not self.session.closed:
            self.step()
        return self

    def step(self) -> None:
        """One thing that the session asks for now."""
        session = self.session
        now = self.now(session)
        open_ = stopping(session, session.stage, now)
        before_hold = session.stage == "hold" and session.hold is None
        ready = [here for here in open_ if before_hold or not here.waiting]
        if not open_:
            self.keys("n", session.seq)
        elif not ready or ready[0].waiting:
            self.terminal.count((open_[0].left or 0.0) + _LOOKED)
        else:
            self._do(session, ready[0], now)

    # --- single things --------------------------------------------------------------------------

    def reading(self, psi: str) -> Hand:
        """A reading by its digits."""
        return self.keys(f"{psi}\r", self.session.seq)

    def keys(self, text: str, seq: int) -> Hand:
        """Typed, and a record after `seq` is written down."""
        self.terminal.type(text)
        self._written(seq)
        return self

    def _do(self, session: Session, here: Standing, now: float) -> None:
        check = here.check
        if check.id == "burp_read" and not any(r.psi == 5 for r in session.evidence.readings):
            self.reading("5")
            return
        if check.id == "credit" and session.hold is not None:
            self._hold(session, now)
            return
        if check.id in ("looked_during", "looked_at_end") and _looked_last(session):
            self.reading("13.5")
            return
        self._enter()
        if check.id in ("valves_open", "burp"):  # the vent is written down before it is asked
            self._written(session.seq)
            session = self.session
        if check.id == "burp":  # only water: shut again, and so said
            self.keys("w", session.seq + 1)
            return
        self.keys(self._answer(here), session.seq)

    def _hold(self, session: Session, now: float) -> None:
        hold = holding(session)
        assert hold is not None
        wait = hold.due - now if hold.readings else 0.0
        rest = max(0.0, hold.missing - (now - hold.readings[-1].t)) if hold.readings else 0.0
        self.terminal.count(max(0.0, min(wait, rest + 0.2)))
        self.reading("13.5")

    def _answer(self, here: Standing) -> str:
        check = here.check
        if check.id in _DOING and not (check.kind == "compute" and here.asked):
            return _DOING[check.id]
        if check.kind == "measure":
            return f"{_FIGURES[check.id]}\r"
        safety = "y" if check.rank == "safety" else ""
        if check.asks == "positions":
            return "yyyy"
        return safety + (f"\x15{_SAID.get(check.id, 'noted')}\r" if check.asks == "text" else "")

    def _enter(self) -> None:
        """On the check under the cursor; never so soon after the last that it looks bounced."""
        self.terminal.count(max(0.0, self._entered + _BOUNCE - time.monotonic()))
        self._entered = time.monotonic()
        self.terminal.press("enter")

    def _written(self, seq: int) -> None:
        until = time.monotonic() + _PATIENCE
        while self.session.seq <= seq:
            if time.monotonic() > until:
                raise AssertionError(f"nothing came after record {seq}:\n{self.terminal.text}")
            self.terminal.count(0.01)


def _looked_last(session: Session) -> bool:
    """Nothing was read since the last look, so that it is not within the credited time."""
    evidence = session.evidence
    return bool(evidence.looks) and evidence.looks[-1].seq > evidence.readings[-1].seq
