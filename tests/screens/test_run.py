"""The run screen, driven by keys on a session that is told as a story."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from rich.console import RenderableType
from textual import events
from textual._compositor import CompositorUpdate
from textual.pilot import Pilot
from textual.screen import Screen

from engine import facts as f
from engine.asking.commands import Abandon, Announce
from engine.clock import Stamp
from engine.facts import Fact, Record
from engine.trouble import Trouble
from tests.screens.picture import picture
from tests.story import Story
from tui.memory import MemoryJournal
from tui.recorder import Recorder
from tui.screens.run import RunScreen
from tui.theme import Look
from tui.widgets.checklist import Checklist
from tui.widgets.narrow import NarrowApp, narrowed


class Moved:
    """A clock that stands where it was put."""

    def __init__(self, start: Stamp) -> None:
        self.stamp = start

    def __call__(self) -> Stamp:
        return self.stamp

    def pass_time(self, seconds: float) -> None:
        wall, boot, ticks = self.stamp
        self.stamp = Stamp(wall + timedelta(seconds=seconds), boot, ticks + seconds)


class FullDisk(MemoryJournal):
    """Says no while it is full."""

    full = False

    def append(self, fact: Fact, stamp: Stamp, by: str) -> Record:
        if self.full:
            raise Trouble("not written down: the disk is full")
        return super().append(fact, stamp, by)


class Driven(NarrowApp[None]):
    """One run screen on a story, and nothing behind it."""

    def __init__(self, story: Story) -> None:
        super().__init__()
        self.look = Look()
        self.clock = Moved(story.stamp)
        self.journal = FullDisk("told")
        for record in story.records:
            self.journal.append(record.fact, record.stamp, record.by)
        self.course = Recorder(self.journal, self.clock, story.by)
        self.bells = 0
        self.sent: list[str] = []

    def _display(self, screen: Screen[Any], renderable: RenderableType | None) -> None:
        super()._display(screen, renderable)
        update = narrowed(renderable)
        if isinstance(update, CompositorUpdate):
            self.sent.append(update.render_segments(self.console))

    def on_mount(self) -> None:
        self.push_screen(RunScreen(self.course))

    def bell(self) -> None:
        self.bells += 1

    @property
    def last(self) -> Fact:
        return self.course.session.records[-1].fact

    def shows(self, text: str) -> bool:
        return any(text in line for line in picture(self))


async def pressed(pilot: Pilot[None], *keys: str) -> None:
    for key in keys:
        await pilot.press(*({"/": "slash", ".": "full_stop"}.get(c, c) for c in _spelt(key)))
    await pilot.pause()


def _spelt(key: str) -> list[str]:
    named = {"enter", "escape", "tab", "up", "down", "backspace", "ctrl+u"}
    return [key] if key in named else list(key)


def in_hold() -> Story:
    story = Story().to("hold").raise_to()
    story.read(13.5)
    return story


async def test_digits_and_enter_write_down_a_reading() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        app.clock.pass_time(60)
        await pressed(pilot, "13.5", "enter")
        assert isinstance(app.last, f.PressureRead)
        assert app.last.pressure.magnitude == 13.5
        assert app.shows("Read 13.5 psi")


async def test_a_comma_never_becomes_a_larger_number() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.course.session.seq
        await pressed(pilot, "13,5", "enter")
        assert app.course.session.seq == before
        assert app.shows("13,5")
        await pressed(pilot, "escape")
        assert app.course.session.seq == before


async def test_a_reading_off_the_scale_wants_a_second_enter_and_keeps_the_first_time() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.course.session.seq
        app.clock.pass_time(60)
        await pressed(pilot, "32", "enter")
        assert app.course.session.seq == before
        assert app.shows("off the scale")
        app.clock.pass_time(7)
        await pressed(pilot, "enter")
        assert isinstance(app.last, f.PressureRead)
        assert app.last.ago == 7.0


async def test_far_off_the_scale_no_second_enter_makes_it_a_reading() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.course.session.seq
        await pressed(pilot, "135", "enter")
        app.clock.pass_time(1)
        await pressed(pilot, "enter")
        assert app.course.session.seq == before


async def test_a_pressure_above_the_cap_after_a_volume_is_asked_twice_and_alarms() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.course.session.seq
        await pressed(pilot, "a", "20", "enter")
        app.clock.pass_time(1)
        await pressed(pilot, "20", "enter")
        assert app.course.session.seq == before
        assert app.shows("above the cap")
        app.clock.pass_time(1)
        await pressed(pilot, "enter")
        assert isinstance(app.last, f.VolumeAdded)
        assert app.shows("ABOVE THE CAP")


async def test_what_was_typed_stays_when_the_disk_is_full() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.course.session.seq
        app.journal.full = True
        await pressed(pilot, "13.5", "enter")
        assert app.course.session.seq == before
        assert app.shows("13.5_") and app.shows("disk is full")
        app.journal.full = False
        await pressed(pilot, "enter")
        assert app.course.session.seq == before + 1


async def test_a_safety_check_wants_its_own_yes() -> None:
    app = Driven(Story().to("fill"))
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.course.session.seq
        await pressed(pilot, "enter")
        assert app.course.session.seq == before and app.shows("SAFETY")
        await pressed(pilot, "n")
        assert app.course.session.seq == before
        app.clock.pass_time(1)
        await pilot.pause(0.35)
        await pressed(pilot, "enter", "y")
        assert isinstance(app.last, f.CheckConfirmed) and app.last.check == "clear"


async def test_going_on_says_what_stops_it() -> None:
    app = Driven(Story().to("fill"))
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "n")
        assert app.shows("People clear of both ends and of the line of the rods: not yet")


async def test_release_asks_for_both_signs() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "R")
        assert app.shows("RELEASE: shut the inlet")
        await pressed(pilot, "0", "enter", "n")
        assert app.course.session.under_pressure
        await pressed(pilot, "enter", "y")
        assert isinstance(app.last, f.PressureReleased)
        assert not app.course.session.under_pressure


async def test_the_bell_rings_once_when_a_reading_is_due() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.7)
        assert app.bells == 0
        app.clock.pass_time(61)
        await pilot.pause(1.2)
        assert app.bells == 1
        assert app.shows("READ THE GAUGE NOW")


async def test_a_sighting_takes_few_keys() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "s", "p", "d", "6", "enter")
        assert app.last == f.Sighted(place="primary", grade="drip", clock=6.0, ago=0.0)
        assert app.shows("LEAK past the primary at 6")


async def test_unknown_keys_and_nonsense_are_answered_in_words() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.course.session.seq
        await pressed(pilot, "%")
        assert app.shows("means nothing here")
        await pressed(pilot, "s", "q", "p", "d", "99", "enter")
        assert app.shows("expected a clock position")
        assert app.course.session.seq == before


async def test_a_raised_figure_is_no_record_number_and_ends_nothing() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.course.session.seq
        await pressed(pilot, "x", "ctrl+u")
        app.screen.post_message(events.Key("superscript_two", "²"))
        await pressed(pilot, "enter")
        assert app.shows("expected a record from 1")
        assert app.course.session.seq == before


@pytest.mark.parametrize("text", ["4:99", "4:-30", "1_1", "4:1e1", "٣", "13", "nan", ""])
async def test_what_is_no_clock_position_is_never_taken_for_one(text: str) -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.course.session.seq
        await pressed(pilot, "s", "p", "d")
        app.screen.post_message(events.Paste(text))
        await pressed(pilot, "enter")
        assert app.course.session.seq == before
        assert app.shows("expected a clock position")


@pytest.mark.parametrize(
    ("text", "taken"), [("6", 6.0), ("4:30", 4.5), ("4.5", 4.5), ("12:30", 0.5), ("0", 12.0)]
)
async def test_a_clock_position_is_taken_as_a_dial_says_it(text: str, taken: float) -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "s", "p", "d", text, "enter")
        assert isinstance(app.last, f.Sighted) and app.last.clock == taken


async def test_a_name_that_was_typed_over_the_known_one_stays_when_the_disk_is_full() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        app.clock.pass_time(60)
        app.journal.full = True
        await pressed(pilot, "d", "13.5", "enter", "1 s", "enter", "w", "ctrl+u", "M. Ex", "enter")
        app.journal.full = False
        await pressed(pilot, "enter", "enter", "w", "enter")
        assert isinstance(app.last, f.PressureRead) and app.last.read_by == "M. Ex"


async def test_a_gauge_that_was_not_planned_is_asked_what_it_is() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "g", "ctrl+u", "G-08", "enter", "30", "enter")
        await pressed(pilot, "60", "enter", "1", "enter", "Z9", "enter", "soon", "enter")
        assert app.shows("expected a date like 2027-03-31") and app.shows("Z9_")
        await pressed(pilot, "ctrl+u", "B", "enter", "ctrl+u", "2027-03-31", "enter")
        assert isinstance(app.last, f.GaugeFitted) and app.last.gauge is not None
        assert (app.last.mark, app.last.gauge.accuracy) == ("G-08", "B")
        assert app.course.session.plan.gauge.mark == "G-08"


async def test_a_signature_stays_when_the_disk_is_full() -> None:
    story = Story().to("verdict")
    story.read(6.0)
    story.release()
    story.zero()
    story.settle(but=("announced", "signed")).ask(Announce())
    app = Driven(story)
    async with app.run_test(size=(80, 24)) as pilot:
        app.journal.full = True
        await pressed(pilot, "enter", "ctrl+u", "M. Ex", "enter")
        assert app.shows("disk is full") and app.shows("M. Ex_")
        app.journal.full = False
        await pressed(pilot, "enter", "n")
        assert isinstance(app.last, f.Signed) and app.last.name == "M. Ex"


async def seconds_go_by(app: Driven, pilot: Pilot[None], keys: str = "") -> str:
    """What is sent to the terminal in two seconds after these keys."""
    await pilot.pause(0.6)
    await pressed(pilot, keys)
    await pilot.pause(0.6)
    app.sent.clear()
    for _ in range(4):
        app.clock.pass_time(0.5)
        await pilot.pause(0.5)
    return "".join(app.sent)


@pytest.mark.parametrize(
    ("story", "keys"),
    [(Story, ""), (lambda: Story().to("seal"), "i"), (lambda: Story().to("verdict").end(), ""),
     (in_hold, "p")],
    ids=["prepare", "question", "closed", "plan over a hold"],
)  # fmt: skip
async def test_where_nothing_changes_nothing_is_sent(story: Callable[[], Story], keys: str) -> None:
    app = Driven(story())
    async with app.run_test(size=(80, 24)) as pilot:
        assert await seconds_go_by(app, pilot, keys) == ""


async def test_a_test_seen_again_from_behind_its_plan_is_as_it_is_now() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "p")
        app.clock.pass_time(61)
        await pilot.pause(0.6)
        assert app.bells == 1
        await pressed(pilot, "escape")
        assert app.shows("READ THE GAUGE NOW")


async def test_keys_in_one_piece_go_to_the_screen_that_the_first_of_them_opened() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.course.session.seq
        for key in "pdnq":
            app.screen.post_message(events.Key(key, key))
        await pilot.pause()
        await pilot.pause()
        assert isinstance(app.screen, RunScreen) and app.screen.is_active
        assert app.course.session.seq == before
        assert app.shows("Next reading") and not app.shows("Late reading")


async def test_what_is_pasted_where_nothing_is_asked_is_said_to_be_lost() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        app.screen.post_message(events.Paste("13.5"))
        await pilot.pause()
        assert app.shows("not taken")


async def test_everything_for_the_hold_is_seen_at_80_by_24() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)):
        for text in ("NOW", "credit", "missing", "next reading", "run lost in", "primary looked",
                     "last read", "read at least", "not above", "R RELEASE"):  # fmt: skip
            assert app.shows(text), text


def plotted(app: Driven) -> int:
    """Rows of the plot without its axis."""
    return sum(line[10:11] == "│" for line in picture(app))


async def test_a_larger_terminal_shows_more() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        assert not app.shows("Hold started")
        assert plotted(app) == 6
        await pilot.resize_terminal(120, 40)
        await pilot.pause()
        assert app.shows("Hold started") and app.shows("Stage passed: Vent")
        assert app.shows("Needle answered on the way up: two readings, apart")
        assert plotted(app) > 6
        await pressed(pilot, "%")
        assert app.shows("means nothing here") and app.shows("Hold started")
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert not app.shows("Hold started")


async def test_a_refused_figure_is_typed_anew_and_never_added_to() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        app.clock.pass_time(60)
        await pressed(pilot, "135", "enter")
        assert app.shows("135 psi is no reading")
        await pressed(pilot, "20", "enter")
        assert app.shows("Enter again if it is so")
        await pressed(pilot, "13.2", "enter")
        assert isinstance(app.last, f.PressureRead)
        assert app.last.pressure.magnitude == 13.2


async def test_the_release_begins_without_what_was_typed_for_another_one() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "R", "30", "escape")
        assert not app.shows("RELEASING")
        await pressed(pilot, "R")
        assert app.shows("NOW  RELEASING")
        await pressed(pilot, "0", "enter")
        assert not app.shows("300 psi")


async def test_a_line_open_under_pressure_says_how_to_release() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "1")
        assert app.shows("Esc R RELEASE")
        await pressed(pilot, "escape", "R")
        assert app.shows("NOW  RELEASING")


async def test_a_draft_in_words_is_gone_on_with() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "i", "wind", "escape", "i", "y", "enter")
        assert isinstance(app.last, f.Noted)
        assert app.last.text == "windy"


async def test_a_wrong_key_is_forgotten_with_the_question_it_was_for() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "l", "9")
        assert app.shows("is no answer here")
        await pressed(pilot, "escape")
        assert not app.shows("is no answer here")


async def test_what_a_witness_would_ask_is_read_before_the_verdict_is_announced() -> None:
    app = Driven(Story().to("verdict").drained())
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter")
        assert app.shows("Announce it") and app.shows("Lowest corrected reading")
        await pressed(pilot, "y")
        assert isinstance(app.last, f.VerdictGiven)
        assert not app.shows("Lowest corrected reading") and app.shows("> [ ]")


async def test_what_a_record_says_is_read_before_it_is_struck() -> None:
    app = Driven(in_hold())
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "x")
        assert app.shows("Read 13.5 psi)")
        await pressed(pilot, "enter")
        assert app.shows("struck: Read 13.5 psi")


async def test_a_test_that_is_over_says_what_closes_it_and_an_abandoned_one_what_it_is() -> None:
    done = Driven(Story().to("verdict").signed())
    async with done.run_test(size=(80, 24)):
        assert done.shows("close the test (n)")
    left = Story().to("seal")
    left.ask(Abandon("the crane is needed"))
    app = Driven(left)
    async with app.run_test(size=(80, 24)):
        assert app.shows("ABANDONED. This test is closed")


async def test_a_digit_on_the_openings_begins_what_is_asked_first() -> None:
    story = Story().to("seal").openings(0.5, 0.5, 0.5, 0.5)
    app = Driven(story)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, *["up"] * 20, *["down"] * 3)
        while "openings" not in (app.screen.query_one(Checklist).chosen or ""):
            await pressed(pilot, "down")
        await pressed(pilot, "6")
        assert app.shows("Clock position, seen looking at the bell 6_")
        await pressed(pilot, "enter")
        assert app.shows("Opening at 6 o'clock [in] _")


async def test_a_look_before_there_is_water_is_not_written_down() -> None:
    app = Driven(Story().to("seal"))
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.course.session.seq
        await pressed(pilot, "l", "y", "s")
        assert app.course.session.seq == before
        assert app.shows("there is no water yet")
