"""Everything that can have happened in a test, and the record that holds one of them.

Facts carry no number, time or author: the writer stamps those.  Where something was seen or read
before it was written down, `ago` says how many seconds before.
"""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Final, Literal

from pydantic import AwareDatetime, Field, field_serializer

from engine.checks import Check, Stage
from engine.clock import Stamp
from engine.fields import Clock, Frozen, Name, Text
from engine.grades import Grade, Place
from engine.planfile import PlanFile
from engine.rig import Gauge
from engine.units import Length, Measure, Pressure, Temperature, Volume

RULES_EDITION: Final = 2
"""Of the rules by which credit and verdict are worked out: raised with every change after which
the same records can come to another credit or verdict."""

Ago = Annotated[float, Field(ge=0, le=7 * 86400, default=0.0)]
Share = Annotated[float, Field(ge=0, le=1)]
Seq = Annotated[int, Field(ge=1)]
Outcome = Literal["pass", "fail", "invalid", "undecided"]


class Carried(Frozen):
    """A check that still stands from an earlier session, with a copy of what was found there."""

    check: Name
    session: Name
    seq: Seq
    by: Name
    answer: Text | None = None
    measure: Measure | None = None


class Practice(Frozen):
    """This session runs on the practice joint; hidden until the verdict."""

    seed: int
    fault: Name
    edition: int


# --- checking -----------------------------------------------------------------------------------


class SessionOpened(Frozen):
    """A test was begun.  What it is judged by is pinned here, whatever changes elsewhere later."""

    kind: Literal["session_opened"] = "session_opened"
    plan: PlanFile
    checks: tuple[Check, ...] = Field(max_length=200)
    rules: int = RULES_EDITION
    follows: Name | None = None
    carried: tuple[Carried, ...] = Field(default=(), max_length=200)
    practice: Practice | None = None


class CheckConfirmed(Frozen):
    """Somebody stood there and said yes."""

    kind: Literal["check_confirmed"] = "check_confirmed"
    check: Name
    answer: Text | None = None


class CheckMeasured(Frozen):
    """Something was measured; written down with the limit it was held against."""

    kind: Literal["check_measured"] = "check_measured"
    check: Name
    measure: Measure
    limit: Measure | None = None
    sound: bool = True


class CheckWaived(Frozen):
    kind: Literal["check_waived"] = "check_waived"
    check: Name
    reason: Text


class WaitStarted(Frozen):
    """The clock of a wait runs from `ago` seconds before this was written down."""

    kind: Literal["wait_started"] = "wait_started"
    check: Name
    ago: Ago


class Settled(Frozen):
    """How one check stood when its stage was passed."""

    check: Name
    how: Literal["confirmed", "measured", "computed", "waited", "waived", "carried", "advice"]
    measure: Measure | None = None
    limit: Measure | None = None


class StagePassed(Frozen):
    kind: Literal["stage_passed"] = "stage_passed"
    stage: Stage
    settled: tuple[Settled, ...] = Field(default=(), max_length=200)


class StageReopened(Frozen):
    """Back to `stage`: what was settled there and later is open again."""

    kind: Literal["stage_reopened"] = "stage_reopened"
    stage: Stage
    reason: Text


class GaugeFitted(Frozen):
    """A gauge hangs at a measured height above the joint's centre."""

    kind: Literal["gauge_fitted"] = "gauge_fitted"
    mark: Name
    height: Length
    gauge: Gauge | None = None
    """What it is, where it is not one that was planned."""


class OpeningMeasured(Frozen):
    """How wide the joint stands open at a clock position."""

    kind: Literal["opening_measured"] = "opening_measured"
    clock: Clock
    opening: Length


# --- water --------------------------------------------------------------------------------------


class GaugeZeroed(Frozen):
    """What the gauge showed with no pressure on it: its zero, taken off every reading."""

    kind: Literal["gauge_zeroed"] = "gauge_zeroed"
    mark: Name
    reading: Pressure


class ValveTurned(Frozen):
    kind: Literal["valve_turned"] = "valve_turned"
    which: Literal["inlet", "vent", "cock"]
    """`cock`: the gauge's own."""
    share: Share
    """0 shut, 1 wide open."""


class SupplySet(Frozen):
    kind: Literal["supply_set"] = "supply_set"
    pressure: Pressure


class VolumeAdded(Frozen):
    """A measured volume went in (or, negative, came out) and the gauge then showed `after`."""

    kind: Literal["volume_added"] = "volume_added"
    volume: Volume
    after: Pressure


class HoldStarted(Frozen):
    kind: Literal["hold_started"] = "hold_started"


class ToppedUp(Frozen):
    """Water was added during the hold; `before` and `after` are readings like any other."""

    kind: Literal["topped_up"] = "topped_up"
    before: Pressure
    after: Pressure
    volume: Volume | None = None


class PressureReleased(Frozen):
    """Two signs that there is no pressure: the gauge, and the open vent without flow."""

    kind: Literal["pressure_released"] = "pressure_released"
    gauge: Pressure
    vent_quiet: bool


