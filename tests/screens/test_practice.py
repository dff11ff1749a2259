"""Practice on its screen, by keys alone: what is there to be seen, time, and the debrief."""

from __future__ import annotations

from textual.pilot import Pilot

from engine import facts as f
from tests.practised import Real, practice, run
from tests.screens.picture import picture
from tui.practice import Practice
from tui.screens.practice import PracticeScreen
from tui.theme import Look
from tui.widgets.narrow import NarrowApp

_NAMED = {"enter", "escape", "tab", "up", "down"}


class Driven(NarrowApp[None]):
    """One practice run, and nothing behind it."""

    def __init__(self, course: Practice, real: Real) -> None:
        super().__init__()
        self.look = Look()
        self.course, self.real = course, real

    def on_mount(self) -> None:
        self.push_screen(PracticeScreen(self.course))

    @property
    def text(self) -> str:
        return "\n".join(picture(self))


def driven(fault: str, until: str = "", moves: int = 0) -> Driven:
    """At the beginning; or where the technician comes to, at a stage or after so many moves."""
    real = Real()
    course = practice(fault, 3, real)
    return Driven(run(course, until, moves or 200) if until or moves else course, real)


async def pressed(pilot: Pilot[None], *keys: str) -> None:
    """Keys with a second between them: a second Enter at once would be a bounce."""
    app = pilot.app
    assert isinstance(app, Driven)
    for key in keys:
        app.real.go(1.0)
        app.screen._entered = 0.0  # type: ignore[attr-defined]
        await pilot.press(*([key] if key in _NAMED else list(key)))
        await pilot.pause()


async def test_it_is_called_practice_and_never_names_the_fault() -> None:
    app = driven("trapped_air")
    async with app.run_test(size=(80, 24)) as pilot:
        assert app.text.startswith("PRACTICE 54 in pipe, wall B (practice)")
        assert "nothing here is a real test" in app.text
        for view in ("tab", "tab", "?"):
            await pressed(pilot, view)
            assert "trapped" not in app.text


async def test_trapped_air_is_found_by_a_newcomer_with_the_keys() -> None:
    app = driven("trapped_air")
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "y", "enter")
        assert "The tape says 0.125 in." in app.text
        await pressed(pilot, "0.125", "enter", "n", "y", "enter")
        assert "in its place all round" in app.text
        await pressed(pilot, "y", "y", "y", "y", "enter")
        assert "The dial shows 0 psi." in app.text
        await pressed(pilot, "0", "enter", "n")
        assert "[>]FILL" in app.text
        await pressed(pilot, "enter", "y", "enter")
        assert "It lifts at 15 psi." in app.text
        await pressed(pilot, "15", "enter", "enter", "q", "f", "x", "10 min", "enter")
        await pressed(pilot, "enter", "n", "enter", "f", "w", "enter", "f", "w")
        await pressed(pilot, "enter", "55000", "enter", "enter", "enter")
        assert app.course.session.stage == "vent"
        await pressed(pilot, "v", "i", "s", "enter")
        for _ in range(8):
            await pressed(pilot, "a", "4", "enter")
        added = app.course.session.water.added
        assert added[0].psi < 2.0  # a sound pocket stands at 4.75 psi after as much
        await pressed(pilot, "5", "enter", "v", "v", "c", "down")
        assert "spitting" in app.text
        await pressed(pilot, "c")
        assert " 2 trapped air" in app.text
        await pressed(pilot, "2", "enter", "v", "v", "o")
        await pressed(pilot, "A", "y", "air in it", "enter", "o", "0", "enter", "y")
        assert "THE FAULT: trapped air" in app.text
        assert "FOUND" in app.text and "NOT FOUND" not in app.text
        assert "kept" in app.text
        await pressed(pilot, "tab")
        assert "Abandoned: air in it" in app.text


async def test_a_look_shows_what_there_is_and_the_trainee_types_it() -> None:
    app = driven("primary_drip", moves=70)
    async with app.run_test(size=(80, 24)) as pilot:
        app.course.skip(600.0)
        assert "You look" not in app.text and "drip" not in app.text
        await pressed(pilot, "l")
        assert "You look along the joint inside:" in app.text
        assert "on the primary gasket" in app.text
        before = app.course.session.seq
        await pressed(pilot, "n", "p", "d")
        assert "on the primary gasket" in app.text  # still before the eye while it is typed
        await pressed(pilot, "5", "enter")
        facts = [r.fact for r in app.course.session.records[before:]]
        assert isinstance(facts[0], f.Looked) and not facts[0].dry
        assert isinstance(facts[1], f.Sighted) and facts[1].grade == "drip"


async def test_a_sighting_without_a_look_is_told_to_look_first() -> None:
    app = driven("secondary_leak", moves=70)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "s")
        assert "Look first" in app.text
        await pressed(pilot, "escape")
        app.course.skip(600.0)
        await pressed(pilot, "e")
        assert "on the secondary gasket" in app.text and "cock is open" in app.text


async def test_time_runs_faster_and_is_skipped_to_the_end_of_a_wait() -> None:
    app = driven("none", "vent")
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "+++")
        assert "Time runs 10 times as fast" in app.text
        await pressed(pilot, "---", "enter")
        start = app.course.now()
        await pressed(pilot, "f")
        assert "the wait's end" in app.text
        await pressed(pilot, "w")
        assert 1790 < app.course.now() - start < 1805
        assert "[x] Let the concrete soak" in app.text


async def test_supply_and_cock_are_turned_by_keys() -> None:
    app = driven("none", "fill")
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "S", "20", "enter", "k", "s")
        assert app.course.session.water.supplied[-1].psi == 20
        there = app.course.seen()
        assert there is not None and there.cock == 0.0
        assert "Gauge cock shut" in app.text


async def test_before_it_is_ended_the_trainee_says_what_is_wrong() -> None:
    app = driven("none", "verdict")
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "A")
        assert "What is wrong" in app.text
        await pressed(pilot, "99", "enter")
        assert "expected a number" in app.text
        await pressed(pilot, "escape")
        assert not app.course.session.closed


async def test_plain_checks_are_done_only_where_they_tell_nothing() -> None:
    app = driven("low_vent")
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "y")
        left = {c.id for c in app.course.session.checking.checks if c.stage == "prepare"}
        left -= set(app.course.session.checking.settled)
        assert "vent_top" in left
        await pressed(pilot, "enter")
        assert "The tape says" in app.text and "0.125 in" not in app.text
