"""The procedure: what is demanded of the joint, and on whose authority."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal

from pydantic import AliasChoices, Field

from engine.fields import Clock, Fault, Name, Section, Text
from engine.grades import Grade
from engine.units import Duration, Fraction, Length, Pressure, Quantity, Ramp, amount, q

Datum = Literal["crown", "springline", "invert", "gauge"]
Standing = Literal["contract", "published", "recalled", "house"]
NOT_STATED: Final = "not stated"


def _minutes(value: float) -> Quantity:
    return q(value, "min")


class Procedure(Section):
    """What the test must show.  Pressures are gauge pressures at the datum."""

    name: Name | None = None
    authority: Text = NOT_STATED
    edition: Text = NOT_STATED
    clause: Text = NOT_STATED
    standing: Standing = "house"
    sources: dict[str, Text] = Field(default_factory=dict, max_length=40)
    """Where a single field comes from, where that is not the authority above."""
    confirmed: bool = True
    """False for a recalled starting point that nobody has yet held against its document."""
    term: Literal["watertight", "leak-resistant"] = "watertight"
    pressure: Pressure
    datum: Datum = "crown"
    hold_time: Duration = Field(validation_alias=AliasChoices("hold", "hold_time"))
    alignment: Literal["straight", "deflected", "offset"] = "straight"
    opening: Length | None = None
    """Deflected: how much wider the joint is on the open side than on the other."""
    open_side: Clock = 3.0
    opening_tolerance: Length = Field(default_factory=lambda: q(0.125, "in"))
    measured_at: Literal["inside", "outside"] = "inside"
    reading_every: Duration = Field(default_factory=lambda: _minutes(1))
    longest_gap: Duration = Field(default_factory=lambda: _minutes(5))
    look_every: Duration | None = None
    look_from: Literal["camera", "mirror", "entry"] = "camera"
    continuity: Literal["continuous", "cumulative"] = "continuous"
    cap: Pressure | None = None
    """Never to be exceeded, at the datum; None: the demanded pressure and 2 psi more."""
    over_cap: Literal["credited", "void"] = "credited"
    ramp: Ramp | None = None
    rule: Literal["simple", "guarded"] = "simple"
    floor: bool = True
    """The reading needed is never below the demanded figure while the gauge stands above the
    datum."""
    leak_from: Grade = "drip"
    top_ups: bool = True
    late_readings: bool = True
    may_stand: Duration | None = Field(
        default=None, validation_alias=AliasChoices("may_stand", "standing_time")
    )
    """How long a drip may stand to dry before it counts; None: a drip counts at once."""
    stand_under_pressure: bool = True
    retest_every: Duration | None = None
    """How long a pass counts for a product's standing; None: nobody set it."""
    air_limit: Fraction | None = None
    """Trapped air as a share of the pocket, above which a hold proves nothing."""

    @property
    def limit(self) -> Quantity:
        """The cap at the datum."""
        return self.cap if self.cap is not None else self.pressure + q(2, "psi")

    def faults(self) -> Iterator[Fault]:
        if self.alignment == "offset":
            yield Fault(
                "alignment",
                "offset",
                "straight or deflected: the offset test is not conducted here yet",
            )
        if self.alignment == "deflected" and self.opening is None:
            yield Fault("opening", "nothing", "how much wider the open side is, like 0.5 in")
        if self.alignment == "straight" and self.opening is not None:
            yield Fault("opening", f"{self.opening:~P}", 'nothing, or alignment = "deflected"')
        for key in (
            "pressure",
            "hold_time",
            "reading_every",
            "longest_gap",
            "look_every",
            "ramp",
            "opening",
            "opening_tolerance",
            "air_limit",
            "retest_every",
        ):
            value = getattr(self, key)
            if value is not None and value.magnitude <= 0:
                yield Fault(key.replace("hold_time", "hold"), f"{value:~P}", "more than nothing")
        if self.may_stand is not None and self.may_stand.magnitude < 0:
            yield Fault("may_stand", f"{self.may_stand:~P}", "nothing or more")
        if self.cap is not None and amount(self.cap, "psi") < amount(self.pressure, "psi"):
            yield Fault("cap", f"{self.cap:~P}", f"at least the pressure, {self.pressure:~P}")
        if amount(self.longest_gap, "s") < amount(self.reading_every, "s"):
            yield Fault(
                "longest_gap",
                f"{self.longest_gap:~P}",
                f"at least reading_every, {self.reading_every:~P}",
            )
        if self.leak_from == "dry":
            yield Fault("leak_from", "dry", "the mildest grade that counts as leakage")
