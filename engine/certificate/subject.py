"""What was tested: the product, the two sections by their marks, and who and when."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.certificate.tree import Row
from engine.certificate.words import NOT_STATED, plain, whole_first
from engine.joint import Joint
from engine.marks import marks
from engine.present import quantity
from engine.present.quantities import System
from engine.session import Session
from engine.units import amount

_SEAL_LINES = {
    "measured": "measured",
    "drawing": "from the drawing",
}
_HELD = {
    "groove": "in a groove",
    "step": "on a single step, open inward: the pocket pushes it off the step",
}


def sizes(joint: Joint, system: System) -> str:
    """Shape and sizes in one line."""
    wall_words = f"wall {quantity(joint.wall, system)}"
    if joint.inside is not None:
        return f"circle, {quantity(joint.inside, system)} inside, {wall_words}"
    corner = ""
    if joint.haunch is not None:
        corner = f", haunch {quantity(joint.haunch, system)}"
    if joint.corner_radius is not None:
        corner = f", corner radius {quantity(joint.corner_radius, system)}"
    assert joint.span is not None and joint.rise is not None, "a box has both"
    span, rise = quantity(joint.span, system), quantity(joint.rise, system)
    return f"box, span {span}, rise {rise}, {wall_words}{corner}"


def flatness(joint: Joint) -> float:
    """Height over width of the outer seal line."""
    if joint.shape == "circle" or joint.span is None:
        return 1.0
    out = 2 * amount(joint.outer_line, "in")
    return 2 * amount(joint.crown, "in") / (amount(joint.span, "in") + out)


def subject(sessions: Sequence[Session]) -> tuple[Row, ...]:
    """Each field once, with every value that the sessions give it."""
    said: dict[str, list[str]] = {}
    for session in sessions:
        for row in _rows(session):
            values = said.setdefault(row.label, [])
            if row.value not in values:
                values.append(row.value)
    return tuple(Row(label, "; ".join(_known(values))) for label, values in said.items())


def _known(values: list[str]) -> list[str]:
    """Where one session says it and another does not, what was said."""
    return [v for v in values if v != NOT_STATED] or values


def _rows(session: Session) -> Iterator[Row]:
    plan, system = session.plan, session.plan.units
    specimen, joint = plan.specimen, plan.joint
    yield Row("Product", plain(joint.name))
    yield Row("Shape and size", sizes(joint, system))
    yield Row("Spigot / bell", plain(str(marks(session)), 120) or NOT_STATED)
    yield Row("Cast", whole_first(specimen.cast))
    yield Row("Gasket lot", _or_planned(session, "primary", specimen.gasket_lot))
    yield Row("Lubricant", _or_planned(session, "lubricant", specimen.lubricant))
    yield Row("Customer", whole_first(specimen.customer))
    yield Row("Place", whole_first(specimen.place))
    yield Row("Seal lines", _lines(joint, system))
    yield Row("Primary held", _HELD.get(joint.primary_held or "", NOT_STATED))
    yield Row("Faces", _condition(session))
    yield Row("Written by", ", ".join(authors(session)))


def specimen(session: Session) -> str:
    """The two sections by their marks, or that they have none."""
    return plain(str(marks(session)), 120) or "sections without marks"


def _or_planned(session: Session, check: str, planned: str | None) -> str:
    """As planned, and what was noted when it was done, where that differs."""
    said, first = noted(session, check), whole_first(planned)
    if said is None or said == first:
        return first
    return said if first == NOT_STATED else f"{first}; noted: {said}"


def noted(session: Session, check: str) -> str | None:
    """What a check was answered with in words, now or in an earlier test; None where it was not."""
    found = session.checking.settled.get(check)
    carried = session.checking.carried.get(check)
    if found is not None and found.how == "waived":
        return None  # what was written then is why
    answer = found.answer if found else carried.answer if carried else None
    return plain(answer, 140) if answer and answer.strip() else None


def _lines(joint: Joint, system: System) -> str:
    if not joint.lines_known:
        gap = quantity(joint.outer_line - joint.inner_line, system)
        return f"not given; assumed: mid-wall and a gap of {gap}"
    inner, outer = quantity(joint.inner_line, system), quantity(joint.outer_line, system)
    return f"{inner} and {outer} out from the inside face, {_SEAL_LINES[joint.seal_lines]}"


def _condition(session: Session) -> str:
    found = session.checking.settled.get("faces")
    if found is not None and found.how == "waived":
        return "not looked at (waived)"
    seen = found is not None or "faces" in session.checking.carried
    return "sound: no spall, crack or void" if seen else NOT_STATED


def authors(session: Session) -> tuple[str, ...]:
    """Who wrote the records, in order of appearance."""
    return tuple(dict.fromkeys(plain(r.by) for r in session.records))


def when(session: Session) -> str:
    """From the first record to the last, on the wall clock."""
    first, last = session.records[0].at, session.records[-1].at
    ending = f"{last:%H:%M}" if first.date() == last.date() else f"{last:%Y-%m-%d %H:%M}"
    return f"{first:%Y-%m-%d %H:%M} to {ending} (UTC{_offset(session)})"


def _offset(session: Session) -> str:
    text = f"{session.records[0].at:%z}"
    return f"{text[:3]}:{text[3:]}" if text else ""
