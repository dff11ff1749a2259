"""Conversations that end with a test being opened: a new one, or one that follows another."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any, ClassVar, Final, Literal, NamedTuple

from engine.planfile import BadPlan, PlanFile, section_faults
from engine.procedure import Procedure
from engine.repeat import Changes, Kind, Repeat
from engine.session import Session
from engine.trouble import Trouble
from engine.units import LENGTH, Quantity
from tui.talk.asking import Ask, Pick, Submit, Talk

if TYPE_CHECKING:
    from tui.bench import Bench
    from tui.course import Course
    from tui.recorder import Recorder


class Named(NamedTuple):
    """Something by its name, and a few words about it."""

    name: str
    aside: str = ""


@dataclass(frozen=True)
class Find:
    """One of many, found by typing part of its name."""

    prompt: str
    names: tuple[Named, ...]
    text: str = ""
    refusal: str = ""
    free: str = ""
    """What else may be typed; empty where it has to be one of them."""
    prose: ClassVar = False


@dataclass(frozen=True)
class Show:
    """The plan is read; the answer is `start`, or nothing."""

    plan: PlanFile
    on: date


Opening = Generator[Ask | Pick | Find | Show | Submit, str, "Recorder"]
"""Raises Trouble where the test cannot be opened."""

_AS_BEFORE: Final = "the same procedure"
_KINDS: Final[tuple[tuple[str, Kind, str], ...]] = (
    ("1", "again", "same specimen, held again"),
    ("2", "next_alignment", "same, next alignment"),
    ("3", "new_specimen", "new specimen"),
)


def new_test(bench: Bench) -> Opening:
    """Of a product in the catalogue, or from a plan file."""
    text = refusal = ""
    while True:
        products = tuple(Named(name) for name in bench.catalogue.names("joint"))
        prompt = "New test of (product, or the path of a plan file)" if products else "Plan file"
        text = yield Find(prompt, products, text, refusal, free="the path of a plan file")
        refusal = ""
        try:
            if any(text == each.name for each in products):
                plan = yield from _composed(bench, text)
            else:
                plan = bench.plan(_path(text))
            if (yield Show(plan, bench.today())):
                return bench.start(plan, (yield from _by(bench)))
        except Trouble as trouble:
            refusal = str(trouble)


def _path(text: str) -> str:
    if not text.strip():
        raise Trouble("type a product, or the path of a plan file")
    return text.strip()


def _by(bench: Bench) -> Generator[Find, str, str]:
    """Who tests: as the program was told, else one of the people, or any name."""
    if bench.by:
        return bench.by
    refusal = ""
    while True:
        people = tuple(Named(name) for name in bench.catalogue.names("person"))
        name = yield Find("Who is testing", people, refusal=refusal, free="your name")
        if name.strip():
            return " ".join(name.split())
        refusal = "type your name: it stands beside every record"


def watch_instead(bench: Bench, identity: str, why: str) -> Generator[Pick, str, Course]:
    """Another program has it in hand: there is one writer, and anybody may look on."""
    yield Pick(f"{why}. Esc: leave it", (("w", "watch it, read only"),))
    return bench.watch(identity)


# --- a plan from the catalogue ------------------------------------------------------------------


def _composed(bench: Bench, product: str) -> Generator[Find, str, PlanFile]:
    """The product's plan; nothing is asked of which there is only one.  What was used last time
    comes first."""
    last = bench.last_of(product)
    procedure = yield from _one(bench, "procedure", product, str(last.get("procedure", "")))
    rig = yield from _one(bench, "rig", product, f"rig for {product}")
    gauge = yield from _one(bench, "gauge", product, str(last.get("gauge", "")).split(", ")[0])
    return bench.composed(product, procedure, rig, gauge)


def _one(bench: Bench, kind: str, product: str, first: str) -> Generator[Find, str, str]:
    entries = bench.catalogue.every(kind)
    if not entries:
        raise Trouble(f"there is no {kind} in the catalogue: add one (c), or use a plan file")
    if len(entries) == 1:
        return entries[0].name
    ordered = sorted(entries, key=lambda entry: (entry.name != first, entry.name))
    names = tuple(Named(e.name, _aside(kind, e.values, bench)) for e in ordered)
    return (yield Find(f"{product}: {kind}", names))


def _aside(kind: str, values: Any, bench: Bench) -> str:
    if kind == "procedure":
        open_ = "" if values.get("confirmed", True) else ", not confirmed"
        return f"{values.get('alignment', 'straight')}, {values.get('pressure', '?')}{open_}"
    if kind == "gauge":
        due = values.get("calibration_due")
        if isinstance(due, str) and due < bench.today().isoformat():
            return f"OUT OF DATE since {due}"
        return f"due {due}" if due else "no calibration date"
    return ""


# --- repeats ------------------------------------------------------------------------------------


def follow(bench: Bench, identity: str) -> Opening:
    """The specimen or the product of a past test, again."""
    session = bench.past(identity)
    key = yield Pick(_headed(session), tuple((key, told) for key, _, told in _KINDS))
    kind = next(kind for known, kind, _ in _KINDS if known == key)
    if kind == "next_alignment":
        ready = yield from _next_alignment(bench, identity, session)
    else:
        ready = bench.repeat(kind, identity, session)
    return bench.open(ready, (yield from _by(bench)))


def _headed(session: Session) -> str:
    from engine.marks import marks

    return f"Again: {session.plan.joint.name}, {marks(session) or 'no marks'}"


def _next_alignment(
    bench: Bench, identity: str, session: Session
) -> Generator[Ask | Pick | Find | Submit, str, Repeat]:
    """Asks for the opening and its side only where neither plan nor procedure says them."""
    before = session.plan.procedure
    held: Literal["straight", "deflected"] = (
        "straight" if before.alignment == "deflected" else "deflected"
    )
    given = yield from _procedure_for(bench, session, held)
    changes = Changes(alignment=held, procedure=given)
    if held == "straight" or (given or before).opening is not None:
        return bench.repeat("next_alignment", identity, session, changes)
    talk = Talk(lambda: session, lambda: session.t, bench.decimal_comma)
    text = refusal = ""
    while True:
        opening, text = yield from talk.quantity(
            "How much wider is the joint on its open side", LENGTH, text, refusal
        )
        side = yield from _side(talk)
        try:
            return _repeated(bench, identity, session, changes, opening, side)
        except BadPlan as bad:
            refusal = str(bad)


def _side(talk: Talk) -> Generator[Ask | Pick | Submit, str, float]:
    return (yield from talk.clock(prompt="Open side, as a clock position seen looking at the bell"))


def _repeated(
    bench: Bench, identity: str, session: Session, changes: Changes, opening: Quantity, side: float
) -> Repeat:
    wanted = Changes(changes.alignment, opening, side, changes.procedure)
    return bench.repeat("next_alignment", identity, session, wanted)


def _procedure_for(
    bench: Bench, session: Session, alignment: str
) -> Generator[Find, str, Procedure | None]:
    """One of the catalogue's for that alignment, where there are any; None: as before."""
    pinned = session.plan.procedure.name
    fitting = [
        entry
        for entry in bench.catalogue.every("procedure")
        if entry.values.get("alignment", "straight") == alignment and entry.name != pinned
    ]
    if not fitting:
        return None
    refusal = ""
    names = (*(Named(e.name, _aside("procedure", e.values, bench)) for e in fitting),
             Named(_AS_BEFORE, alignment))  # fmt: skip
    while True:
        name = yield Find(f"Held {alignment}: under which procedure", names, refusal=refusal)
        entry = next((e for e in fitting if e.name == name), None)
        if entry is None:
            return None
        faults = section_faults("procedure", entry.values)
        if not faults:
            return Procedure.model_validate({"name": name, **entry.values})
        refusal = f"{name}: {faults[0]}"


def matching(names: Sequence[Named], typed: str) -> list[Named]:
    """Those that hold every word typed, in any order."""
    words = typed.casefold().split()
    return [n for n in names if all(w in f"{n.name} {n.aside}".casefold() for w in words)]
