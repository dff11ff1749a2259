"""The joint: its shape and sizes, the two seal lines, and the pocket between them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from engine.fields import Fault, Name, Section
from engine.units import Length, Quantity, amount, q

Shape = Literal["circle", "box"]


class Joint(Section):
    """The product under test.  Lengths are of the product as made; heights from its centre."""

    name: Name
    shape: Shape
    inside: Length | None = None
    """Inside diameter of a circle."""
    span: Length | None = None
    rise: Length | None = None
    haunch: Length | None = None
    """Leg of the 45 degree corners of a box."""
    corner_radius: Length | None = None
    wall: Length
    inner_seal: Length | None = None
    """From the inside face out to the line where the inner, primary gasket seals."""
    outer_seal: Length | None = None
    """From the inside face out to the line where the outer, secondary gasket seals."""
    seal_lines: Literal["measured", "drawing", "assumed"] = "drawing"
    """`assumed`: mid-wall with a half-inch gap, and every figure that rests on it is marked."""
    inner_held_by: Literal["spigot", "bell"] | None = None
    outer_held_by: Literal["spigot", "bell"] | None = None
    primary_held: Literal["groove", "step"] | None = None
    pocket_width: Length | None = None
    """Along the axis, between the gaskets."""
    pocket_depth: Length | None = None
    """Radial depth of the water; the gap between the seal lines where not given."""
    section_length: Length | None = None
    axis: Literal["horizontal", "vertical"] = "horizontal"

    @property
    def half_height(self) -> Quantity:
        """From the centre to the inside face at the top."""
        size = self.inside if self.shape == "circle" else self.rise
        assert size is not None, "faults() was not asked"
        half: Quantity = size / 2
        return half

    @property
    def lines_known(self) -> bool:
        return self.inner_seal is not None and self.outer_seal is not None

    @property
    def inner_line(self) -> Quantity:
        """Inner seal line out from the inside face; where unknown, mid-wall less a quarter inch."""
        return self.inner_seal if self.inner_seal is not None else self.wall / 2 - q(0.25, "in")

    @property
    def outer_line(self) -> Quantity:
        """Outer seal line out from the inside face; where unknown, half an inch past the inner."""
        return self.outer_seal if self.outer_seal is not None else self.inner_line + q(0.5, "in")

    @property
    def crown(self) -> Quantity:
        """Height of the top of the outer seal line above the centre; the invert is its mirror."""
        height: Quantity = self.half_height + self.outer_line
        return height

    def with_line(self, key: str, value: Quantity) -> Joint:
        """With one seal line as it was measured: nothing is assumed any more, and the other is as
        it was known, or not known."""
        lines = {"inner_seal": self.inner_seal, "outer_seal": self.outer_seal, key: value}
        return self.model_copy(update={**lines, "seal_lines": "measured"})

    def faults(self) -> Iterator[Fault]:
        if self.axis == "vertical":
            yield Fault(
                "axis",
                "vertical",
                "horizontal: a stack standing on end has no crown and "
                "its thrust is uplift, which is not worked out here",
            )
        yield from self._size_faults()
        yield from self._seal_faults()

    def _size_faults(self) -> Iterator[Fault]:
        wanted = {"circle": ("inside",), "box": ("span", "rise")}[self.shape]
        for key in ("inside", "span", "rise"):
            given = getattr(self, key) is not None
            if key in wanted and not given:
                yield Fault(key, "nothing", f"a length: a {self.shape} needs it")
            if key not in wanted and given:
                yield Fault(key, "a length", f"nothing: a {self.shape} has none")
        if self.shape == "circle" and (self.haunch or self.corner_radius) is not None:
            yield Fault("haunch", "a corner", "nothing: a circle has no corners")
        if self.haunch is not None and self.corner_radius is not None:
            yield Fault("haunch", "haunch and corner_radius", "one of the two")
        for key in (
            "inside",
            "span",
            "rise",
            "wall",
            "haunch",
            "corner_radius",
            "pocket_width",
            "pocket_depth",
            "inner_seal",
            "outer_seal",
            "section_length",
        ):
            size = getattr(self, key)
            if size is not None and amount(size, "in") <= 0:
                yield Fault(key, f"{size:~P}", "more than nothing")
        if self.shape == "box" and self.span is not None and self.rise is not None:
            least = min(amount(self.span, "in"), amount(self.rise, "in")) / 2
            for key in ("haunch", "corner_radius"):
                size = getattr(self, key)
                if size is not None and amount(size, "in") > least * (1 + 1e-9):
                    yield Fault(key, f"{size:~P}", "at most half the smaller side")

    def _seal_faults(self) -> Iterator[Fault]:
        if self.seal_lines == "assumed":
            if self.inner_seal is not None or self.outer_seal is not None:
                yield Fault("seal_lines", "assumed, and a seal line", "one of the two")
            return
        for key in ("inner_seal", "outer_seal"):
            if getattr(self, key) is None and key not in self.model_fields_set:
                yield Fault(
                    key,
                    "nothing",
                    'a length, or "unknown", or seal_lines = "assumed" '
                    "(mid-wall and a half-inch gap)",
                )
        if self.inner_seal is not None and self.outer_seal is not None:
            inner, outer = amount(self.inner_seal, "in"), amount(self.outer_seal, "in")
            if inner >= outer:
                yield Fault(
                    "outer_seal",
                    f"{self.outer_seal:~P}",
                    f"farther out than inner_seal, {self.inner_seal:~P}",
                )
        for key in ("inner_seal", "outer_seal"):
            line = getattr(self, key)
            if line is not None and amount(line, "in") > amount(self.wall, "in") * (1 + 1e-9):
                yield Fault(key, f"{line:~P}", f"within the wall, {self.wall:~P}")
