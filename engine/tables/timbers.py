"""Timber: dressed sizes, and reference values of posts and timbers by species and grade."""

from __future__ import annotations

from typing import Final, NamedTuple

from engine import sources as s
from engine.sources import Source, Standing
from engine.tables.names import find


class Size(NamedTuple):
    """A dressed timber; `depth` is the side that stands up when it lies on edge.

    `post`: 5x5 or larger, so that the values of posts and timbers hold for it.
    """

    name: str
    breadth_in: float
    depth_in: float
    post: bool = True
    source: Source = s.NDS_SIZES
    standing: Standing = "second_hand"


SIZES: Final = (
    Size("4x4", 3.5, 3.5, post=False),
    Size("4x6", 3.5, 5.5, post=False),
    Size("6x6", 5.5, 5.5),
    Size("6x8", 5.5, 7.5),
    Size("8x8", 7.5, 7.5),
    Size("8x10", 7.5, 9.5),
)


class Species(NamedTuple):
    """Reference values of posts and timbers, 5x5 and larger, dry and under normal load.

    `wet_across_grain` is the factor of wet service on bearing across the grain; where it is 1 the
    row is recalled as being for wet or dry service already.
    """

    name: str
    bending_psi: float
    tension_psi: float
    shear_psi: float
    across_grain_psi: float
    along_grain_psi: float
    modulus_psi: float
    least_modulus_psi: float
    wet_across_grain: float
    standing: Standing
    """Of the row as a whole: the worst of its figures."""
    note: str = ""
    source: Source = s.NDS_TIMBERS


_WET: Final = 0.67
"""From memory, like the exemption of Southern Pine."""

SPECIES: Final = (
    Species(
        "Douglas Fir-Larch No.1", 1200, 825, 170, 625, 1000, 1.6e6, 580e3, _WET, "from_memory",
        "along grain and least modulus are second hand",
    ),
    Species(
        "Douglas Fir-Larch No.2", 750, 475, 170, 625, 700, 1.3e6, 470e3, _WET, "second_hand",
        "2024 table; the factor of wet service is from memory",
    ),
    Species(
        "Southern Pine No.1", 1350, 900, 165, 375, 825, 1.5e6, 550e3, 1.0, "from_memory",
        "recalled as tabulated for wet or dry service",
    ),
    Species(
        "Southern Pine No.2", 850, 550, 165, 375, 525, 1.2e6, 440e3, 1.0, "from_memory",
        "recalled as tabulated for wet or dry service",
    ),
    Species(
        "Hem-Fir No.1", 975, 650, 140, 405, 850, 1.3e6, 470e3, _WET, "from_memory",
        "across grain is second hand",
    ),
    Species("Hem-Fir No.2", 575, 375, 140, 405, 575, 1.1e6, 400e3, _WET, "from_memory"),
    Species(
        "Spruce-Pine-Fir No.1", 850, 550, 125, 425, 700, 1.3e6, 470e3, _WET, "from_memory",
        "across grain is second hand",
    ),
    Species("Spruce-Pine-Fir No.2", 500, 325, 125, 425, 500, 1.0e6, 370e3, _WET, "from_memory"),
)  # fmt: skip


def _lowest() -> Species:
    # Bearing counts wet: a pine row that already is may lose to a dry one times the factor.
    across = min(row.across_grain_psi for row in SPECIES)
    wet = min(row.across_grain_psi * row.wet_across_grain for row in SPECIES)
    return Species(
        name="unknown species",
        bending_psi=min(row.bending_psi for row in SPECIES),
        tension_psi=min(row.tension_psi for row in SPECIES),
        shear_psi=min(row.shear_psi for row in SPECIES),
        across_grain_psi=across,
        along_grain_psi=min(row.along_grain_psi for row in SPECIES),
        modulus_psi=min(row.modulus_psi for row in SPECIES),
        least_modulus_psi=min(row.least_modulus_psi for row in SPECIES),
        wet_across_grain=wet / across,
        standing="from_memory",
        note="not known: the lowest of every column",
    )


UNKNOWN: Final = _lowest()


def species(name: str) -> Species:
    """The row of that species and grade; `unknown species` is the lowest of every column.

    Raises UnknownRow, naming the closest ones.
    """
    return find(name, (*SPECIES, UNKNOWN), "species and grade")
