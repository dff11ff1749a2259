"""`demo`: a whole test on the practice joint, on the screen or printed as it goes."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator

from engine import present
from engine.facts import Practice
from engine.judging.verdict import verdict
from engine.planfile import read_plan
from engine.practice import EDITION
from engine.rehearsal import seen
from engine.session import Session
from tui.demo_plan import DEMO
from tui.outside import Outside
from tui.practice import name
from tui.practice_clock import PracticeClock
from tui.recorder import Recorder, begin
from tui.technician import next_move

SEED = 7
MOST_MOVES = 2000


def opened(outside: Outside, by: str = "Demo Technician") -> tuple[Recorder, PracticeClock]:
    """A demonstration about to begin: its session, and the clock it runs on."""
    clock = PracticeClock(outside.clock, None, speed=0.0)
    kept = name(outside) if outside.store else outside.identity()
    journal = outside.shelf.begin(kept)
    practice = Practice(seed=SEED, fault="none", edition=EDITION)
    return begin(journal, clock, by, read_plan(DEMO), practice), clock


def moves(recorder: Recorder, clock: PracticeClock) -> Iterator[int]:
    """One move after the other; gives the number of each record made."""
    for _ in range(MOST_MOVES):
        before = seen(recorder.session, recorder.now())
        if before is None:
            return
        move = next_move(recorder.session, recorder.now(), before)
        if move is None:
            return
        clock.skip(move.after)
        again = seen(recorder.session, recorder.now())
        if move.command is None or again is None:
            continue
        later = next_move(recorder.session, recorder.now(), again)
        command = later.command if later and later.command else move.command
        yield recorder.ask(command).seq


def run(outside: Outside, args: Namespace) -> int:
    """Print the demonstration as it goes; ends with the verdict."""
    recorder, clock = opened(outside)
    print("Demonstration on the practice joint. Nothing here is a real test.\n")
    _print(recorder.session, 1)
    stage = ""
    for seq in moves(recorder, clock):
        if recorder.session.stage != stage:
            stage = recorder.session.stage
            print(f"\n{present.STAGE[recorder.session.stage]}")
        _print(recorder.session, seq)
    _print_verdict(recorder.session)
    recorder.close()
    if outside.store:
        outside.shelf.seal(recorder.name)
        print(f"\nKept as {recorder.name} in {outside.store}")
    else:
        print("\nNothing was kept.")
    return 0


def _print(session: Session, seq: int) -> None:
    at = present.time_of_day(session, session.times[seq - 1])
    print(f"  {seq:>3}  {at}  {present.record(session, seq)}")


def _print_verdict(session: Session) -> None:
    said = verdict(session)
    print(f"\nVerdict: {present.OUTCOME[said.outcome]}")
    for reason in said.reasons:
        print(f"  - {present.reason(session, reason)}")
    for reason in said.beside:
        print(f"  . {present.reason(session, reason)}")
