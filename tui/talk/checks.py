"""Conversations about checks and stages: settle, waive, pass, reopen, abandon, announce, sign."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from engine import facts as f
from engine import present
from engine.asking.commands import (
    Abandon,
    Announce,
    Confirm,
    Measure,
    PassStage,
    Reopen,
    Sign,
    StartWait,
    Waive,
    Write,
)
from engine.asking.plausible import doubt_measure
from engine.checks import STAGES, Check, Stage
from engine.judging.holding import holding
from engine.judging.rules import find
from engine.judging.settling import Standing, standing
from engine.judging.verdict import verdict
from engine.procedure import NOT_STATED
from engine.units import DURATION, LENGTH, PRESSURE, TEMPERATURE, VOLUME, Dimension, Quantity, q
from tui.talk import evidence, water
from tui.talk.asking import Conversation, Part, Pick, Submit, Talk
from tui.talk.believing import believed, counted

_DIMENSIONS: Final[dict[str, Dimension]] = {
    "length": LENGTH,
    "pressure": PRESSURE,
    "temperature": TEMPERATURE,
    "volume": VOLUME,
    "time": DURATION,
}


def settle(talk: Talk, name: str, typed: str = "") -> Conversation:
    """Whatever settles this check: a yes, a figure, a wait, or the doing itself."""
    check = talk.session.check(name)
    if check is None:
        return
    here = standing(talk.session, check, talk.now())
    doing = _DOING.get(check.rule or check.id)
    if here.finding is not None and here.finding.why == "read_after_look":
        doing = water.reading
    if check.asks == "air" and check.rule == "burp":
        yield from _crack(talk, check)
        return
    if doing is not None and not here.asked:
        yield from doing(talk)
    elif check.kind == "wait":
        yield from _wait(talk, check)
    elif check.kind == "measure":
        yield from _measure(talk, check, typed)
    elif here.asked or here.settled or check.id in talk.session.checking.settled:
        yield from _confirm(talk, check, here)
    else:
        yield Submit(Confirm(name))


def _wait(talk: Talk, check: Check) -> Conversation:
    running = talk.session.checking.waits.get(check.id)
    if running is None:
        refusal = yield Submit(StartWait(check.id))
        if refusal.startswith("not at pressure"):
            yield from water.reading(talk)
            yield Submit(StartWait(check.id))
        return
    state = "running" if standing(talk.session, check, talk.now()).waiting else "over"
    again = yield from talk.pick(
        f"{check.do}: {state}", a="start it afresh", e="it began earlier: say when"
    )
    ago = 0.0
    if again == "e":
        began, _ = yield from talk.quantity("How long ago did it begin", DURATION)
        ago = float(began.m_as("s"))
    yield Submit(StartWait(check.id, ago))


def _measure(talk: Talk, check: Check, text: str) -> Conversation:
    refusal, prompt = "", _figure_asked(talk, check)

    def doubted(value: Quantity) -> str:
        return doubt_measure(talk.session, check, value)

    while True:
        if check.asks == "count":
            number = yield from counted(
                talk, prompt, 0, 1000, lambda count: doubted(q(count, "count")), text
            )
            measure = q(number, "count")
        else:
            dimension = _DIMENSIONS[check.asks or "length"]
            measure, text, _ = yield from believed(
                talk, prompt, dimension, doubted, text, refusal, _unit(talk, check)
            )
        refusal = yield Submit(Measure(check.id, measure))
        if not refusal:
            return


def _unit(talk: Talk, check: Check) -> str | None:
    """What a bare figure is taken to be in."""
    return "s" if check.rule == "ramp_time" else talk.unit(_DIMENSIONS[check.asks or "length"])


def _figure_asked(talk: Talk, check: Check) -> str:
    """What to type: the unit of a bare figure, and the least or the most that will do."""
    found = find(talk.session, check.rule) if check.rule else None
    least = check.at_least if check.at_least is not None else (found.limit if found else None)
    told = []
    if check.asks != "count":
        told.append(f"{_unit(talk, check)}")
    if least is not None and least.magnitude > 0:
        told.append(f"at least {present.quantity(least, talk.session.plan.units)}")
    elif check.at_most is not None:
        told.append(f"at most {present.quantity(check.at_most, talk.session.plan.units)}")
    return f"{check.do} [{'; '.join(told)}]" if told else check.do


def _confirm(talk: Talk, check: Check, here: Standing) -> Conversation:
    """A safety check wants its own yes, with the caution before the eye."""
    if check.rank == "safety":
        sure = yield from talk.pick(f"SAFETY: {check.do}. Is it so?", y="yes, it is so", n="no")
        if sure != "y":
            return
    answer, refusal = None, ""
    while True:
        if check.asks == "text":
            answer = yield from talk.text(
                check.do, answer or "", refusal, otherwise=_known(talk, check)
            )
        elif check.asks == "voucher":
            answer = yield from _vouched(talk, refusal)
        elif check.asks == "date":
            answer = yield from talk.text(present.asked(check), answer or "", refusal)
        elif check.asks == "positions":
            answer = yield from _all_round(talk, check)
            if answer is None:
                return
        refusal = yield Submit(Confirm(check.id, answer))
        if not refusal or check.asks not in _TYPED:
            return


_TYPED: Final = ("text", "voucher", "date")
"""What is asked again where it is refused."""


def _crack(talk: Talk, check: Check) -> Conversation:
    """The vent is cracked, and what comes is said: only water settles it, with air it is opened
    again."""
    session = talk.session
    found, vent = find(session, "burp"), session.water.valve("vent")
    if found.ok or found.why == "uncracked":
        if found.why == "uncracked":
            yield from water.turned("vent", water.CRACKED)
        came = yield Pick(
            "The vent is cracked: what comes",
            (("w", "only water: shut again"), ("a", "air: opened again")),
            now="The vent is cracked: say what comes from it",
        )
        if came == "a":
            yield from water.turned("vent", 1.0)
            yield Submit(Write(f.Noted(text="Air came from the cracked vent: vented again")))
            return
        vent = talk.session.water.valve("vent")
        if vent is None or vent.share > 0:
            yield from water.turned("vent", 0.0)
    yield Submit(Confirm(check.id, present.ONLY_WATER))


def _vouched(talk: Talk, refusal: str) -> Part[str]:
    """Who says so, and on what ground: nobody settles it by a key alone."""
    who, ground = present.VOUCHER
    name = yield from talk.text(who, "", refusal)
    return f"{name.replace(':', ' ').strip()}: {yield from talk.text(ground)}"


def _all_round(talk: Talk, check: Check) -> Part[str | None]:
    """A yes at each of four positions; where it is not so, that is written down and it stays
    open."""
    out = []
    for position in (12, 3, 6, 9):
        if not (yield from talk.yes(f"{check.do} at {position} o'clock")):
            out.append(str(position))
    if not out:
        return present.ALL_ROUND
    yield Submit(Write(f.Noted(text=f"{check.do}: not at {', '.join(out)}")))
    return None


def _known(talk: Talk, check: Check) -> str:
    """What the plan says already: shown, to be agreed with or mended."""
    specimen = talk.session.plan.specimen
    marks = " / ".join(m for m in (specimen.spigot, specimen.bell) if m)
    procedure = talk.session.plan.procedure
    named = (procedure.authority, procedure.edition, procedure.clause)
    return {
        "demand": ", ".join(part for part in named if part != NOT_STATED),
        "marks": marks if specimen.spigot and specimen.bell else "",
        "primary": specimen.gasket_lot or "",
        "lubricant": specimen.lubricant or "",
    }.get(check.id, "")


def _hold(talk: Talk) -> Conversation:
    hold = holding(talk.session)
    if hold is None or hold.span.end is not None:
        yield from water.start_hold(talk)
    else:
        yield from water.reading(talk)


def _shut(which: str) -> Callable[[Talk], Conversation]:
    def conversation(talk: Talk) -> Conversation:
        yield from water.turned(which, 0.0)

    return conversation


def _burp_read(talk: Talk) -> Conversation:
    """The pressure first; then the inlet, where it stands open."""
    if find(talk.session, "burp_read").why == "inlet_open":
        yield from water.turned("inlet", 0.0)
    else:
        yield from water.reading(talk)


def announce(talk: Talk) -> Conversation:
    """The verdict as the records say it, agreed with before it is given."""
    said = verdict(talk.session)
    outcome = present.OUTCOME[said.outcome]
    why = present.reason(talk.session, said.reasons[0])
    if (yield from talk.yes(f"{outcome}: {why}. Announce it", view="reasons")):
        yield Submit(Announce())


def sign(talk: Talk) -> Conversation:
    yield from _signed(talk, "Type your name to sign", talk.session.by)
    asked = "Is there a witness who signs"
    if (yield from talk.yes(asked, now="Say whether a witness signs too")):
        yield from _signed(talk, "Name of the witness", witness=True)


def _signed(talk: Talk, prompt: str, name: str = "", witness: bool = False) -> Conversation:
    typed, refusal = "", ""
    while True:
        typed = yield from talk.text(prompt, typed, refusal, otherwise=name)
        refusal = yield Submit(Sign(typed, witness=witness))
        if not refusal:
            return


_DOING: Final[dict[str, Callable[[Talk], Conversation]]] = {
    "openings": water.opening,
    "openings_held": water.opening,
    "openings_after": water.opening,
    "gauge_zeroed": water.zero,
    "zero_again": water.zero,
    "valves_open": water.open_valves,
    "inlet_first": _shut("inlet"),
    "vent_shut": _shut("vent"),
    "burp_read": _burp_read,
    "inlet_shut": _shut("inlet"),
    "inlet_shut_again": _shut("inlet"),
    "stiffness_taken": water.added,
    "raised": water.reading,
    "needle_rose": water.reading,
    "needle_fell": water.reading,
    "credit_complete": _hold,
    "looked_during": evidence.look,
    "looked_at_end": evidence.look,
    "released": water.release,
    "announced": announce,
    "signed": sign,
}
"""Checks that are settled by doing, by their rule."""


def pass_stage(talk: Talk) -> Conversation:
    yield Submit(PassStage(talk.session.stage))


def waive(talk: Talk, name: str) -> Conversation:
    check = talk.session.check(name)
    if check is None:
        return
    text, refusal = "", ""
    while True:
        text = yield from talk.text(f"Waive '{check.do}': why", text, refusal)
        refusal = yield Submit(Waive(name, text))
        if not refusal or "cannot be waived" in refusal:
            return


def reopen(talk: Talk) -> Conversation:
    """Back to a stage that was passed, or the present one afresh."""
    reached = STAGES[: STAGES.index(talk.session.stage) + 1]
    keys: dict[str, Stage] = {str(n): stage for n, stage in enumerate(reached, 1)}
    choices = {key: present.STAGE[stage] for key, stage in keys.items()}
    picked = yield from talk.pick("Back to", **choices)
    text, refusal = "", ""
    while True:
        text = yield from talk.text(f"Back to {choices[picked]}: why", text, refusal)
        refusal = yield Submit(Reopen(keys[picked], text))
        if not refusal or refusal == present.NOT_UNDER_PRESSURE:
            return


def abandon(talk: Talk) -> Conversation:
    """Asked first: it cannot be taken back."""
    if not (yield from talk.yes("ABANDON this test for good, without a result")):
        return
    text, refusal = "", ""
    while True:
        text = yield from talk.text("Abandon this test: why", text, refusal)
        refusal = yield Submit(Abandon(text))
        if not refusal:
            break
    if talk.session.under_pressure:
        yield from water.release(talk)


def disturbed(talk: Talk) -> Conversation:
    """Asked first: the verdict can then only be invalid."""
    if not (yield from talk.yes("Did the rig or the handling disturb the specimen")):
        return
    how = yield from talk.text("The rig disturbed the specimen: how")
    yield Submit(Write(f.SpecimenDisturbed(how=how)))
