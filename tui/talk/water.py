"""Conversations about the water: readings, top-ups, valves, zeros, volumes, release."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from engine import facts as f
from engine import present
from engine.asking.commands import StartHold, Write
from engine.asking.plausible import (
    doubt,
    doubt_height,
    doubt_opening,
    doubt_temperature,
    doubt_volume,
)
from engine.rehearsal import after_adding, seen
from engine.rig import Gauge
from engine.units import (
    DURATION,
    LENGTH,
    PRESSURE,
    TEMPERATURE,
    VOLUME,
    Quantity,
    amount,
    q,
)
from tui.talk.asking import Ask, Conversation, Part, Pick, Submit, Talk
from tui.talk.believing import believed

RELEASING = "RELEASING: two signs, the gauge at zero and the vent quiet"
RELEASE_STEPS = (
    "RELEASE: shut the inlet; open the vent slowly, then all the way; stand clear of the ends. "
    "Wait until no water comes from it."
)


def reading(talk: Talk, typed: str = "") -> Conversation:
    """A gauge pressure, as read; where it is hard to believe, a second Enter is asked for."""
    text, refusal = typed, ""
    while True:
        pressure, text, first = yield from believed(
            talk, "Gauge reads", PRESSURE, _doubt(talk), text, refusal
        )
        at = talk.now() if first is None else first
        mark = yield from _mark(talk)
        # Nothing was asked meanwhile: it is of this moment.  A thousandth of a second before the
        # first record after a restart would lie on the other side of it, where no time is sure.
        asked = first is not None or mark is not None
        ago = max(0.0, talk.now() - at) if asked else 0.0
        refusal = yield Submit(Write(f.PressureRead(pressure=pressure, mark=mark, ago=ago)))
        if not refusal:
            return


def _doubt(talk: Talk, after: Quantity | None = None) -> Callable[[Quantity], str]:
    return lambda pressure: doubt(talk.session, pressure, after)


def _mark(talk: Talk) -> Part[str | None]:
    """Which gauge, where there are several."""
    gauges = talk.session.plan.gauges
    if len(gauges) == 1:
        return None
    keys = "abcd"
    choices = tuple((k, g.mark) for k, g in zip(keys, gauges, strict=False))
    picked = yield Pick("Which gauge", choices)
    return dict(choices)[picked]


def late_reading(talk: Talk) -> Conversation:
    """Read before, entered now: when, by whom, and from what."""
    sources = {"d": "dial", "w": "watch", "p": "photo", "l": "log"}
    who, refusal = talk.session.by, ""
    while True:
        prompt = "Late reading: the gauge read"
        pressure, _, _ = yield from believed(talk, prompt, PRESSURE, _doubt(talk), refusal=refusal)
        ago, _ = yield from talk.quantity("How long ago", DURATION)
        source = yield from talk.pick(
            "Read from", d="the dial, remembered", w="a watch and paper", p="a photo", l="a log"
        )
        who = yield from talk.text("Read by", otherwise=who)
        said = {"pressure": pressure, "ago": amount(ago, "s"), "read_by": who,
                "read_from": sources[source]}  # fmt: skip
        refusal = yield Submit(Write(f.PressureRead.model_validate(said)))
        if not refusal:
            return


def temperature(talk: Talk) -> Conversation:
    picked = yield from talk.pick("Temperature of", w="water", a="air", c="concrete", r="rod")
    what = {"w": "water", "a": "air", "c": "concrete", "r": "rod"}[picked]
    refusal, text = "", ""
    while True:
        degrees, text, _ = yield from believed(
            talk,
            f"Temperature of the {what}",
            TEMPERATURE,
            lambda value: doubt_temperature(value, water=what == "water"),
            text,
            refusal,
        )
        fact = f.TemperatureRead.model_validate({"what": what, "temperature": degrees})
        refusal = yield Submit(Write(fact))
        if not refusal:
            return


def top_up(talk: Talk) -> Conversation:
    """Both ends of it are readings, so that it cannot hide a dip."""
    dial = seen(talk.session, talk.now())
    refusal = ""
    while True:
        if dial is not None:
            volume, _, _ = yield from believed(
                talk, "Top up by", VOLUME, _doubt_volume(talk), refusal=refusal
            )
            after = after_adding(talk.session, talk.now(), amount(volume, "mL"))
            fact = f.ToppedUp(before=q(dial.dial, "psi"), after=q(after.dial, "psi"), volume=volume)
        else:
            before, _, _ = yield from believed(
                talk, "Top-up: the gauge read before", PRESSURE, _doubt(talk), refusal=refusal
            )
            high, _, _ = yield from believed(
                talk, "... and reads after", PRESSURE, _doubt(talk, before)
            )
            known = yield from _volume_if_measured(talk)
            fact = f.ToppedUp(before=before, after=high, volume=known)
        refusal = yield Submit(Write(fact))
        if not refusal:
            return


def _volume_if_measured(talk: Talk) -> Part[Quantity | None]:
    text, refusal = "", ""
    while True:
        text = yield Ask("Volume put in, if it was measured (Enter if not)", None, text, refusal)
        if not text.strip():
            return None
        try:
            return talk.parse(text, VOLUME)
        except ValueError as problem:
            refusal = str(problem)


def added(talk: Talk) -> Conversation:
    """A measured volume and the pressure after it: one point of the stiffness."""
    refusal = ""
    while True:
        prompt = "Measured volume put in (- for taken out)"
        volume, _, _ = yield from believed(
            talk, prompt, VOLUME, _doubt_volume(talk), refusal=refusal
        )
        if seen(talk.session, talk.now()) is not None:
            after = q(after_adding(talk.session, talk.now(), amount(volume, "mL")).dial, "psi")
        else:
            after, _, _ = yield from believed(talk, "The gauge then reads", PRESSURE, _doubt(talk))
        refusal = yield Submit(Write(f.VolumeAdded(volume=volume, after=after)))
        if not refusal:
            return


def _doubt_volume(talk: Talk) -> Callable[[Quantity], str]:
    return lambda volume: doubt_volume(talk.session, volume)


CRACKED: Final = 0.03
_SHARES: Final = {"s": 0.0, "c": CRACKED, "q": 0.25, "h": 0.5, "o": 1.0}


def valve(talk: Talk) -> Conversation:
    which = yield from talk.pick("Which valve", v="vent", i="inlet")
    name = "vent" if which == "v" else "inlet"
    share = yield from talk.pick(
        f"The {name} is now", s="shut", c="cracked", q="a quarter open", h="half open", o="open"
    )
    yield from turned(name, _SHARES[share])


def turned(which: str, share: float) -> Conversation:
    """A valve was turned so far."""
    fact = f.ValveTurned.model_validate({"which": which, "share": share})
    yield Submit(Write(fact))


def open_valves(talk: Talk) -> Conversation:
    """The vent, then the inlet; slow."""
    vent = talk.session.water.valve("vent")
    if vent is None or vent.share == 0:
        yield from turned("vent", 1.0)
    share = yield from talk.pick(
        "Vent is open. Now the inlet", c="cracked", q="a quarter open", h="half open", o="open"
    )
    yield from turned("inlet", _SHARES[share])


def zero(talk: Talk, text: str = "") -> Conversation:
    """What a gauge shows with no pressure on it."""
    mark = (yield from _mark(talk)) or talk.session.plan.gauge.mark
    refusal = ""
    while True:
        shown, text = yield from talk.quantity(
            f"Gauge {mark} at rest reads", PRESSURE, text, refusal
        )
        refusal = yield Submit(Write(f.GaugeZeroed(mark=mark, reading=shown)))
        if not refusal:
            return


def fit_gauge(talk: Talk) -> Conversation:
    """A gauge now hangs at a measured height; of one that was not planned, what it is."""
    mark, text, refusal = talk.session.plan.gauge.mark, "", ""
    while True:
        mark = yield from talk.text("Mark of the gauge that hangs now", "", refusal, otherwise=mark)
        height, text, _ = yield from believed(
            talk,
            "Its height above the joint's centre",
            LENGTH,
            lambda value: doubt_height(talk.session, value),
            text,
        )
        planned = mark in {gauge.mark for gauge in talk.session.plan.gauges}
        gauge = None if planned else (yield from _gauge(talk, mark))
        refusal = yield Submit(Write(f.GaugeFitted(mark=mark, height=height, gauge=gauge)))
        if not refusal:
            return


def _gauge(talk: Talk, mark: str) -> Part[Gauge]:
    """What stands on its dial and its sticker."""
    top, _ = yield from talk.quantity("Its scale runs from 0 to", PRESSURE)
    graduation, _ = yield from talk.quantity("One graduation is", PRESSURE)
    accuracy, due, refusal = "", "", ""
    while True:
        accuracy = yield from talk.text(
            "Its accuracy: a grade, or a share like 1 %; or unknown", accuracy, refusal
        )
        due = yield Ask("In calibration until, like 2027-03-31; or unknown", None, due)
        said = {"mark": mark, "span": (q(0, "psi"), top), "graduation": graduation,
                "accuracy": accuracy, "calibration_due": due.strip()}  # fmt: skip
        try:
            gauge = Gauge.model_validate(said)
        except ValueError:
            refusal = f"{due.strip()[:20]!r}: expected a date like 2027-03-31"
            continue
        refusal = next((str(fault) for fault in gauge.faults()), "")
        if not refusal:
            return gauge


def opening(talk: Talk, text: str = "") -> Conversation:
    """How wide the joint stands open, at one position after the other; Esc ends it."""
    since, refusal = max(talk.session.checking.since("seal"), 0), ""
    while True:
        stage = talk.session.stage
        done = {o.clock for o in talk.session.checking.openings
                if o.seq > since and o.stage == stage}  # fmt: skip
        free = [c for c in (12.0, 3.0, 6.0, 9.0) if c not in done]
        if free:
            position = free[0]
        else:
            position = yield from talk.clock(text)
            text = ""
        where = present.clock_position(position)
        width, typed, _ = yield from believed(
            talk, f"Opening {where}", LENGTH, _doubt_opening(talk), text, refusal
        )
        refusal = yield Submit(Write(f.OpeningMeasured(clock=position, opening=width)))
        text = typed if refusal else ""
        if not refusal and (not free or free == [position]):
            return


def _doubt_opening(talk: Talk) -> Callable[[Quantity], str]:
    return lambda width: doubt_opening(talk.session, width)


def start_hold(talk: Talk) -> Conversation:
    refusal = yield Submit(StartHold())
    if refusal:
        yield from reading_after(talk, refusal)


def reading_after(talk: Talk, refusal: str) -> Conversation:
    """The hold could not start for want of a reading: ask for it, then start."""
    if not refusal.startswith("not at pressure"):
        return
    yield from reading(talk)
    yield Submit(StartHold())


def release(talk: Talk) -> Conversation:
    """No questions first: the steps, then what the gauge shows, then the other sign.

    Nothing is written down before both; on the practice joint the vent is turned by a key.
    """
    if seen(talk.session, talk.now()) is not None:
        yield from talk.pick(RELEASE_STEPS, o="the inlet is shut and the vent wide open")
        yield from turned("inlet", 0.0)
        yield from turned("vent", 1.0)
    text, refusal = "", ""
    while True:
        gauge, text = yield from talk.quantity(
            "At rest the gauge reads", PRESSURE, text, refusal, steps=RELEASE_STEPS
        )
        quiet = yield from talk.yes("Vent wide open and no water coming from it", now=RELEASING)
        refusal = yield Submit(Write(f.PressureReleased(gauge=gauge, vent_quiet=quiet)))
        if not refusal and quiet:
            return
        refusal = refusal or "still flowing: wait, then read the gauge again"


def mended(talk: Talk) -> Conversation:
    text, refusal = "", ""
    while True:
        text = yield from talk.text("What was mended", text, refusal)
        refusal = yield Submit(Write(f.Mended(what=text)))
        if not refusal:
            return
