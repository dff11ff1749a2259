"""The command line, and the only place that wires the three packages together."""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Callable, Sequence
from datetime import datetime
from functools import cached_property
from importlib import import_module
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tui.arguments import SAFE_ERRORS, VERBS, parser

if TYPE_CHECKING:
    from engine.clock import Stamp
    from engine.falling.logged import Log
    from engine.planfile import PlanFile
    from store.papers import Papers
    from store.shelf import Shelf
    from tui.outside import Outside


_LETTERS = "bcdfghjkmnpqrstvwxz"


def main(argv: Sequence[str] | None = None) -> int:
    """Exit status: 0 done, 1 an unsound record (`audit`), 2 it could not be done."""
    _siblings()
    args = parser().parse_args(argv)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")  # a terminal that lacks a sign still gets the rest
    try:
        status = _run(args)
        sys.stdout.flush()
        return status
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return SAFE_ERRORS
    except KeyboardInterrupt:
        return 130
    except Exception as error:
        return _told(error)


def _told(error: Exception) -> int:
    """Trouble in its own words; anything else without a traceback, unless one is asked for."""
    from engine.plain import visible
    from engine.trouble import Trouble

    if os.environ.get("HOLDWATER_TRACEBACK"):
        raise error
    if isinstance(error, Trouble):
        text = str(error)
    elif isinstance(error, OSError):
        text = f"{error.filename or 'disk'}: {error.strerror}"
    else:
        text = f"holdwater failed ({type(error).__name__}: {error}); what was written is kept"
    for line in text.splitlines() or [type(error).__name__]:
        print(f"holdwater: {visible(line)}", file=sys.stderr)
    return SAFE_ERRORS


def _siblings() -> None:
    """Refuse to run on another program's packages of the same names."""
    here = Path(__file__).resolve().parent.parent
    for name in ("engine", "store"):
        found = import_module(name).__file__
        if found is None or Path(found).resolve().parent.parent != here:
            sys.exit(f"holdwater: the package {name!r} found first is another program's; "
                     "install holdwater into an environment of its own")  # fmt: skip


def _run(args: argparse.Namespace) -> int:
    wiring = Wiring(args)
    if args.verb is None or args.verb in ("start", "watch", "replay", "practice"):
        return _on_screen(wiring, args)
    if args.verb == "demo" and not args.no_screen:
        return _on_screen(wiring, args)
    module = import_module(f"tui.verbs.{VERBS[args.verb][0]}")
    return int(module.run(wiring.outside, args))


def _on_screen(wiring: Wiring, args: argparse.Namespace) -> int:
    """Theme first, for Textual reads it when it is imported; then the way out; then the app."""
    from tui import theme

    if args.verb == "practice":
        from tui.practice import asked

        asked(args.fault, args.speed)
    why = theme.no_screen(os.environ, sys.stderr.isatty() and sys.stdin.isatty())
    if why:
        seen = sys.stderr.isatty() or not sys.stdout.isatty()
        print(f"holdwater: {why}", file=sys.stderr if seen else sys.stdout)
        return SAFE_ERRORS
    wiring.reach()
    look = theme.prepare(ascii_asked=args.ascii)
    from tui import hangup
    from tui.app import HoldwaterApp
    from tui.bench import Bench

    bench = Bench(wiring.outside)
    app = HoldwaterApp(bench, look, _first(wiring, bench, args), wiring.decimal_comma)
    hangup.take(lambda: app.call_from_thread(app.leave))
    app.run(mouse=False)
    if app.failure is not None:
        raise app.failure
    if app.farewell:
        print(app.farewell)
    return app.return_code or 0


def _first(wiring: Wiring, bench: Any, args: argparse.Namespace) -> Callable[[], Any] | None:
    """What is opened at once, in place of the bench; problems are told before the screen opens."""
    if args.verb == "demo":
        from tui.demo import Demo

        return lambda: Demo(wiring.outside)
    if args.verb == "start":
        plan = bench.plan(args.file)
        if args.new or bench.going_on(plan) is None:
            bench.startable(plan)
        if not wiring.by:
            from engine.trouble import Trouble

            raise Trouble("start: nobody is named; say --by NAME or set HOLDWATER_BY")
        return lambda: _started(bench, plan, wiring.by, args.new)
    if args.verb == "watch":
        session = wiring.shelf.resolve(args.session) if args.session else _only(wiring)
        return lambda: bench.watch(session)
    if args.verb == "practice":
        from tui.practice import practise

        seed = args.seed if args.seed is not None else int(wiring.clock().wall.timestamp())
        made_up = practise(wiring.outside, wiring.by, args.fault, seed, args.speed)
        bench.note(made_up)
        return lambda: made_up
    if args.verb == "replay":
        from tui import past

        opens = past.questions if args.questions else past.replay
        course = opens(wiring.outside, args.session)
        return lambda: course
    return None


