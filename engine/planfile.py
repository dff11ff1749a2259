"""What a plan file says, and everything that is wrong with it at once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Literal

from pydantic import Field, ValidationError

from engine.checks import Check
from engine.fields import Fault, Frozen, Section, spellings
from engine.joint import Joint
from engine.levels import levels
from engine.plain import plain, visible
from engine.procedure import Procedure
from engine.rig import Gauge, Ports, Restraint, Specimen, Supply, Waits
from engine.trouble import Trouble
from engine.units import Pressure, Quantity, amount, q

_MEASURED = {
    "joint.inner_seal": "length",
    "joint.outer_seal": "length",
    "joint.pocket_width": "length",
    "gauge.height": "length",
    "supply.relief": "pressure",
}
"""Fields that a check may replace by what was measured, and what it then asks for."""


class PlanFile(Section):
    """Joint, procedure and rig of one test, as written by whoever planned it."""

    units: Literal["us", "si"] = "us"
    joint: Joint
    procedure: Procedure
    gauges: tuple[Gauge, ...] = Field(min_length=1, max_length=4)
    supply: Supply
    restraint: Restraint
    specimen: Specimen = Field(default_factory=Specimen)
    ports: Ports = Field(default_factory=Ports)
    waits: Waits = Field(default_factory=Waits)
    check: tuple[Check, ...] = Field(default=(), max_length=60)
    """The plant's own checks."""
    atmosphere: Pressure = Field(default_factory=lambda: q(14.696, "psi"))
    """Absolute pressure of the air at the plant."""

    @property
    def gauge(self) -> Gauge:
        """The gauge that governs: the one named so, else the first."""
        return next((g for g in self.gauges if g.governs), self.gauges[0])

    def faults(self) -> Iterator[Fault]:
        marks = [g.mark for g in self.gauges]
        if len(set(marks)) < len(marks):
            yield Fault("gauges", "one mark twice", "a mark of its own for each gauge")
        if sum(g.governs for g in self.gauges) > 1:
            yield Fault("gauges", "two that govern", "one at the most")
        if not 7 <= amount(self.atmosphere, "psi") <= 16:
            yield Fault("atmosphere", f"{self.atmosphere:~P}", "between 7 and 16 psi (absolute)")
        if self.procedure.look_from == "entry" and self._too_small_to_enter():
            yield Fault("procedure.look_from", "entry", "camera or mirror: nobody enters a section "
                        "below about 36 in (house rule)")  # fmt: skip
        yield from self._cap_faults()
        yield from self._check_faults()

    def _check_faults(self) -> Iterator[Fault]:
        """A plant's own check replaces a planned size by a measured one, and never a demand."""
        for check in self.check:
            measured = check.kind == "measure" and check.asks == _MEASURED.get(check.field or "")
            if check.field is not None and not measured:
                wanted = ", ".join(f"{field} ({asked})" for field, asked in _MEASURED.items())
                yield Fault(
                    f"check.{check.id}.field", check.field, f"one that is measured: {wanted}"
                )
            if check.wait is not None and check.wait not in Waits.model_fields:
                known = ", ".join(Waits.model_fields)
                yield Fault(f"check.{check.id}.wait", check.wait, f"one of {known}")

    def _cap_faults(self) -> Iterator[Fault]:
        """The cap is stated at the datum; at the gauge it may lie below what must be read there."""
        for gauge in self.gauges:
            at_gauge = levels(self, gauge, bled=True)
            if at_gauge.cap < at_gauge.good_from - 1e-9:
                yield Fault(
                    "procedure.cap",
                    f"{self.procedure.limit:~P} at the datum, which is "
                    f"{self._told(at_gauge.cap)} at gauge {gauge.mark}",
                    f"at least the {self._told(at_gauge.good_from)} that must be read there",
                )

    def _told(self, psi: float) -> str:
        """A pressure in the units shown."""
        unit = "psi" if self.units == "us" else "kPa"
        return f"{amount(q(psi, 'psi'), unit):.4g} {unit}"

    def _too_small_to_enter(self) -> bool:
        return amount(2 * self.joint.half_height, "in") < 36

    def with_gauge(self, mark: str, height: Quantity, gauge: Gauge | None = None) -> PlanFile:
        """The plan with the gauge `mark` at a measured height; one nobody planned governs."""
        known = next((g for g in self.gauges if g.mark == mark), None)
        if known is not None:
            moved = (gauge or known).model_copy(
                update={"mark": mark, "height": height, "governs": known.governs}
            )
            return self.model_copy(
                update={"gauges": tuple(moved if g is known else g for g in self.gauges)}
            )
        new = (gauge or self.gauge).model_copy(
            update={"mark": mark, "height": height, "governs": True}
        )
        others = tuple(g.model_copy(update={"governs": False}) for g in self.gauges)
        return self.model_copy(update={"gauges": (new, *others)})

    def with_field(self, field: str, value: Quantity | dt.date) -> PlanFile:
        """The plan with one field, like `supply.relief`, replaced by what was found.

        `gauge.height` goes to the gauge that governs.
        """
        section, _, key = field.partition(".")
        if section == "gauge":
            gauges = tuple(
                g.model_copy(update={key: value}) if g is self.gauge else g for g in self.gauges
            )
            return self.model_copy(update={"gauges": gauges})
        if field in _SEAL_LINES and not isinstance(value, dt.date):
            return self.model_copy(update={"joint": self.joint.with_line(key, value)})
        changed = getattr(self, section).model_copy(update={key: value})
        return self.model_copy(update={section: changed})


