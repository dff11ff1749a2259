"""The seal lines of a joint as outlines, and what lies between them."""

from __future__ import annotations

from dataclasses import dataclass

from engine.formulas.pocket import Box, Circle, Outline, Section, between, enclosed, outward
from engine.joint import Joint
from engine.plan.model import Basis
from engine.units import Quantity, amount, q

_NONE = q(0, "in")


@dataclass(frozen=True)
class Band:
    """What the pocket's pressure acts on along the axis."""

    inner: Outline
    outer: Outline
    section: Section
    """Negative where the thrust closes the joint."""
    gap: Quantity
    basis: Basis


def face(joint: Joint) -> Outline:
    """The inside face."""
    if joint.shape == "circle":
        assert joint.inside is not None, "faults() was not asked"
        return Circle(joint.inside)
    assert joint.span is not None and joint.rise is not None, "faults() was not asked"
    return Box(joint.span, joint.rise, joint.haunch or _NONE, joint.corner_radius or _NONE)


def pocket_band(joint: Joint) -> Band:
    """Between the seal lines as they are known; where not, all that they could enclose."""
    if joint.lines_known and not lines_crossed(joint):
        basis: Basis = "measured" if joint.seal_lines == "measured" else "drawing"
        return _band(joint, joint.inner_line, joint.outer_line, basis)
    if joint.seal_lines == "assumed" and not lines_crossed(joint):
        return _band(joint, joint.inner_line, joint.outer_line, "assumed")
    return _bound(joint)


def restraint_band(joint: Joint) -> Band:
    """What the restraint is worked out for: lines nobody measured lie at the outside face."""
    if joint.lines_known or joint.seal_lines != "assumed":
        return pocket_band(joint)
    inner = joint.inner_seal if joint.inner_seal is not None else joint.wall - q(0.5, "in")
    outer = joint.outer_seal if joint.outer_seal is not None else joint.wall
    if amount(inner, "in") >= amount(outer, "in"):
        return _bound(joint)
    return _band(joint, inner, outer, "assumed")


def lines_crossed(joint: Joint) -> bool:
    """The inner line was found outside the outer one, which cannot be."""
    return amount(joint.inner_line, "in") >= amount(joint.outer_line, "in")


def closes(joint: Joint) -> bool:
    """A primary held by the spigot and a secondary held by the bell, on one ring: each seals on
    the other section, and the pocket draws the two together."""
    return joint.inner_held_by == "spigot" and joint.outer_held_by == "bell"


def _bound(joint: Joint) -> Band:
    crossed = joint.lines_known and lines_crossed(joint)
    inner = joint.inner_seal if joint.inner_seal is not None and not crossed else _NONE
    outer = joint.outer_seal if joint.outer_seal is not None and not crossed else joint.wall
    return _band(joint, inner, outer, "bound")


def _band(joint: Joint, inner_line: Quantity, outer_line: Quantity, basis: Basis) -> Band:
    inner, outer = (outward(face(joint), line) for line in (inner_line, outer_line))
    lines = enclosed(outer), enclosed(inner)
    section = between(*(reversed(lines) if closes(joint) else lines))
    return Band(inner, outer, section, outer_line - inner_line, basis)


def water_depth(joint: Joint, band: Band) -> Quantity:
    """Radial depth of the water; the gap between the seal lines where it was not given."""
    return band.gap if joint.pocket_depth is None else joint.pocket_depth


def water_outline(joint: Joint, band: Band) -> Outline:
    """Where the water of the pocket ends, towards the bell."""
    return band.outer if joint.pocket_depth is None else outward(band.inner, joint.pocket_depth)


def water_area(joint: Joint, band: Band) -> Quantity:
    """Across the axis, of the water in the pocket: deeper than the gap where it was cast so."""
    return between(enclosed(water_outline(joint, band)), enclosed(band.inner)).area