class Mended(Frozen):
    """A leaking port or fitting was mended."""

    kind: Literal["mended"] = "mended"
    what: Text


# --- evidence -----------------------------------------------------------------------------------


class PressureRead(Frozen):
    """A gauge was read, `ago` seconds before this was written down."""

    kind: Literal["pressure_read"] = "pressure_read"
    pressure: Pressure
    mark: Name | None = None
    """None: the gauge that governs."""
    ago: Ago
    read_by: Name | None = None
    read_from: Literal["dial", "watch", "photo", "log"] | None = None
    """What a late reading was read from; None where it was typed as it was read."""


class TemperatureRead(Frozen):
    kind: Literal["temperature_read"] = "temperature_read"
    what: Literal["water", "air", "concrete", "rod"]
    temperature: Temperature
    ago: Ago


class Sighted(Frozen):
    """What was seen, and where."""

    kind: Literal["sighted"] = "sighted"
    place: Place
    clock: Clock | None = None
    grade: Grade
    returns: bool = False
    """It came back after it was wiped."""
    wets: bool = False
    """Port or fitting: its water can reach the place that is looked at."""
    ago: Ago


class Looked(Frozen):
    """The inside of the joint was looked at all round."""

    kind: Literal["looked"] = "looked"
    dry: bool
    """Nothing wet anywhere on the primary gasket; False where sightings say what there was."""
    wiped: bool = False
    look_from: Literal["camera", "mirror", "entry"] = "camera"
    ago: Ago


class Noted(Frozen):
    kind: Literal["noted"] = "noted"
    text: Text


class HandedOver(Frozen):
    """From here on `to` writes the records."""

    kind: Literal["handed_over"] = "handed_over"
    to: Name


class Struck(Frozen):
    """An earlier record does not count; it stays visible, struck through, with the reason."""

    kind: Literal["struck"] = "struck"
    of: Seq
    reason: Text


# --- closing ------------------------------------------------------------------------------------


class Reason(Frozen):
    """One rule that the verdict rests on, with what was found, the limit, and the records."""

    rule: Name
    measure: Measure | None = None
    limit: Measure | None = None
    place: Place | None = None
    clock: Clock | None = None
    grade: Grade | None = None
    check: Name | None = None
    records: tuple[Seq, ...] = Field(default=(), max_length=5000)


class SpecimenDisturbed(Frozen):
    """The rig or the handling disturbed the specimen: nothing can be said of the joint."""

    kind: Literal["specimen_disturbed"] = "specimen_disturbed"
    how: Text


class VerdictGiven(Frozen):
    """What was announced.  The verdict itself is always derived from the records."""

    kind: Literal["verdict_given"] = "verdict_given"
    outcome: Outcome
    reasons: tuple[Reason, ...] = Field(min_length=1, max_length=200)


class Signed(Frozen):
    """A typed name under a verdict; it stands for no more than that."""

    kind: Literal["signed"] = "signed"
    name: Name
    role: Literal["technician", "witness"]
    verdict: Seq


class Abandoned(Frozen):
    kind: Literal["abandoned"] = "abandoned"
    reason: Text


class Amended(Frozen):
    """A closed session was taken up again; the paper written before is kept as a revision."""

    kind: Literal["amended"] = "amended"
    reason: Text


Checking = (
    SessionOpened | CheckConfirmed | CheckMeasured | CheckWaived | WaitStarted
    | StagePassed | StageReopened | GaugeFitted | OpeningMeasured
)  # fmt: skip
Water = (
    GaugeZeroed | ValveTurned | SupplySet | VolumeAdded | HoldStarted | ToppedUp
    | PressureReleased | Mended
)  # fmt: skip
Evidence = PressureRead | TemperatureRead | Sighted | Looked | Noted | HandedOver | Struck
Closing = SpecimenDisturbed | VerdictGiven | Signed | Abandoned | Amended
Fact = Checking | Water | Evidence | Closing
AnyFact = Annotated[Fact, Field(discriminator="kind")]

STRIKABLE: Final = (
    CheckConfirmed | CheckMeasured | CheckWaived | WaitStarted | GaugeFitted | OpeningMeasured
    | GaugeZeroed | VolumeAdded | ToppedUp | PressureRead | TemperatureRead | Sighted | Looked
    | Noted | SpecimenDisturbed | Mended
)  # fmt: skip
"""Evidence and checks may be struck; opened, stage, hold, verdict, signature and strike never."""


class Record(Frozen):
    """One fact, with its number, time and author."""

    seq: Seq
    at: AwareDatetime
    boot: Name
    ticks: float
    by: Name
    fact: AnyFact

    @property
    def stamp(self) -> Stamp:
        return Stamp(self.at, self.boot, self.ticks)

    @field_serializer("at")
    def _written(self, at: datetime) -> str:
        return at.isoformat(timespec="milliseconds")


def record(seq: int, fact: Fact, stamp: Stamp, by: str) -> Record:
    return Record(seq=seq, at=stamp.wall, boot=stamp.boot, ticks=stamp.ticks, by=by, fact=fact)
