"""Who watches sees each record within a second and never writes, whatever the writer does."""

from __future__ import annotations

import signal
from pathlib import Path
from typing import Final

import pytest

from engine import facts as f
from engine.facts import Fact
from engine.stages import checks_for
from engine.trouble import Trouble
from store.faults import NotWritten
from store.shelf import Shelf
from tests.conducting import Hand, holdwater
from tests.faults.disk.failing import Broken
from tests.ledger import BY, SESSION, note, shelf, stamp
from tests.plans import plan
from tests.terminal import Terminal
from tui.follower import Follower

START: Final = 30.0  # seconds a start may take on a busy machine
FOLLOWS: Final = 2.5  # a second, and as much again as a busy machine may need to draw it


def test_a_second_terminal_follows_a_test_to_its_end_and_never_writes(store: Path) -> None:
    with holdwater(store, "watch") as watcher, holdwater(store) as writer:
        watcher.wait_for("WATCHING", "[>]HOLD", timeout=START)
        opened(writer)
        hand = Hand(writer, store)
        hand.reading("13.6")
        watcher.wait_for("Read 13.6 psi", timeout=FOLLOWS)
        nothing_is_written_by(watcher, hand)

        writer.send(signal.SIGKILL)
        assert writer.ended() is not None
        with holdwater(store) as second:
            opened(second)
            hand = Hand(second, store).reading("13.8")
            watcher.wait_for("Read 13.8 psi", timeout=FOLLOWS)
            abandoned(second)
            watcher.wait_for("This test is closed", timeout=FOLLOWS)
            second.press("q", "q")
            assert second.ended() == 0
        assert Shelf(store).live() == []
        watcher.settle().press("tab", "tab").wait_for("WATCHING", "This test is closed")
        watcher.press("q")
        assert watcher.ended() == 0


def test_who_opens_a_test_that_another_writes_is_offered_to_watch_it(store: Path) -> None:
    with holdwater(store) as writer, holdwater(store) as second:
        opened(writer)
        second.wait_for("1 going on", timeout=START)
        second.press("enter").wait_for("being written by another program", "w watch it")
        second.press("escape").wait_gone("w watch it")
        second.press("enter").wait_for("w watch it")
        second.press("w").wait_for("WATCHING", timeout=START)
        Hand(writer, store).reading("13.7")
        second.wait_for("Read 13.7 psi", timeout=FOLLOWS)
        second.press("q").wait_for("1 going on")


def test_a_record_that_its_writer_was_refused_leaves_the_watchers_screen(tmp_path: Path) -> None:
    """The line stood whole on the disk, was seen, and was then cut off again."""
    calls = Broken()
    journal = shelf(tmp_path, calls).begin(SESSION)

    def add(fact: Fact) -> None:
        journal.append(fact, stamp(), BY)

    add(f.SessionOpened(plan=plan(), checks=checks_for(plan())))
    follower = Follower(SESSION, shelf(tmp_path).trail(SESSION), stamp)
    calls.broken = {"sync", "truncate"}
    with pytest.raises(NotWritten):
        add(note("refused"))
    assert follower.refresh() and said(follower) == ["refused"]
    calls.broken = set()
    add(note("kept"))
    assert follower.refresh() and said(follower) == ["kept"]
    assert follower.session.seq == 2
    assert not follower.refresh()


def test_a_watcher_is_told_of_damage_and_keeps_what_it_saw(tmp_path: Path) -> None:
    journal = shelf(tmp_path).begin(SESSION)
    journal.append(f.SessionOpened(plan=plan(), checks=checks_for(plan())), stamp(), BY)
    follower = Follower(SESSION, shelf(tmp_path).trail(SESSION), stamp)
    path = tmp_path / "store" / "live" / f"{SESSION}.journal"
    path.write_bytes(path.read_bytes() + b"not a record\n")
    with pytest.raises(Trouble, match="damaged at record 2"):
        follower.refresh()
    assert follower.session.seq == 1


def opened(terminal: Terminal) -> None:
    terminal.wait_for("1 going on", timeout=START)
    terminal.press("enter").wait_for("[>]HOLD", timeout=START)


def nothing_is_written_by(watcher: Terminal, hand: Hand) -> None:
    before = hand.session.seq
    watcher.type("13.9\rluxn").wait_for("read only: another program writes this test")
    watcher.settle()
    assert hand.session.seq == before


def abandoned(terminal: Terminal) -> None:
    terminal.type("Ayrain\r").wait_for("RELEASE: shut the inlet")
    terminal.type("0\ry").wait_for("This test is closed")


def said(follower: Follower) -> list[str]:
    return [r.fact.text for r in follower.session.records if isinstance(r.fact, f.Noted)]