_SEAL_LINES = ("joint.inner_seal", "joint.outer_seal")


class BadPlan(Trouble, ValueError):  # noqa: N818 - read aloud where it is raised
    """A plan that cannot be used; holds every fault found."""

    def __init__(self, faults: list[Fault]) -> None:
        more = [f"and {len(faults) - _TOLD} more"] if len(faults) > _TOLD else []
        super().__init__("\n".join([*(visible(str(f)) for f in faults[:_TOLD]), *more]))
        self.faults = faults


_TOLD = 40
"""Faults told one by one; a file with more is none that anybody wrote."""


def read_plan(data: Mapping[str, Any]) -> PlanFile:
    """The plan in a parsed plan file.

    Raises BadPlan with all faults at once: unknown keys, wrong dimensions, what is missing, and
    what cannot be, the names that no table has among it.
    """
    whole = dict(data)
    if "gauge" in whole:
        if "gauges" in whole:
            raise BadPlan([Fault("gauge", "gauge and gauges", "one of the two")])
        gauge = whole.pop("gauge")
        whole["gauges"] = gauge if isinstance(gauge, list) else [gauge]
    faults: list[Fault] = []
    try:
        plan = PlanFile.model_validate(whole)
    except ValidationError as error:
        faults = list(_unreadable(error, PlanFile))
        faults += list(_faults_of_the_rest(whole, faults))
        raise BadPlan(faults) from None
    for name, section in _sections(plan):
        faults += [f._replace(key=f"{name}.{f.key}") for f in section.faults()]
    faults += _gauge_faults(plan.gauges)
    if not faults:
        faults = list(plan.faults())
    if faults:
        raise BadPlan(faults)
    return plan


def _sections(plan: PlanFile) -> Iterator[tuple[str, Section]]:
    for name in _MODELS:
        yield name, getattr(plan, name)


def _gauge_faults(gauges: Sequence[Gauge]) -> Iterator[Fault]:
    for number, gauge in enumerate(gauges, 1):
        name = "gauge" if len(gauges) == 1 else f"gauges.{number}"
        yield from (f._replace(key=f"{name}.{f.key}") for f in gauge.faults())


def section_faults(name: str, values: object) -> list[Fault]:
    """What is wrong with one section by itself, as a catalogue holds it; `gauge` is one gauge."""
    model: type[Section] | None = Gauge if name == "gauge" else _MODELS.get(name)
    if model is None:
        return [Fault(name, _shown(values), "no such section")]
    try:
        section = model.model_validate(values)
    except ValidationError as error:
        return list(_unreadable(error, model))
    return list(section.faults())


_MODELS: dict[str, type[Section]] = {
    "joint": Joint,
    "procedure": Procedure,
    "supply": Supply,
    "restraint": Restraint,
    "ports": Ports,
    "waits": Waits,
}


