"""The joint seen looking at the bell, as SVG: sightings by number, openings round the clock."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from typing import Final
from xml.sax.saxutils import escape

from engine.certificate import Face
from engine.certificate.tree import Seen
from store.plot import FONT, NAMESPACE

_CENTRE: Final = 150.0
_OUTER: Final = 92.0
_INNER: Final = 83.0
_CORNER: Final = 14.0


def face_svg(face: Face) -> str:
    """A circle or a box with its clock; primary inside the ring, the rest outside."""
    parts = [
        f'<svg xmlns="{NAMESPACE}" viewBox="-6 6 312 288" width="312" height="288" '
        f'font-family="{FONT}" font-size="10">',
        _ring(face, _OUTER, "#e8e8e8"),
        _ring(face, _INNER, "#fff"),
        *_hours(face),
        *_gaps(face),
        *_sightings(face),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _half(face: Face, size: float) -> tuple[float, float]:
    """Half width and half height of a seal line drawn `size` large, the same gap all round."""
    widest = max(1.0, face.flatness)
    gap = size - _OUTER
    return _OUTER / widest + gap, _OUTER * face.flatness / widest + gap


def _ring(face: Face, size: float, fill: str) -> str:
    style = f'fill="{fill}" stroke="#000" stroke-width="0.9"'
    across, up = _half(face, size)
    if face.shape == "circle":
        return f'<circle cx="{_CENTRE:g}" cy="{_CENTRE:g}" r="{across:g}" {style}/>'
    return (
        f'<rect x="{_CENTRE - across:g}" y="{_CENTRE - up:g}" width="{2 * across:g}" '
        f'height="{2 * up:g}" rx="{_CORNER:g}" {style}/>'
    )


def _at(face: Face, clock: float, size: float) -> tuple[float, float]:
    """The point of a seal line, drawn `size` large, that lies at a clock position."""
    angle = clock / 12 * 2 * math.pi
    right, up = math.sin(angle), math.cos(angle)
    across, high = _half(face, size)
    if face.shape == "circle":
        reach = across
    else:
        reach = min(across / abs(right) if abs(right) > 1e-9 else math.inf,
                    high / abs(up) if abs(up) > 1e-9 else math.inf)  # fmt: skip
    return round(_CENTRE + reach * right, 2), round(_CENTRE - reach * up, 2)


def _words(x: float, y: float, words: str, more: str = "") -> str:
    return f'<text x="{x:g}" y="{y + 3.5:g}" text-anchor="middle"{more}>{escape(words)}</text>'


def _hours(face: Face) -> Iterator[str]:
    for hour in range(1, 13):
        x1, y1 = _at(face, hour, _OUTER)
        x2, y2 = _at(face, hour, _OUTER + 4)
        yield f'<line x1="{x1:g}" y1="{y1:g}" x2="{x2:g}" y2="{y2:g}" stroke="#000"/>'
        if hour % 3 == 0:
            yield _words(*_at(face, hour, _OUTER + 11), str(hour), ' font-weight="bold"')


def _gaps(face: Face) -> Iterator[str]:
    """Well inside the ring, so that there is room for what was seen."""
    crowded = Counter(_place(s) for s in face.seen if s.place == "primary")
    for gap in face.gaps:
        if crowded[round(gap.clock * 2) % 24] > 1:
            continue  # it stands in the table
        yield _words(*_at(face, gap.clock, _INNER * 0.52), gap.words, ' font-size="9" fill="#333"')
    if face.gaps:
        yield _words(_CENTRE, _CENTRE, "openings", ' font-size="8" fill="#777"')


def _place(seen: Seen) -> int:
    """Half hours from the top: what is nearer than that stands in one place."""
    return round(seen.clock * 2) % 24


def _sightings(face: Face) -> Iterator[str]:
    """Several in one place stand one behind the other."""
    stacked: Counter[tuple[bool, int]] = Counter()
    for seen in face.seen:
        primary, place = seen.place == "primary", _place(seen)
        depth = stacked[primary, place]
        stacked[primary, place] += 1
        beyond_hour = 18 if place % 6 == 0 else 0
        size = _INNER - 10 - 15 * depth if primary else _OUTER + 9 + beyond_hour + 15 * depth
        yield from _sighting(seen, *_at(face, seen.clock, max(size, 12)))


def _sighting(seen: Seen, x: float, y: float) -> Iterator[str]:
    """Black where it counts as leakage, open where it is damp, dashed where it was dry."""
    style = {
        "leak": 'fill="#000" stroke="#000"',
        "damp": 'fill="#fff" stroke="#000"',
        "dry": 'fill="#fff" stroke="#000" stroke-dasharray="2 2"',
    }[seen.wet]
    ink = "#fff" if seen.wet == "leak" else "#000"
    if seen.place in ("port", "fitting"):
        yield (
            f'<rect x="{x - 6.5:g}" y="{y - 6.5:g}" width="13" height="13" {style} '
            'stroke-width="0.9"/>'
        )
    else:
        yield f'<circle cx="{x:g}" cy="{y:g}" r="7" {style} stroke-width="0.9"/>'
    yield _words(x, y - 0.3, str(seen.number), f' font-size="8.5" fill="{ink}"')
