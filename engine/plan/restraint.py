"""What the restraint carries at a pressure, against what its parts may; and the most it holds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from engine.formulas import beams, bearing, rods
from engine.formulas.rod_group import RodForces, tension_only
from engine.plan import members
from engine.plan.lines import Band
from engine.plan.model import Beam, Frame, Part, Restrained, Rod, RodForce, Washer
from engine.plan.pressures import Column
from engine.plan.thrusts import acting_below, thrust_at
from engine.rig import Restraint
from engine.units import Quantity, amount, q

_NEAR = 1e-9
_STEPS = 20


@dataclass(frozen=True)
class Holder:
    """A restraint and the band of water it has to hold, at any pressure."""

    restraint: Restraint
    band: Band
    column: Column

    @cached_property
    def rod(self) -> members.RodKind | None:
        return members.rod_kind(self.restraint)

    @cached_property
    def beam(self) -> members.BeamKind | None:
        return members.beam_kind(self.restraint)

    @cached_property
    def washer(self) -> members.WasherKind | None:
        return members.washer_kind(self.restraint, self.rod, self.beam)

    @cached_property
    def span(self) -> Quantity | None:
        return members.beam_span(self.restraint)

    @property
    def needs_washer(self) -> bool:
        return self.beam is not None and self.beam.species is not None

    @property
    def unknown(self) -> tuple[Part, ...]:
        """The parts that carry and are not known, or not where they stand."""
        if self.restraint.rated is not None:
            return ()
        known: dict[Part, bool] = {
            "rod": self.rod is not None and bool(self.restraint.at),
            "beam": self.beam is not None and self.span is not None,
            "washer": self.washer is not None or not self.needs_washer,
        }
        return tuple(part for part, is_known in known.items() if not is_known)

    # --- forces ----------------------------------------------------------------------------------

    def thrust(self, at_gauge: float) -> Quantity:
        return thrust_at(self.column, self.band, at_gauge)

    def pulls(self, at_gauge: float) -> RodForces:
        """In the rods, by the thrust alone; one that closes the joint pulls on none."""
        force, places = self.thrust(at_gauge), self.restraint.at
        if amount(force, "lbf") <= 0 or not places:
            return RodForces(tuple(q(0, "lbf") for _ in places), q(0, "in*lbf"))
        below = acting_below(self.column, self.band, at_gauge) or q(0, "in")
        return tension_only(force, (q(0, "in"), q(-amount(below, "in"), "in")), places)

    def demand(self, at_gauge: float) -> Quantity:
        """In the rod pulled most. What was drawn up stays in it beside the thrust, unless hard
        stops take it: the thrust then only unloads them."""
        most = max((amount(f, "lbf") for f in self.pulls(at_gauge).forces), default=0.0)
        drawn = amount(self.restraint.draw_up, "lbf") if self.restraint.draw_up is not None else 0.0
        return q(max(most, drawn) if self.restraint.hard_stops else most + drawn, "lbf")

    # --- what the parts carry, for a demand on the rod pulled most -------------------------------

    def rod_under(self, demand: Quantity) -> Rod | None:
        if self.rod is None:
            return None
        may = self.rod.allowable
        use = amount(demand, "lbf") / amount(may, "lbf")
        return Rod(self.rod.stress_area, demand, may, use)

    def beam_load(self, demand: Quantity) -> Quantity:
        """On the beams of one place, were all its rods pulled like the one pulled most."""
        share = len(self.restraint.at) / members.beam_lines(self.restraint)
        return q(amount(demand, "lbf") * share, "lbf")

    def beam_under(self, demand: Quantity) -> Beam | None:
        if self.beam is None or self.span is None:
            return None
        side_by_side = members.beams_astride(self.restraint)
        load = self.beam_load(demand)
        moment = self._moment(load, self.span)
        modulus = q(side_by_side * amount(self.beam.section_modulus, "in**3"), "in**3")
        stress, may = beams.bending_stress(moment, modulus), self.beam.allowable
        use = amount(stress, "psi") / amount(may, "psi")
        middle, _ = self._bends(load, self.span)
        return Beam(load, moment, stress, may, use, middle)

    def _moment(self, load: Quantity, span: Quantity) -> Quantity:
        width, inset = self.restraint.load_width, self.restraint.load_inset
        if self.restraint.load == "spread" and width is not None:
            return beams.spread_moment(load, span, width)
        if self.restraint.load == "two_points" and inset is not None:
            return beams.two_points_moment(load, inset)
        return beams.centre_moment(load, span)

    def _bends(self, load: Quantity, span: Quantity) -> tuple[Quantity, Quantity]:
        """At the middle, and where the wall bears."""
        assert self.beam is not None
        inertia = amount(self.beam.second_moment, "in**4") * members.beams_astride(self.restraint)
        rigid = beams.rigidity(self.beam.modulus, q(inertia, "in**4"))
        width, inset = self.restraint.load_width, self.restraint.load_inset
        if self.restraint.load == "spread" and width is not None:
            middle = beams.spread_at_centre(load, span, width, rigid)
            return middle, middle
        if self.restraint.load == "two_points" and inset is not None:
            middle = beams.two_points_at_centre(load, span, inset, rigid)
            return middle, beams.two_points_at_load(load, span, inset, rigid)
        middle = beams.centre_deflection(load, span, rigid)
        return middle, middle

    def washer_under(self, demand: Quantity) -> Washer | None:
        if self.washer is None:
            return None
        stress, may = bearing.bearing_stress(demand, self.washer.area), self.washer.allowable
        return Washer(stress, may, amount(stress, "psi") / amount(may, "psi"))

    def uses(self, demand: Quantity) -> dict[Part, float]:
        """Demand over allowable, of each part that is known."""
        found: dict[Part, float] = {}
        parts: tuple[tuple[Part, Rod | Beam | Washer | None], ...] = (
            ("rod", self.rod_under(demand)),
            ("beam", self.beam_under(demand)),
            ("washer", self.washer_under(demand)),
        )
        for name, part in parts:
            if part is not None:
                found[name] = part.use
        return found

    # --- how it gives ----------------------------------------------------------------------------

    @property
    def bending_known(self) -> bool:
        """Where the wall bears on the beams was said; the middle is only the worst that can be."""
        return self.beam is not None and self.span is not None and self.restraint.load != "centre"

    def _spring_of_a_rod(self, bending: bool) -> Quantity | None:
        """Rod, washers and beams of both ends, one after the other; None without the length."""
        length = self.restraint.length
        if self.rod is None or length is None:
            return None
        springs = [self.rod.spring(length)]
        if self.washer is not None:
            springs += [self.washer.spring] * 2
        if bending and self.beam is not None and self.span is not None:
            unit = q(1, "kip")
            _, at_load = self._bends(self.beam_load(unit), self.span)
            if amount(at_load, "in") > 0:
                springs += [q(1 / amount(at_load, "in"), "kip/in")] * 2
        return rods.in_series(*springs)

    @cached_property
    def spring(self) -> Quantity | None:
        """Of the whole restraint against a thrust that moves the ends straight apart.

        The beams' bending counts where their load is known: the worst pattern for their strength
        would make the pocket look soft, and the rise to the target slow.
        """
        one = self._spring_of_a_rod(self.bending_known)
        if one is None or not self.restraint.at:
            return None
        return q(amount(one, "lbf/in") * len(self.restraint.at), "lbf/in")

    def opening(self, at_gauge: float) -> Quantity | None:
        one = self._spring_of_a_rod(bending=True)
        if one is None:
            return None
        most = max((amount(f, "lbf") for f in self.pulls(at_gauge).forces), default=0.0)
        drawn = amount(self.restraint.draw_up, "lbf") if self.restraint.draw_up is not None else 0.0
        return rods.stretch(q(max(0.0, most - drawn), "lbf"), one)

    def drawn_up_against(self, at_gauge: float) -> bool:
        """Drawn up by more than the thrust: nothing stretches before that is overcome."""
        drawn = self.restraint.draw_up
        if drawn is None or not self.restraint.at:
            return False
        whole = amount(drawn, "lbf") * len(self.restraint.at)
        return whole > amount(self.thrust(at_gauge), "lbf")

    # --- the most it holds -----------------------------------------------------------------------

    def limit(self) -> float | None:
        """At the gauge, in psi, where the part that governs carries what it may; None where no
        part is known, or none is ever loaded."""
        per_psi = amount(self.band.section.area, "in**2")
        if per_psi <= 0:
            return None
        still = amount(self.thrust(0.0), "lbf")
        rated = self.restraint.rated
        if rated is not None:
            return (amount(rated, "lbf") - still) / per_psi
        unit = self.uses(q(1, "lbf"))
        if not unit or not self.restraint.at:
            return None
        most = 1 / max(unit.values())
        return _where(lambda psi: amount(self.demand(psi), "lbf") - most, most / per_psi)


def _where(excess: Callable[[float], float], start: float) -> float:
    """The pressure at which a demand that only grows meets what may be carried: along chords, for
    the demand is made of straight pieces."""
    last, here = 0.0, max(start, 1.0)
    before, now = excess(last), excess(here)
    if before >= 0:
        return last
    for _ in range(_STEPS):
        if now == before or abs(now) <= _NEAR * abs(before):
            break
        last, here, before = here, here - now * (here - last) / (now - before), now
        now = excess(here)
    return here


def restrained(holder: Holder, at_gauge: float | None) -> Restrained:
    """The restraint at a pressure at the gauge; at None nothing is known of its being enough."""
    psi = at_gauge if at_gauge is not None else 0.0
    force = holder.thrust(psi)
    rated = holder.restraint.rated
    if rated is not None:
        use = max(0.0, amount(force, "lbf") / amount(rated, "lbf"))
        enough = None if at_gauge is None else use <= 1 + _NEAR
        return Restrained(force, (), None, None, None, Frame(rated, use), q(0, "in*lbf"), None,
                          "frame", use, enough)  # fmt: skip
    pulled, demand = holder.pulls(psi), holder.demand(psi)
    uses = holder.uses(demand)
    governs, most = max(uses.items(), key=lambda item: item[1]) if uses else (None, None)
    enough = _enough(holder, most) if at_gauge is not None else None
    return Restrained(
        thrust=force,
        rods=tuple(
            RodForce(x, y, f) for (x, y), f in zip(holder.restraint.at, pulled.forces, strict=True)
        ),
        rod=holder.rod_under(demand),
        beam=holder.beam_under(demand),
        washer=holder.washer_under(demand),
        frame=None,
        moment_left=pulled.moment_left,
        opening=holder.opening(psi),
        governs=None if enough is None else governs,
        use=None if enough is None else most,
        enough=enough,
        unknown=holder.unknown,
    )


def _enough(holder: Holder, use: float | None) -> bool | None:
    if use is not None and use > 1 + _NEAR:
        return False
    return None if holder.unknown else True
