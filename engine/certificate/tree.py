"""What a certificate holds: display strings, tables, a plot and a face, all ready to be set."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal, NamedTuple

from engine.present.quantities import System


class Row(NamedTuple):
    """A field of the certificate: what it is, what it says, and what has to be said beside it."""

    label: str
    value: str
    mark: str = ""
    """`house rule`, a source of its own, or a doubt."""


@dataclass(frozen=True)
class Table:
    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...] = ()
    left_out: str = ""
    """Said under the table where it does not show everything, or there is nothing to show."""

    def __bool__(self) -> bool:
        return bool(self.rows or self.left_out)


class Point(NamedTuple):
    """A corrected reading in the units shown, `minutes` after the hold was started."""

    minutes: float
    pressure: float
    good: bool
    held: bool
    """Inside the hold; else it is shown to tell what came before and after."""
    topping: bool


@dataclass(frozen=True)
class Plot:
    """Corrected pressure against time, with the lines it is held against, in the units shown."""

    unit: str
    points: tuple[Point, ...]
    needed: float
    needed_words: str
    cap: float
    cap_words: str
    credited: tuple[tuple[float, float], ...]
    """Each from and to, in minutes after the hold was started."""
    left_out: str = ""


class Seen(NamedTuple):
    """A sighting on the face: the number of its row in the table, and how wet it was."""

    number: int
    place: str
    clock: float
    wet: Literal["dry", "damp", "leak"]


class Gap(NamedTuple):
    """An opening on the face."""

    clock: float
    words: str


@dataclass(frozen=True)
class Face:
    """The joint seen looking at the bell, with what was seen and measured round the clock."""

    shape: Literal["circle", "box"]
    flatness: float
    """Height over width of the outer seal line."""
    seen: tuple[Seen, ...]
    gaps: tuple[Gap, ...]


@dataclass(frozen=True)
class Tested:
    """One session: the joint in one alignment, through the six stages once."""

    identity: str
    alignment: str
    outcome: Literal["pass", "fail", "invalid", "undecided"]
    word: str
    """PASS, FAIL, INVALID or UNDECIDED."""
    claim: str
    """What the outcome says of the joint, in the procedure's own term."""
    when: str
    glance: tuple[Row, ...]
    """The result and its limits in a few figures."""
    reasons: tuple[str, ...]
    beside: tuple[str, ...]
    """Earlier revisions, waivers, top-ups, sightings: what changes nothing and is not to be hidden.
    """
    doubts: tuple[str, ...]
    """Where something was unknown and what was taken instead."""
    rig_doubts: tuple[str, ...]
    """The same of thrust and restraint, which decide nothing about the joint."""
    decision: str
    demand: tuple[Row, ...]
    result: tuple[Row, ...]
    gauge: tuple[Row, ...]
    rig: tuple[Row, ...]
    checks: tuple[Row, ...]
    openings: Table
    temperatures: Table
    readings: Table
    looks: Table
    sightings: Table
    course: Table
    top_ups: Table
    struck: Table
    notes: Table
    plot: Plot | None
    face: Face
    announced: str
    signatures: tuple[str, ...]
    records: int
    digest: str


@dataclass(frozen=True)
class Certificate:
    """Everything that the paper says, and nothing that is not in its sessions."""

    title: str
    practice: str
    """The sentence that stands across a paper of the practice joint; else empty."""
    open: str
    """Said at the top where a session is not closed; else empty."""
    system: System
    number: str
    """Identities and digests: no other certificate has it."""
    identities: tuple[str, ...]
    product: str
    authority: str
    authority_stated: bool
    subject: tuple[Row, ...]
    attempts: Table
    tests: tuple[Tested, ...]
    statements: tuple[str, ...]
    proof: tuple[str, ...]
    cautions: tuple[str, ...]
    dated: datetime
    """When the last record in it was written."""
