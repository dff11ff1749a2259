"""The plan of the demonstration: an invented pipe of an invented plant."""

from __future__ import annotations

from typing import Any, Final

DEMO: Final[dict[str, Any]] = {
    "units": "us",
    "joint": {
        "name": "54 in pipe, wall B (demonstration)",
        "shape": "circle",
        "inside": "54 in",
        "wall": "5.5 in",
        "inner_seal": "2.5 in",
        "outer_seal": "3 in",
        "pocket_width": "2.25 in",
        "pocket_depth": "0.5 in",
        "primary_held": "groove",
    },
    "procedure": {
        "authority": "Demonstration procedure of a made-up plant",
        "edition": "1",
        "clause": "4.2",
        "standing": "house",
        "pressure": "13 psi",
        "datum": "crown",
        "hold": "10 min",
        "reading_every": "1 min",
        "longest_gap": "2 min",
        "cap": "15 psi",
        "ramp": "2.9 psi/s",
    },
    "gauge": {
        "mark": "G-07",
        "span": ["0 psi", "30 psi"],
        "accuracy": "A",
        "graduation": "0.25 psi",
        "height": "29.5 in",
        "calibration_due": "2099-12-31",
    },
    "supply": {
        "kind": "hand_pump",
        "pressure": "55 psi",
        "relief": "15 psi",
        "relief_height": "29.5 in",
        "relief_tolerance": "0.5 psi",
        "relief_accumulation": "1.5 psi",
        "flow": "1.5 gal/min",
        "temperature": "55 degF",
    },
    "restraint": {
        "rod": "1-8 UNC",
        "grade": "F1554-36",
        "length": "17 ft",
        "at": [["-38 in", "30 in"], ["38 in", "30 in"], ["-38 in", "-30 in"], ["38 in", "-30 in"]],
        "beam": "C6X8.2",
        "beams_per_end": 2,
        "span": "76 in",
        "load": "two_points",
        "load_inset": "6 in",
        "washer": "3 in",
    },
    "specimen": {"spigot": "D-1041", "bell": "D-1042"},
    "waits": {"bond": "24 h", "soak": "30 min", "settle": "5 min"},
}
