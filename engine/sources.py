"""The bibliography: one constant for each standard, handbook or book, and how well it is known.

A flat list, appended to. What a formula or a row rests on is named by its constant here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Standing = Literal["seen", "second_hand", "from_memory", "computed", "common_practice"]
"""How well a figure is known: read in the source itself, in somebody's copy of it, remembered and
not checked, worked out here, or said in the trade without a source."""


@dataclass(frozen=True)
class Source:
    """A document as it is cited, and the best that can be said of how it is known here."""

    name: str
    title: str
    standing: Standing


# Geometry, statics and practice
GEOMETRY: Final = Source("geometry", "Plane geometry, worked out here", "computed")
STATICS: Final = Source("statics", "Equilibrium, worked out here by two routes", "computed")
BEAM_THEORY: Final = Source(
    "beam theory", "Elastic beams on two supports, checked by integration", "computed"
)
PRACTICE: Final = Source(
    "common practice", "Said in the trade; no published source", "common_practice"
)
FLUID_TEXT: Final = Source(
    "fluid mechanics text",
    "Textbook problems on the force and centre of pressure of gates",
    "second_hand",
)
PILE_GROUP: Final = Source(
    "pile group text", "Worked problem on a group of four piers", "second_hand"
)

# Threads, rods and washers
FED_STD_H28: Final = Source(
    "FED-STD-H28/2B", "Screw-thread standards for federal services", "second_hand"
)
ASME_B1_1: Final = Source("ASME B1.1", "Unified inch screw threads", "from_memory")
ISO_898_1: Final = Source(
    "ISO 898-1", "Mechanical properties of fasteners: bolts, screws and studs", "second_hand"
)
ASTM_A36: Final = Source("ASTM A36", "Carbon structural steel", "second_hand")
ASTM_A307: Final = Source("ASTM A307", "Carbon steel bolts, studs and threaded rod", "from_memory")
ASTM_A193: Final = Source("ASTM A193", "Alloy-steel bolting", "from_memory")
ASTM_F1554: Final = Source("ASTM F1554", "Anchor bolts, 36, 55 and 105 ksi yield", "second_hand")
ASME_B18_22_1: Final = Source("ASME B18.22.1", "Plain washers", "from_memory")
ASTM_F436: Final = Source("ASTM F436", "Hardened steel washers", "from_memory")
FASTENING: Final = Source("Mechanical Fastening, Joining and Assembly", "p. 85", "seen")

# Steel and timber
AISC_360: Final = Source("AISC 360", "Specification for structural steel buildings", "second_hand")
AISC_SHAPES: Final = Source("AISC Shapes Database", "Version 16.0, from two copies", "second_hand")
NDS: Final = Source(
    "NDS", "National Design Specification for wood construction, 3.10 and 3.5", "seen"
)
NDS_SIZES: Final = Source("NDS Supplement 1B", "Sizes of dressed timber", "second_hand")
NDS_TIMBERS: Final = Source(
    "NDS Supplement 4D", "Reference values of posts and timbers", "from_memory"
)
CONCRETE_TEXT: Final = Source("Design of Reinforced Concrete", "Example 20.4", "seen")
MACHINE_TEXT: Final = Source("An Introduction to Mechanical Engineering", "Example 5.4", "seen")
MATERIALS_TEXT: Final = Source("Mechanics of Materials", "Problem 5.1", "seen")

# Pipe, boxes, nipples and gauges
ASME_B36_10M: Final = Source("ASME B36.10M", "Welded and seamless steel pipe", "second_hand")
ASME_B1_20_1: Final = Source("ASME B1.20.1", "Pipe threads, general purpose, inch", "second_hand")
ASTM_C443: Final = Source("ASTM C443", "Joints for concrete pipe, using rubber gaskets", "seen")
EN_1916: Final = Source("EN 1916", "Concrete pipes and fittings: angular deflection", "from_memory")
ASME_B40_100: Final = Source("ASME B40.100", "Pressure gauges", "second_hand")
EN_837_1: Final = Source("EN 837-1", "Bourdon tube pressure gauges, table 11", "seen")

# Water, air, leaks, decision rules and statistics
KELL_1975: Final = Source(
    "Kell 1975",
    "Density, thermal expansivity and compressibility of liquid water, 0 to 150 degC; density as "
    "in NIST J. Res. 97, 335, whose denominator has two digits swapped",
    "second_hand",
)
IAPWS_95: Final = Source("IAPWS-95", "Thermodynamic properties of ordinary water", "seen")
PIPE_HANDBOOK: Final = Source("Pipeline Rules of Thumb Handbook", "pp. 141-142, table 1", "seen")
AS_NZS_2885_5: Final = Source(
    "AS/NZS 2885.5", "Field pressure testing: the pressure and added volume plot", "seen"
)
BOYLE: Final = Source("Boyle's law", "Ideal gas at constant temperature, worked out", "computed")
POCKET_96: Final = Source(
    "P96", "Worked example: pocket of 164.934 in2 and 494.80 in3, computed twice", "computed"
)
PHARMACY_DROP: Final = Source("Pharmacy practice", "Twenty drops to the millilitre", "second_hand")
GAUGE_PRACTICE: Final = Source(
    "ASME PCC-2", "Gauge range: 1.5 to 4 times the test pressure", "second_hand"
)
UFC_4_390: Final = Source("UFC 4-390-01", "Gauges used between 1/4 and 3/4 of full scale", "seen")
GUM: Final = Source("JCGM 100", "Expression of uncertainty: F.2.2.1 from memory, H.3 seen", "seen")
JCGM_106: Final = Source("JCGM 106", "Uncertainty in conformity assessment, 7.4", "second_hand")
ILAC_G8: Final = Source("ILAC-G8:09/2019", "Decision rules and statements of conformity", "seen")
NIST_STRD: Final = Source("NIST StRD", "Linear regression reference data: Norris", "seen")
NIST_HANDBOOK: Final = Source(
    "NIST e-Handbook", "6.3.2.2, individuals control charts", "from_memory"
)
HELSEL_HIRSCH: Final = Source(
    "Helsel and Hirsch", "Statistical methods in water resources: Theil-Sen", "from_memory"
)
BURNHAM_ANDERSON: Final = Source(
    "Burnham and Anderson", "Model selection: AICc and weights", "second_hand"
)
STUDENT_TABLE: Final = Source("Student's t table", "As printed in handbooks", "from_memory")
SET_BOUND: Final = Source(
    "Bounded-error line", "All lines within half a graduation; equals the linear programme",
    "computed",
)  # fmt: skip
