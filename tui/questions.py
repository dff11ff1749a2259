"""A past session that stops before each decision, asks, and then shows what was done."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Final, Literal, NamedTuple

from engine import facts as f
from engine import present
from engine.asking.commands import Announce, Command, PassStage, Refused, Reopen, StartHold, decide
from engine.checks import Stage, after
from engine.clock import Stamp
from engine.facts import Outcome, Record
from engine.judging.holding import corrected, holding, levels_of
from engine.judging.settling import standings
from engine.judging.verdict import verdict
from engine.session import Session
from engine.trouble import Trouble
from tui.player import Player

Kind = Literal["pass", "close", "hold", "top_up", "back", "verdict", "release", "wait"]
Grade = Literal["right", "another way", "wrong"]


class Choice(NamedTuple):
    """What can be done: the stage to go back to, the outcome to announce, where they matter."""

    kind: Kind
    stage: Stage | None = None
    outcome: Outcome | None = None

    @property
    def words(self) -> str:
        if self.kind == "back" and self.stage is not None:
            return f"go back to {present.STAGE[self.stage]}"
        if self.kind == "verdict" and self.outcome is not None:
            return f"announce {present.OUTCOME[self.outcome]}"
        return _WORDS[self.kind]


_WORDS: Final[dict[Kind, str]] = {
    "pass": "pass this stage",
    "close": "close the vent",
    "hold": "start the hold",
    "top_up": "top up",
    "back": "go back a stage",
    "verdict": "announce a verdict",
    "release": "release the pressure",
    "wait": "wait, or do more first",
}


class Ruling(NamedTuple):
    """What the rules say to a choice at a moment."""

    allowed: bool
    why: str


class Answer(NamedTuple):
    """What somebody would have done, and how that stands beside the rules and what was done."""

    seq: int
    choice: Choice
    why: str
    grade: Grade
    done: Choice
    rules: str
    """On what was answered; on what was done where that is the same."""
    rules_done: str


class Questioned(Player):
    """Goes no further than the next decision until that one is answered."""

    def __init__(
        self,
        name: str,
        records: Sequence[Record],
        clock: Callable[[], Stamp],
        keep_round: Callable[[Mapping[str, Any]], None] | None = None,
    ) -> None:
        """Raises Trouble where nothing was decided.  `keep_round` writes the result down."""
        super().__init__(name, records, clock)
        self._records = records
        self._keep_round = keep_round
        self.decisions = tuple(_decisions(self, records))
        if not self.decisions:
            raise Trouble(f"session {name}: nothing was decided in it yet, so nothing can be asked")
        self.answers: list[Answer] = []
        self.halt = self.decisions[0][0]

    @property
    def label(self) -> str:
        return super().label.replace("REPLAY", "QUESTIONS")

    @property
    def over(self) -> bool:
        return len(self.answers) == len(self.decisions)

    def answer(self, choice: Choice, why: str) -> Answer:
        """The decision that stands next is answered, and shown; the next one is the halt."""
        seq, done = self.decisions[len(self.answers)]
        before, stamp = self.peek(seq - 1), self._records[seq - 1].stamp
        on_done = ruling(before, done, stamp)
        on_choice = ruling(before, choice, stamp) if choice.kind != "wait" else _waiting(on_done)
        grade = _grade(choice, done, on_choice, on_done)
        made = Answer(seq, choice, why, grade, done, on_choice.why, on_done.why)
        self.answers.append(made)
        self.halt = None if self.over else self.decisions[len(self.answers)][0]
        self.to_record(seq)
        return made

    @property
    def may_keep(self) -> bool:
        return self._keep_round is not None

    def result(self) -> dict[Grade, int]:
        """How many answers of each grade."""
        grades: tuple[Grade, ...] = ("right", "another way", "wrong")
        return {g: sum(a.grade == g for a in self.answers) for g in grades}

    def keep(self, by: str) -> bool:
        """The round is written down beside the session under a name; False where it cannot be."""
        if self._keep_round is None:
            return False
        answers = [
            {
                "record": a.seq,
                "done": a.done.words,
                "answer": a.choice.words,
                "why": a.why,
                "grade": a.grade,
            }
            for a in self.answers
        ]
        at = self._clock().wall.isoformat(timespec="seconds")
        self._keep_round({"by": by, "at": at, "answers": answers})
        return True


def _decisions(player: Player, records: Sequence[Record]) -> Iterator[tuple[int, Choice]]:
    """The number of each record in which something was decided, and what that was."""
    for record in records:
        before, fact = player.peek(record.seq - 1), record.fact
        match fact:
            case f.StagePassed(stage=stage) if after(stage) is not None:
                yield record.seq, Choice("pass")
            case f.ValveTurned(which="vent", share=0) if before.stage == "vent":
                vent = before.water.valve("vent")
                if vent is not None and vent.share == 1:
                    yield record.seq, Choice("close")
            case f.HoldStarted():
                yield record.seq, Choice("hold")
            case f.ToppedUp():
                yield record.seq, Choice("top_up")
            case f.StageReopened(stage=stage):
                yield record.seq, Choice("back", stage=stage)
            case f.VerdictGiven(outcome=outcome):
                yield record.seq, Choice("verdict", outcome=outcome)


def _grade(choice: Choice, done: Choice, on_choice: Ruling, on_done: Ruling) -> Grade:
    if choice == done or choice.kind == "wait":
        right = on_done.allowed if choice == done else not on_done.allowed
        return "right" if right else ("wrong" if choice == done else "another way")
    return "another way" if on_choice.allowed else "wrong"


def _waiting(on_done: Ruling) -> Ruling:
    if on_done.allowed:
        return Ruling(True, f"nothing has to be waited for: {on_done.why}")
    return Ruling(True, f"not yet: {on_done.why}")


# --- what the rules say ---------------------------------------------------------------------------


def ruling(session: Session, choice: Choice, stamp: Stamp) -> Ruling:
    """What the rules say to a choice at the moment of `stamp`."""
    now = session.now(stamp)
    match choice.kind:
        case "pass":
            return _asked(session, PassStage(session.stage), stamp, "every check of it is settled")
        case "close":
            return _close(session, now)
        case "hold":
            allows = "at pressure, inlet shut, settled"
            return _asked(session, StartHold(), stamp, allows)
        case "top_up":
            return _top_up(session)
        case "back":
            command = Reopen(choice.stage or session.stage, "asked")
            return _asked(session, command, stamp, "without pressure a stage may be taken up again")
        case "verdict":
            return _announce(session, choice, stamp)
        case "release":
            return _release(session)
        case "wait":
            return Ruling(True, "waiting is always allowed")


def _asked(session: Session, command: Command, stamp: Stamp, allows: str) -> Ruling:
    try:
        decide(session, command, stamp)
    except Refused as refused:
        return Ruling(False, str(refused))
    return Ruling(True, allows)


def _close(session: Session, now: float) -> Ruling:
    if session.stage != "vent":
        stage = present.STAGE[session.stage]
        return Ruling(False, f"the vent is closed in Vent: now it is {stage}")
    for here in standings(session, "vent", now):
        if here.check.id == "vent_shut":
            break
        if not here.settled and here.check.rank != "advice":
            return Ruling(False, present.open_check(session, here))
    return Ruling(True, "soak, flow, volume, gauge line, wiping and inlet are settled")


def _top_up(session: Session) -> Ruling:
    if session.hold is None:
        return Ruling(False, "a top-up belongs to a hold, and none was started")
    if not session.plan.procedure.top_ups:
        return Ruling(False, "the procedure forbids top-ups: credit begins again with one")
    readings = session.evidence.readings
    if not readings:
        return Ruling(True, "the procedure allows it")
    units = session.plan.units
    last, least = corrected(session, readings[-1]), levels_of(session).good_from
    state = "the run goes on" if last >= least else "the run was lost before it"
    return Ruling(
        True,
        f"the procedure allows it; the last reading is {present.pressure(last, units)} where "
        f"{present.pressure(least, units)} is needed: {state}",
    )


def _announce(session: Session, choice: Choice, stamp: Stamp) -> Ruling:
    asked = _asked(session, Announce(), stamp, "")
    said = verdict(session)
    if not asked.allowed:
        return asked
    why = present.reason(session, said.reasons[0])
    return Ruling(
        choice.outcome == said.outcome, f"the records say {present.OUTCOME[said.outcome]}: {why}"
    )


def _release(session: Session) -> Ruling:
    if not session.under_pressure:
        return Ruling(False, "there is no pressure to release")
    hold = holding(session)
    over = hold is None or hold.complete or verdict(session).outcome in ("fail", "invalid")
    if session.stage == "hold" and not over and hold is not None:
        held, need = present.duration(hold.credit.seconds), present.duration(hold.need)
        return Ruling(False, f"that ends the hold, at {held} of {need}")
    return Ruling(True, "releasing is always safe")