def _faults_of_the_rest(whole: Mapping[str, Any], unread: Sequence[Fault]) -> Iterator[Fault]:
    """The impossible in what could be read, where something else could not."""
    for name, model in _MODELS.items():
        if isinstance(whole.get(name), dict):
            yield from _searched(name, model, whole[name], unread)
    gauges = whole.get("gauges", ())
    for number, gauge in enumerate(gauges, 1):
        name = "gauge" if len(gauges) == 1 else f"gauges.{number}"
        if isinstance(gauge, dict):
            yield from _searched(name, Gauge, gauge, unread)


def _searched(
    name: str, model: type[Section], data: Mapping[str, Any], unread: Sequence[Fault]
) -> Iterator[Fault]:
    """Faults of a section without its unreadable fields; none that comes of leaving them out."""
    bad = {f.key.removeprefix(f"{name}.").split(".")[0] for f in unread if f.key.startswith(name)}
    try:
        section = model.model_validate({k: v for k, v in data.items() if k not in bad})
    except ValidationError:  # what it cannot do without is missing or unreadable
        return
    for fault in section.faults():
        if fault.key not in bad and not (bad and fault.found in ("nothing", "nothing known")):
            yield fault._replace(key=f"{name}.{fault.key}")


_EXPECTED = {
    "missing": "a value: it is required",
    "string_type": "text",
    "bool_type": "true or false",
    "int_type": "a whole number",
    "float_type": "a number",
    "date_from_datetime_parsing": "a date, like 2027-03-31",
}


def _follows(error: Any) -> bool:
    """It only says once more that the one gauge there is cannot be read."""
    return bool(error["type"] == "too_short" and error["loc"] == ("gauges",) and error["input"])


def _keys(whole: type[Section], loc: Sequence[int | str]) -> str:
    """The keys there are where one was found that is none, by the spelling that a file uses."""
    parts: dict[str, type[Frozen]] = {
        **_MODELS, "gauges": Gauge, "specimen": Specimen, "check": Check
    } if whole is PlanFile else {}  # fmt: skip
    model = parts.get(str(loc[0]), whole) if len(loc) > 1 else whole
    names = (spellings(name, info)[0] for name, info in model.model_fields.items())
    return ", ".join("gauge" if name == "gauges" else name for name in names)


def _unreadable(error: ValidationError, whole: type[Section]) -> Iterator[Fault]:
    """The keys that there are in a section are told once."""
    told: set[str] = set()
    for each in error.errors(include_url=False):
        if _follows(each):
            continue
        fault = _fault(each, whole)
        again = each["type"] == "extra_forbidden" and fault.expected in told
        told.add(fault.expected)
        yield fault._replace(expected="no such key") if again else fault


def _fault(error: Any, whole: type[Section]) -> Fault:
    path = [str(p + 1) if isinstance(p, int) else str(p) for p in error["loc"]]
    if path and path[0] == "gauges" and len(path) > 1:
        path = ["gauge", *path[2:]] if path[1] == "1" else ["gauges", *path[1:]]
    path = ["gauge"] if path == ["gauges"] else path
    key = ".".join(plain(part, 40) for part in path[:8]) or "plan"
    kind, value = error["type"], error.get("input")
    found = "nothing" if kind == "missing" else _shown(value)
    if kind == "value_error":
        said = str(error["ctx"]["error"])
        told = said.split("expected ", 1)[-1].removeprefix(f"{found}: ")
        return Fault(key, found, told)
    if kind == "extra_forbidden":
        return Fault(key, found, f"no such key, but one of: {_keys(whole, error['loc'])}")
    if kind == "missing" or value is None:
        return Fault(key, "nothing", _EXPECTED["missing"])
    if kind == "literal_error":
        return Fault(key, found, str(error["ctx"]["expected"]).replace("'", ""))
    expected = _EXPECTED.get(kind, str(error["msg"]).removeprefix("Input should be "))
    return Fault(key, found, expected)


def _shown(value: object) -> str:
    try:
        text = repr(value)
    except (RecursionError, ValueError):  # too deep, or a number of more digits than are written
        return "what nobody would write"
    return text if len(text) <= 60 else f"{text[:57]}..."
