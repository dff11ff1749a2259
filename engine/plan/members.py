"""The parts of a restraint as the tables know them: what each may carry, and how it gives."""

from __future__ import annotations

from dataclasses import dataclass

from engine.formulas import beams, bearing, rods
from engine.rig import MEASURED_BEAM, Restraint
from engine.tables.names import find
from engine.tables.rods import ROD_MODULUS_KSI, UNMARKED, Steel, Thread, steel, thread
from engine.tables.shapes import (
    A36_YIELD_KSI,
    SHAPES,
    STEEL_MODULUS_KSI,
    Shape,
    by_measure,
)
from engine.tables.timbers import SIZES, UNKNOWN, Size, Species, species
from engine.tables.washers import HOLE_CLEARANCE_IN, washer
from engine.units import Quantity, amount, q


@dataclass(frozen=True)
class RodKind:
    thread: Thread
    steel: Steel

    @property
    def diameter(self) -> Quantity:
        return q(self.thread.diameter_mm / 25.4, "in")

    @property
    def stress_area(self) -> Quantity:
        size = q(self.thread.diameter_mm, "mm"), q(self.thread.pitch_mm, "mm")
        if self.thread.system == "metric":
            return rods.stress_area_metric(*size)
        return rods.stress_area_inch(*size)

    @property
    def allowable(self) -> Quantity:
        """The lesser of rupture in the thread and yield of the rod, derated where unmarked."""
        gross = rods.gross_area(self.diameter)
        least = amount(rods.rupture_allowable(q(self.steel.ultimate_ksi, "ksi"), gross), "lbf")
        if self.steel.yield_ksi is not None:
            yielding = rods.yield_allowable(q(self.steel.yield_ksi, "ksi"), gross)
            least = min(least, amount(yielding, "lbf"))
        return q(least * self.steel.share, "lbf")

    def spring(self, length: Quantity) -> Quantity:
        return rods.stiffness(self.stress_area, q(ROD_MODULUS_KSI, "ksi"), length)


@dataclass(frozen=True)
class BeamKind:
    """One beam; of a timber the species, of steel what an unmarked shape is taken for."""

    row: Shape | Size
    species: Species | None

    @property
    def section_modulus(self) -> Quantity:
        if isinstance(self.row, Shape):
            return q(self.row.sx_in3, "in**3")
        return beams.rectangle_modulus(q(self.row.breadth_in, "in"), q(self.row.depth_in, "in"))

    @property
    def second_moment(self) -> Quantity:
        if isinstance(self.row, Shape):
            return q(self.row.ix_in4, "in**4")
        sides = q(self.row.breadth_in, "in"), q(self.row.depth_in, "in")
        return beams.rectangle_second_moment(*sides)

    @property
    def allowable(self) -> Quantity:
        if self.species is not None:
            return q(self.species.bending_psi, "psi")
        return q(amount(beams.steel_bending_allowable(q(A36_YIELD_KSI, "ksi")), "psi"), "psi")

    @property
    def modulus(self) -> Quantity:
        if self.species is not None:
            return q(self.species.modulus_psi, "psi")
        return q(STEEL_MODULUS_KSI, "ksi")


@dataclass(frozen=True)
class WasherKind:
    """A washer on timber; `astride` two timbers with the rod between them."""

    along: Quantity
    """Length along the grain."""
    side: Quantity | None
    """Of a square plate; None for a round one."""
    hole: Quantity
    species: Species
    astride: bool

    @property
    def area(self) -> Quantity:
        whole = self.side if self.side is not None else self.along
        if self.astride:
            solid = (bearing.square_washer_area if self.side is not None else
                     bearing.round_washer_area)(whole, q(0, "in"))  # fmt: skip
            strip = amount(self.hole, "in") * amount(self.along, "in")
            return q(amount(solid, "in**2") - strip, "in**2")
        if self.side is not None:
            return bearing.square_washer_area(whole, self.hole)
        return bearing.round_washer_area(whole, self.hole)

    @property
    def reference(self) -> Quantity:
        return q(self.species.across_grain_psi, "psi")

    @property
    def allowable(self) -> Quantity:
        """Under a washer that gets wet."""
        wet = self.species.wet_across_grain
        return bearing.bearing_allowable(self.reference, self.along, wet)

    @property
    def spring(self) -> Quantity:
        return bearing.crush_stiffness(self.reference, self.area)


def rod_kind(restraint: Restraint) -> RodKind | None:
    if restraint.rod is None:
        return None
    return RodKind(thread(restraint.rod), steel(restraint.grade) if restraint.grade else UNMARKED)


def beam_kind(restraint: Restraint) -> BeamKind | None:
    if restraint.beam is None:
        return None
    written = restraint.beam.strip()
    if found := MEASURED_BEAM.fullmatch(written):
        sizes = (float(found[part]) for part in ("depth", "flange", "web"))
        return BeamKind(by_measure(found["letter"], *sizes), None)
    rows: tuple[Shape | Size, ...] = (*SHAPES, *SIZES)
    row = find(written, rows, "steel shape or timber")
    return BeamKind(row, _species(restraint) if isinstance(row, Size) else None)


def washer_kind(restraint: Restraint, rod: RodKind | None, beam: BeamKind | None
                ) -> WasherKind | None:  # fmt: skip
    """The washer where it bears on timber; on steel nothing of it is worked out."""
    if restraint.washer is None or beam is None or beam.species is None or rod is None:
        return None
    hole = q(amount(rod.diameter, "in") + HOLE_CLEARANCE_IN, "in")
    side = restraint.plate_side
    astride = beams_astride(restraint) > 1
    if side is not None:
        return _bearing(WasherKind(side, side, hole, beam.species, astride))
    row = washer(restraint.washer)
    outside = q(row.outside_in, "in")
    return _bearing(WasherKind(outside, None, q(row.hole_in, "in"), beam.species, astride))


def _bearing(kind: WasherKind) -> WasherKind | None:
    """None for a washer that its own hole leaves nothing of."""
    return kind if amount(kind.area, "in**2") > 0 else None


def _species(restraint: Restraint) -> Species:
    return species(restraint.timber) if restraint.timber else UNKNOWN


def beam_lines(restraint: Restraint) -> int:
    """Places along an end at which beams stand, each between two rods where there are enough."""
    return max(1, min(restraint.beams_per_end, len(restraint.at) // 2))


def beams_astride(restraint: Restraint) -> int:
    """Beams side by side at each place."""
    return restraint.beams_per_end // beam_lines(restraint)


def beam_span(restraint: Restraint) -> Quantity | None:
    """Between the rods; where not given, the widest the rods stand apart, across or up."""
    if restraint.span is not None or not restraint.at:
        return restraint.span
    across, up = ([amount(place[n], "in") for place in restraint.at] for n in (0, 1))
    widest = max(max(across) - min(across), max(up) - min(up))
    return q(widest, "in") if widest > 0 else None