def _started(bench: Any, plan: PlanFile, by: str, anew: bool) -> Any:
    """A test of this plan that goes on already is gone on with, unless another is asked for."""
    going_on = None if anew else bench.going_on(plan)
    if going_on is None:
        return bench.start(plan, by)
    course = bench.resume(going_on, by)
    bench.notice = bench.notice or "This plan's test goes on here; `start --new` begins another"
    return course


def _only(wiring: Wiring) -> str:
    """The one test that goes on."""
    from engine.trouble import Trouble

    live = wiring.shelf.live()
    if len(live) == 1:
        return live[0]
    many = f"several go on: {', '.join(live[:5])}" if live else "no test goes on"
    raise Trouble(f"watch: {many}; name the session")


class Wiring:
    """The three packages put together, each part when it is first asked for."""

    def __init__(self, args: argparse.Namespace) -> None:
        self._args = args
        self._clock: Callable[[], Stamp] | None = None

    @property
    def by(self) -> str:
        return str(self._args.by or os.environ.get("HOLDWATER_BY", "")).strip()

    @cached_property
    def keeps(self) -> bool:
        """The demonstration keeps nothing unless given a store."""
        return self._args.verb != "demo" or bool(self._args.store)

    @cached_property
    def folder(self) -> Path:
        given = self._args.store or os.environ.get("HOLDWATER_STORE")
        if given:
            from store.paths import expanded

            return expanded(given)
        from platformdirs import user_data_path

        return user_data_path("holdwater", appauthor=False)

    @cached_property
    def shelf(self) -> Shelf:
        from store.shelf import Shelf

        return Shelf(self.folder)

    def reach(self) -> None:
        """The store's folder is there.  Raises Trouble that names it."""
        from engine.trouble import Trouble

        try:
            if self.keeps:
                self.shelf.ready()
        except Trouble as trouble:
            raise Trouble(f"{self.folder}: {trouble}") from None

    @cached_property
    def catalogue(self) -> Any:
        if self.keeps:
            return self.shelf.catalogue
        from tui.memory import MemoryCatalogue

        return MemoryCatalogue()

    @cached_property
    def decimal_comma(self) -> bool:
        import locale

        try:
            locale.setlocale(locale.LC_NUMERIC, "")
        except locale.Error:
            return False
        return locale.localeconv()["decimal_point"] == ","

    @cached_property
    def outside(self) -> Outside:
        from tui.outside import Outside

        shelf: Any
        index: Any
        if self.keeps:
            from store.listing import Listing

            shelf, catalogue, index = self.shelf, self.catalogue, Listing(self.folder)
        else:
            from tui.memory import MemoryIndex, MemoryShelf

            shelf, catalogue, index = MemoryShelf(), self.catalogue, MemoryIndex()
        return Outside(
            clock=self.clock,
            shelf=shelf,
            by=self.by,
            read_plan=self.read_plan,
            read_log=self.read_log,
            identity=self.identity,
            papers=self.papers,
            found=self.found,
            take_in=self.take_in,
            catalogue=catalogue,
            index=index,
            decimal_comma=self.decimal_comma,
            store=str(self.folder) if self.keeps else "",
        )

    def clock(self) -> Stamp:
        """Now: the wall clock, and the counter that nobody sets and that counts suspended time."""
        if self._clock is None:
            self._clock = _machine_clock()
        return self._clock()

    def read_plan(self, path: str) -> PlanFile:
        """Names in place of sections are looked up in the catalogue."""
        from store.paths import expanded
        from store.plans import plan_of

        return plan_of(expanded(path), self.catalogue)[0]

    def read_log(self, path: str) -> Log:
        from store.logs import read_log
        from store.paths import expanded

        return read_log(expanded(path))

    @cached_property
    def papers(self) -> Papers | None:
        if not self.keeps:
            return None
        from store.papers import Papers

        return Papers(self.shelf)

    def found(self, name: str) -> Any:
        from store.foreign import named

        return named(self.shelf, name)

    def take_in(self, path: str) -> list[str]:
        from store.arrivals import arrive
        from store.disk import Disk
        from store.paths import expanded

        return arrive(Disk(self.folder), expanded(path))

    def identity(self) -> str:
        """Today's date, the day's next number, and two letters that no other bench gives alike.

        A session may be kept on another bench, where the same day had tests of its own.
        """
        import secrets

        day = f"{datetime.now().astimezone():%Y-%m-%d}"
        if not self.keeps:
            return f"demo-{day}"
        taken = [*self.shelf.live(), *self.shelf.sealed()]
        today = sum(name.startswith(f"{day}-") for name in taken)
        return f"{day}-{today + 1}{''.join(secrets.choice(_LETTERS) for _ in range(2))}"


def _machine_clock() -> Callable[[], Stamp]:
    from engine.clock import Stamp

    try:
        boot = Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
    except OSError:
        boot = f"process-{os.getpid()}-{time.monotonic_ns()}"
    counter = getattr(time, "CLOCK_BOOTTIME", time.CLOCK_MONOTONIC)

    def clock() -> Stamp:
        return Stamp(datetime.now().astimezone(), boot, time.clock_gettime(counter))

    return clock


if __name__ == "__main__":
    sys.exit(main())
