"""A test told as a story: time passes, commands are asked, and the session is what comes of it."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

from engine import facts as f
from engine.asking.commands import (
    Announce,
    Command,
    Confirm,
    Measure,
    PassStage,
    Refused,
    Sign,
    StartHold,
    StartWait,
    Strike,
    Write,
    decide,
)
from engine.checks import Stage
from engine.clock import Stamp
from engine.facts import Record, record
from engine.grades import Grade, Place
from engine.judging.holding import alike_gauges
from engine.judging.settling import standings
from engine.planfile import PlanFile
from engine.session import Session, evolve
from engine.stages import checks_for
from engine.units import Quantity, q
from tests.plans import plan

START = datetime(2026, 6, 3, 8, 0, tzinfo=timezone(timedelta(hours=-5)))


class Story:
    """Ask, let time pass, and look at the session; refusals are raised as they are."""

    def __init__(self, planned: PlanFile | None = None, by: str = "R. Example") -> None:
        self.session = Session()
        self.records: list[Record] = []
        self.by = by
        self.boot = "boot-1"
        self.ticks = 1000.0
        self.wall = START
        chosen = planned or plan()
        self.ask(Write(f.SessionOpened(plan=chosen, checks=checks_for(chosen))))

    @property
    def stamp(self) -> Stamp:
        return Stamp(self.wall, self.boot, self.ticks)

    @property
    def now(self) -> float:
        return self.session.now(self.stamp)

    def pass_time(self, seconds: float) -> Story:
        self.ticks += seconds
        self.wall += timedelta(seconds=seconds)
        return self

    def ask(self, command: Command) -> int:
        """The number of the record that came of it."""
        fact = decide(self.session, command, self.stamp)
        made = record(self.session.seq + 1, fact, self.stamp, self.by)
        made = Record.model_validate_json(made.model_dump_json())
        self.session = evolve(self.session, made)
        self.records.append(made)
        return made.seq

    def write(self, fact: f.Fact) -> int:
        return self.ask(Write(fact))

    def refusal(self, command: Command) -> str:
        """Why it is refused; fails where it is not."""
        try:
            decide(self.session, command, self.stamp)
        except Refused as refused:
            return str(refused)
        raise AssertionError(f"{command} was not refused")

    # --- what technicians do -------------------------------------------------------------------

    def read(self, psi: float, ago: float = 0.0, **more: object) -> int:
        return self.write(f.PressureRead(pressure=q(psi, "psi"), ago=ago, **more))

    def read_all(self, psi: float) -> Story:
        """The gauge that governs, or each of those that count alike."""
        for mark in alike_gauges(self.session) or (None,):
            self.read(psi, mark=mark)
        return self

    def look(self, dry: bool = True, wiped: bool = False) -> int:
        return self.write(f.Looked(dry=dry, wiped=wiped, ago=0.0))

    def see(self, place: Place, grade: Grade, clock: float | None = 6.0, **more: bool) -> int:
        return self.write(f.Sighted(place=place, grade=grade, clock=clock, ago=0.0, **more))

    def zero(self, psi: float = 0.0, mark: str = "G-07") -> int:
        return self.write(f.GaugeZeroed(mark=mark, reading=q(psi, "psi")))

    def turn(self, which: str, share: float) -> int:
        return self.write(f.ValveTurned(which=which, share=share))

    def release(self, gauge: float = 0.0) -> int:
        return self.write(f.PressureReleased(gauge=q(gauge, "psi"), vent_quiet=True))

    def strike(self, seq: int, reason: str = "misread") -> int:
        return self.ask(Strike(seq, reason))

    # --- whole stages ---------------------------------------------------------------------------

    ANSWERS: dict[str, Quantity] = {  # noqa: RUF012
        "length": q(0.25, "in"),
        "temperature": q(55, "degF"),
        "count": q(2, "count"),
        "volume": q(5, "gal"),
        "time": q(30, "s"),
        "pressure": q(15, "psi"),
    }

    SAID: dict[str, str] = {  # noqa: RUF012
        "burp": "only water",
        "feeler": "at 12, 3, 6 and 9",
        "gasket_again": "the same",
        "restraint": "R. Example: rated by a test load",
        "gauge_in_date": "2099-12-31",
    }

    def settle(self, but: tuple[str, ...] = ()) -> Story:
        """Answer all that is asked in this stage, and wait for what has to be waited for."""
        for here in standings(self.session, self.session.stage, self.now):
            check = here.check
            if check.id in but or here.settled:
                continue
            if check.kind == "wait":
                self.ask(StartWait(check.id))
                self.pass_time(86_400 if check.wait == "bond" else 1_800)
            elif check.kind == "measure":
                value = self.ANSWERS[check.asks or "length"]
                if check.field == "gauge.height":
                    value = self.session.plan.gauge.height or value
                self.ask(Measure(check.id, value))
            elif here.asked:
                said = self._said(check.id) if check.asks else None
                self.ask(Confirm(check.id, said))
        return self

    def _said(self, check: str) -> str:
        specimen = self.session.plan.specimen
        if check == "marks":
            spigot, bell = specimen.spigot or "D-1041", specimen.bell or "D-1042"
            return f"{spigot[:900]} / {bell[:900]}"
        return self.SAID.get(check, "noted")

    def go_on(self) -> Story:
        self.ask(PassStage(self.session.stage))
        return self

    def openings(self, *inches: float) -> Story:
        for clock, width in zip((12.0, 3.0, 6.0, 9.0), inches, strict=True):
            self.write(f.OpeningMeasured(clock=clock, opening=q(width, "in")))
        return self

    def to(self, stage: Stage, zero: float = 0.0) -> Story:
        """Everything done as it should be, up to `stage`."""
        while self.session.stage != stage:
            {"prepare": self._prepare, "seal": lambda: self._seal(zero), "fill": self._fill,
             "vent": self._vent, "hold": self._hold}[self.session.stage]()  # fmt: skip
        return self

    def _prepare(self) -> None:
        self.settle().go_on()

    def _seal(self, zero: float) -> None:
        procedure = self.session.plan.procedure
        if procedure.alignment == "deflected":
            wide = 0.5 + float((procedure.opening or q(0, "in")).m_as("in"))
            self.openings((0.5 + wide) / 2, wide, (0.5 + wide) / 2, 0.5)
        else:
            self.openings(0.5, 0.5, 0.5625, 0.5)
        for gauge in self.session.plan.gauges:
            self.zero(zero, gauge.mark)
        self.settle().go_on()

    def _fill(self) -> None:
        self.settle(but=("valves_open", "full"))
        self.turn("vent", 1.0)
        self.turn("inlet", 0.2)
        self.pass_time(120).settle().go_on()

    def _vent(self) -> None:
        self.closed_and_burped().settle().go_on()

    def closed_and_burped(self) -> Story:
        """The inlet shut and the vent closed, about 5 psi read, and the vent cracked."""
        self.closed().read_all(5.0)
        return self.cracked()

    def closed(self) -> Story:
        """The inlet, then the vent."""
        self.turn("inlet", 0.0)
        self.turn("vent", 0.0)
        return self

    def cracked(self) -> Story:
        """The vent, for a moment."""
        self.turn("vent", 0.03)
        self.turn("vent", 0.0)
        return self

    def raise_to(self, psi: float = 13.5, shut: bool = True) -> Story:
        """At pressure, the inlet shut, settled, and the hold started."""
        self.read_all(psi)
        if shut:
            self.turn("inlet", 0.0)
        self.settle(but=("credit", "looked_during", "looked_at_end"))
        self.ask(StartHold())
        return self

    def hold(self, minutes: int = 10, psi: float = 13.5) -> Story:
        """Readings every minute, with a look in the middle and one at the end."""
        self.read(psi)
        for minute in range(1, minutes + 1):
            self.pass_time(60).read(psi)
            if minute == minutes // 2:
                self.look()
        self.look()
        return self

    def _hold(self) -> None:
        self.raise_to().hold()
        self.go_on()

    def drained(self) -> Story:
        """Bled, released, zeroed and reviewed."""
        self.read(6.0)
        self.release()
        for gauge in self.session.plan.gauges:
            self.zero(0.0, gauge.mark)
        return self.settle(but=("announced", "signed"))

    def signed(self) -> Story:
        """The verdict is announced and signed."""
        self.drained().ask(Announce())
        self.ask(Sign("R. Example"))
        return self

    def end(self) -> Story:
        """All of it, and closed."""
        return self.signed().go_on()
