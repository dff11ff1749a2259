"""A specimen's second alignment on the real program, while somebody else edits the catalogue."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Final

from engine.judging.settling import Standing
from engine.plan import work_out
from engine.session import Session, fold
from store.shelf import Shelf
from tests.again import pair
from tests.benched import catalogued, kept
from tests.conducting import Hand, holdwater
from tests.plans import PIPE as WRITTEN
from tests.story import Story
from tests.terminal import Terminal

SHORT: Final = {"bond": "0 s", "soak": "0 s", "vent_flow": "1 s", "settle": "1 s"}
BEFORE: Final = "2026-06-03-1"
PIPE: Final = "54 in pipe, wall B"


class Counting(Hand):
    """Measures a deflected joint, and counts the keys."""

    count = 0

    def keys(self, text: str, seq: int) -> Hand:
        self.count += len(text)
        return super().keys(text, seq)

    def _do(self, session: Session, here: Standing, now: float) -> None:
        """Not before the cursor has moved on from a wait that ended."""
        wanted = here.check.do[:16]
        self.terminal.wait(
            lambda lines: any(line.startswith("> ") and wanted in line for line in lines)
        )
        super()._do(session, here, now)

    def _enter(self) -> None:
        self.count += 1
        super()._enter()

    def _answer(self, here: Standing) -> str:
        if here.check.id.startswith("openings"):
            return "0.75\r1\r0.75\r0.5\r"
        return super()._answer(here)


def passed() -> Story:
    """The first test, from its plan file: straight, and past."""
    plan = pair(waits=SHORT, procedure__hold="10 s", procedure__reading_every="1 s")
    assert not work_out(plan).refusals
    return Story(plan).to("verdict").end()


def opened(store: Path) -> tuple[Terminal, float]:
    """A repeat on the next alignment, and the seconds from the shell to its first question."""
    started = time.monotonic()
    terminal = holdwater(store)
    terminal.wait_for("1 past")
    terminal.press("r").wait_for("next alignment")
    terminal.press("2").wait_for("How much wider")
    asked = time.monotonic() - started
    terminal.type("0.5 in\r").wait_for("Open side")
    terminal.type("3\r").wait_for("drained: before the joint is opened")
    return terminal, asked


def test_the_second_alignment_is_told_with_the_first(tmp_path: Path) -> None:
    store = tmp_path / "store"
    shelf = Shelf(store)
    catalogued(shelf)
    kept(shelf, BEFORE, passed())
    terminal, asked = opened(store)
    with terminal:
        assert asked < 5  # the budget is one second, on a machine with nothing else to do
        hand = Counting(terminal, store)
        hand.to("hold")
        before = hand.count
        edited_meanwhile(store)
        hand.to("verdict")
        in_hold = hand.count - before  # 55 of them are eleven readings: 1 3 . 5 Enter
        hand.to_end()
        session = hand.session
        terminal.press("q").wait_for("2 past")
        assert len([r for r in session.evidence.readings if r.seq > session.holds[-1].seq]) >= 11
        assert in_hold < 90, f"{in_hold} keys"
        told(terminal)
    carried = {
        c.session for c in fold(shelf.read(hand_name(shelf)).records).checking.carried.values()
    }
    assert carried == {BEFORE}
    assert shelf.catalogue.values("joint", PIPE) == {**joint(), "section_length": "8 ft"}


def hand_name(shelf: Shelf) -> str:
    return next(name for name in shelf.sealed() if name != BEFORE)


def joint() -> dict[str, object]:

    return dict(WRITTEN["joint"])


def edited_meanwhile(store: Path) -> None:
    """Another person on the same store types the length of the sections into the catalogue."""
    with holdwater(store) as other:
        other.wait_for("1 going on, 1 past")
        other.press("c").wait_for("[joints]")
        other.press("enter").wait_for("section_length")
        other.press(*["down"] * 15, "enter").wait_for("section_length _")
        other.type("8 ft\r").wait_for("kept as version 2")


def told(terminal: Terminal) -> None:
    """What history says of it, view by view."""
    terminal.press("h").wait_for("[sessions]", "deflected")
    terminal.press("tab").wait_for("[standing]", "straight   PASSED", "deflected  PASSED")
    assert "MISSING" not in terminal
    terminal.press("tab").wait_for("[story]", "2 tries", f"follows {BEFORE}")
    lines = terminal.lines()
    first = next(n for n, line in enumerate(lines) if "1. 2026-06-03" in line)
    assert "straight" in lines[first]
    assert next(n for n, line in enumerate(lines) if "2. " in line and "deflected" in line) > first
    terminal.press("tab").wait_for("[trend]", "Pressure lost in the hold", "2 tests")
