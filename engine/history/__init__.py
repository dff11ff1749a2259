"""What past sessions say together, from their rows alone: no session is read, no engine needed."""

from engine.history.finding import Filter, Search, by_opening, story, told_in_order
from engine.history.standing import Missing, Proof, Standing, standing
from engine.history.trend import FIGURES, LEAST, Chart, Point, chart, trend

__all__ = [
    "FIGURES",
    "LEAST",
    "Chart",
    "Filter",
    "Missing",
    "Point",
    "Proof",
    "Search",
    "Standing",
    "by_opening",
    "chart",
    "standing",
    "story",
    "told_in_order",
    "trend",
]
