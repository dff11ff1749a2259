"""The fixed words: stages, outcomes, places, cautions."""

from __future__ import annotations

from typing import Final

from engine.checks import Caution, Stage
from engine.facts import Outcome
from engine.session import Session

STAGE: Final[dict[Stage, str]] = {
    "prepare": "Prepare",
    "seal": "Seal",
    "fill": "Fill",
    "vent": "Vent",
    "hold": "Hold",
    "verdict": "Verdict",
}
OUTCOME: Final = {"pass": "PASS", "fail": "FAIL", "invalid": "INVALID", "undecided": "UNDECIDED"}


def ended_as(session: Session, outcome: Outcome) -> str:
    """The verdict in a word, the same one everywhere; what was given up undecided says so."""
    if session.closing.abandoned is not None and outcome == "undecided":
        return "ABANDONED"
    return OUTCOME[outcome]


PLACE: Final = {
    "primary": "primary gasket",
    "secondary": "secondary gasket",
    "port": "port",
    "fitting": "fitting",
}
NOT_UNDER_PRESSURE: Final = "nothing is opened, mended or zeroed under pressure: release it first"
CAUTION: Final[dict[Caution, str]] = {
    "move": "A pressurised joint can move without warning: stand clear of its ends and the rods.",
    "tighten": "Never tighten, loosen or strike anything under pressure.",
    "air": "Trapped air stores far more energy than water: vent first.",
    "silica": "Drilling concrete makes respirable silica: wet the bit, wear the mask.",
    "lifting": "Nobody under a lifted section; hands out of the joint while homing.",
    "line_of_fire": "Clear both ends and the line of the rods before there is water.",
    "release": "Gauge at zero is one sign of two: the invert may still stand under pressure.",
    "confined": "A person inside is in the line of fire, maybe in a confined space: look from "
    "an end where you can.",
}
GENERAL_CAUTIONS: Final = (
    *CAUTION.values(),
    "Figures here check a rig; they do not replace a qualified person's design.",
    "The governing specification, local codes and licensed practice come first.",
)
