"""A test left in the middle of its hold, in whatever way, goes on in the same second of it."""

from __future__ import annotations

import re
import signal
from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest

from engine import facts as f
from engine.judging.holding import Holding, holding
from engine.present import duration
from engine.session import Session, fold
from store.shelf import Shelf
from tests.conducting import Hand, holdwater, keep
from tests.plans import plan
from tests.story import Story
from tests.terminal import Terminal
from tests.told import hold_of

START: Final = 30.0  # seconds a start may take on a busy machine
HARD: Final = 128 + signal.SIGHUP


def stalled(terminal: Terminal) -> None:
    """Whole screens are drawn for nobody, until the program cannot write any more; then it goes."""
    terminal.stall()
    for _ in range(60):
        terminal.type("\t?")
    terminal.hang_up()


WAYS: Final[dict[str, Callable[[Terminal], object]]] = {
    "leaving it": lambda terminal: terminal.press("q", "q"),
    "a hang-up": lambda terminal: terminal.send(signal.SIGHUP),
    "being killed": lambda terminal: terminal.send(signal.SIGKILL),
    "a terminal that goes": lambda terminal: terminal.hang_up(),
    "a terminal that stalls and goes": stalled,
}


def test_however_it_was_left_it_goes_on_in_the_same_second_of_the_same_hold(store: Path) -> None:
    before = session_of(store)
    for number, (way, leave) in enumerate(WAYS.items()):
        with holdwater(store) as terminal:
            resumed(terminal, store)
            assert session_of(store) == before, way
            same_second(terminal, before, way)
            Hand(terminal, store).reading("13.5")
            before = session_of(store)
            assert len(hold_of_session(before).readings) == number + 2
            leave(terminal)
            assert terminal.ended() is not None, way
    with holdwater(store) as terminal:
        resumed(terminal, store)
        same_second(terminal, before, "the last of them")
    assert Shelf(store).audit(Shelf(store).live()[0]).sound


def test_a_reading_read_meanwhile_is_entered_late_and_earns_its_time(store: Path) -> None:
    with holdwater(store) as terminal:
        resumed(terminal, store)
        hand = Hand(terminal, store)
        last = hand.session.evidence.readings[-1]
        terminal.count(max(0.0, last.t + 2.5 - hand.now(hand.session)))
        hand.keys("d13.6\r2 s\rw\x15M. Example\r", hand.session.seq)
        terminal.wait_for("13.6 psi")
        session = hand.session
    late = session.records[-1].fact
    assert isinstance(late, f.PressureRead)
    assert (late.ago, late.read_by, late.read_from) == (2.0, "M. Example", "watch")
    assert session.evidence.readings[-1].late
    assert hold_of_session(session).credit.late > 0


def test_what_the_hold_is_worth_after_a_gap_is_said_and_a_late_reading_mends_it(
    tmp_path: Path,
) -> None:
    """A reading every minute, two minutes at the most; the link was down for three."""
    story = in_hold()
    keep(tmp_path / "store", "gap-1", story, ago=180)
    with holdwater(tmp_path / "store") as terminal:
        resumed(terminal, tmp_path / "store")
        terminal.wait_for("Gap too long: the run is lost. Type a late reading (d)")
        assert field(terminal, "credit") == "2:00 min"
        hand = Hand(terminal, tmp_path / "store")
        hand.keys("d13.5\r90 s\rw\r", hand.session.seq)
        terminal.wait_gone("Gap too long")
        hand.reading("13.5")
        terminal.settle()
        assert hold_of_session(hand.session).credit.seconds == pytest.approx(300, abs=15)
        assert "Gap too long" not in terminal


def test_a_run_that_is_lost_begins_again_at_the_next_good_reading(tmp_path: Path) -> None:
    keep(tmp_path / "store", "gap-1", in_hold(), ago=180)
    with holdwater(tmp_path / "store") as terminal:
        resumed(terminal, tmp_path / "store")
        hand = Hand(terminal, tmp_path / "store").reading("13.5")
        terminal.wait_for("Next reading in")
        assert field(terminal, "credit") == "0 s"
        assert hold_of_session(hand.session).missing == 600


def test_a_machine_that_was_started_anew_earns_nothing_across_it_and_says_so(
    tmp_path: Path,
) -> None:
    story = in_hold()
    story.boot = "the one that goes on now"
    keep(tmp_path / "store", "boot-1", story, ago=30)
    with holdwater(tmp_path / "store") as terminal:
        resumed(terminal, tmp_path / "store")
        assert "started anew" in terminal and "no credit reaches across" in terminal
        hand = Hand(terminal, tmp_path / "store").reading("13.5")
        assert hold_of_session(hand.session).credit.seconds == 0
        terminal.press("tab", "tab").wait_for("restarted")


def in_hold() -> Story:
    """Two minutes of credit in a hold of ten."""
    story = Story(plan()).to("hold").raise_to()
    story.read(13.5)
    for _ in range(2):
        story.pass_time(60).read(13.5)
    assert hold_of(story).credit.seconds == 120
    return story


def resumed(terminal: Terminal, store: Path) -> None:
    """The open test stands first on the bench, and Enter goes on with it."""
    name = Shelf(store).live()[0]
    terminal.wait_for("1 going on", "Hold", timeout=START)
    terminal.press("enter").wait_for("[>]HOLD", name, timeout=START)
    terminal.settle()


def same_second(terminal: Terminal, session: Session, way: str) -> None:
    """Credit, missing and due are those of the records, at this very moment."""
    hold = hold_of_session(session)
    hand_now = Hand(terminal, Path()).now(session)
    assert field(terminal, "credit") == duration(hold.credit.seconds), way
    assert field(terminal, "missing") == duration(hold.missing), way
    near = {duration(hold.due - hand_now + off) for off in (-1.5, -1, -0.5, 0, 0.5, 1, 1.5)}
    assert field(terminal, "next reading") in near, way


def field(terminal: Terminal, name: str) -> str:
    """What the clock says behind `name`."""
    found = re.search(rf"{name} +(.+?)$", terminal.text, re.M)
    assert found, f"no {name!r} on the screen:\n{terminal.text}"
    return found[1].strip()


def session_of(store: Path) -> Session:
    """The fold of the journal."""
    shelf = Shelf(store)
    return fold(shelf.read(shelf.live()[0]).records)


def hold_of_session(session: Session) -> Holding:
    hold = holding(session)
    assert hold is not None
    return hold
