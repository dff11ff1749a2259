"""The history: what its views say of rows, and the screen driven by keys."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from engine.history import Filter
from engine.history.shown import figure
from tests.again import finished, listed
from tests.benched import Benched, kept, pressed
from tests.ledger import shelf
from tui import histories
from tui.screens import history_view as view
from tui.screens.history import HistoryScreen
from tui.screens.run import RunScreen
from tui.theme import Look
from tui.widgets.lines import Row
from tui.widgets.plot import Band, Dot, Plot

PIPE = "54 in pipe, wall B"
TODAY = dt.date(2026, 6, 5)


def text(rows: list[Row]) -> str:
    return "\n".join("".join(span for span, _ in row) for row in rows)


def days(*lost: float, **changed: Any) -> list[dict[str, Any]]:
    """A test a day, with this much lost in each."""
    return [
        listed(f"s-{n}", when=f"2026-05-{n:02} 08:00", marks=f"D-{n} / D-{n + 1}",
               **{"lost": value, **changed})
        for n, value in enumerate(lost, 1)
    ]  # fmt: skip


# --- standing, story and trend as text ----------------------------------------------------------


def test_standing_says_what_passed_on_what_and_what_is_missing() -> None:
    rows = [*days(0.5, 0.5), listed("s-9", alignment="deflected", outcome="fail", state="FAIL")]
    told = text(histories.standing_rows(rows, PIPE, TODAY, 80))
    assert "straight   PASSED on 2 specimens, 2026-05-01 to 2026-05-02" in told
    assert "under Works instruction 12, edition 3" in told
    assert "D-1 / D-2; D-2 / D-3" in told
    assert "deflected  MISSING, 1 try without a pass" in told
    assert "again by" not in told


def test_a_pass_is_due_again_only_where_its_procedure_says_so() -> None:
    def yearly(procedure: str, alignment: str) -> int | None:
        return 365 if (procedure, alignment) == ("Works instruction 12", "straight") else None

    told = text(histories.standing_rows(days(0.5), PIPE, TODAY, 80, yearly))
    assert "to be tested again by 2027-05-01" in told
    assert "OVERDUE" not in told
    later = dt.date(2027, 5, 2)
    assert "OVERDUE" in text(histories.standing_rows(days(0.5), PIPE, later, 80, yearly))


def test_a_failure_after_the_last_pass_is_not_hidden() -> None:
    rows = [*days(0.5), listed("s-8", when="2026-05-20 08:00", outcome="fail", state="FAIL")]
    told = text(histories.standing_rows(rows, PIPE, TODAY, 80))
    assert "FAILED, and not passed since: s-8" in told


def test_another_make_of_the_product_is_another_version() -> None:
    rows = [*days(0.5), listed("s-8", when="2026-05-20 08:00", make="ffffff")]
    told = text(histories.standing_rows(rows, PIPE, TODAY, 80))
    assert told.index("Version 2 (ffffff)") < told.index("Version 1 (a1b2c3), older")


def test_the_story_tells_every_try_in_order() -> None:
    rows = [
        listed("b", when="2026-06-03 10:00", follows="a", state="UNDECIDED", outcome="undecided"),
        listed("a"),
        listed("c", when="2026-06-03 12:00", follows="b", alignment="deflected"),
    ]
    told = text(histories.story_rows(rows, "b"))
    assert "D-1041 / D-1042   54 in pipe, wall B, 3 tries" in told
    assert told.index("1. 2026-06-03 08:00") < told.index("> 2. 2026-06-03 10:00")
    assert "follows b" in told


def test_the_story_of_nothing_is_told() -> None:
    assert "Nothing is known" in text(histories.story_rows([], "x"))


def test_limits_are_drawn_from_eight_on_and_the_last_one_outside_is_said() -> None:
    steady = [0.5, 0.52, 0.49, 0.51, 0.5, 0.48, 0.51]
    assert view.course(days(*steady), PIPE, "lost", None).band is None
    drawn = view.course(days(*steady, 0.9), PIPE, "lost", None)
    assert drawn.band is not None
    assert drawn.dots[-1].outside
    assert drawn.word == "the last one is above what is usual here"
    assert "of 8 tests; 1 outside" in drawn.usual
    as_usual = view.course(days(*steady, 0.5), PIPE, "lost", None)
    assert as_usual.word == ""


def test_time_taken_is_shown_in_minutes_and_limits_with_it() -> None:
    drawn = view.course(days(*[0.5] * 8, seconds=5400.0), PIPE, "seconds", None)
    assert [dot.value for dot in drawn.dots] == [90.0] * 8
    assert drawn.band == Band(90.0, 90.0, 90.0)
    assert figure("seconds", 5400.0, "us") == "90 min"
    assert figure("air", None, "us") == "-"


def test_a_filter_is_said_in_words() -> None:
    chosen = Filter(product=PIPE, outcome="fail", gauge="G-07", since="2026-01-01")
    assert view.filtered(chosen) == "54 in pipe, wall B, fail, gauge G-07, since 2026-01-01"


# --- the plot -----------------------------------------------------------------------------------


def drawn(dots: list[Dot], band: Band | None, width: int = 60, height: int = 12) -> list[str]:
    class Plain(Plot):
        """Drawn without an app around it."""

        look = Look()

    plot = Plain()
    plot._dots, plot._band, plot._at = tuple(dots), band, len(dots) - 1
    return ["".join(span for span, _ in row) for row in plot.rows(width, height)]


@pytest.mark.parametrize("count", [1, 2, 8, 40, 400])
def test_however_many_tests_each_row_fits(count: int) -> None:
    dots = [Dot("2026-05-01", 0.5 + n % 5 / 10) for n in range(count)]
    rows = drawn(dots, Band(0.3, 0.7, 1.1))
    assert len(rows) == 12
    assert all(len(row) <= 60 for row in rows)
    assert ("of 400" in rows[-1]) is (count == 400)


def test_a_value_outside_is_an_x_and_limits_have_their_figures() -> None:
    rows = drawn([Dot("2026-05-01", 0.5), Dot("2026-05-02", 2.0, True)], Band(0.3, 0.5, 0.7))
    assert sum(row.count("X") for row in rows) == 1
    assert {"low", "high"} <= {word for row in rows for word in row.split()}


# --- driven by keys -----------------------------------------------------------------------------


@pytest.fixture
def program(tmp_path: Path) -> Benched:
    store = shelf(tmp_path)
    kept(store, "2026-06-03-1", finished())
    rows = days(*[0.5, 0.52, 0.49, 0.51, 0.5, 0.48, 0.51, 0.9], make=store.rows()[0]["make"])
    rows.append(listed("x-1", product="48 in pipe", by="Q. Sample", gauge="G-09",
                       outcome="fail", state="FAIL", when="2026-02-01 08:00"))  # fmt: skip
    store.index.rebuild({str(row["session"]): row for row in (*store.rows(), *rows)})
    return Benched(tmp_path)


async def test_tab_goes_through_the_views_of_what_is_under_the_cursor(program: Benched) -> None:
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "h")
        assert isinstance(program.app.screen, HistoryScreen)
        assert "10 tests" in program.text
        await pressed(pilot, "tab")
        assert "PASSED on 8 specimens" in program.text
        assert "MISSING" in program.text
        await pressed(pilot, "tab")
        assert "D-1041 / D-1042   54 in pipe, wall B, 1 try" in program.text
        await pressed(pilot, "tab")
        assert "Pressure lost in the hold [psi]" in program.text
        assert "2026-05-01 to 2026-06-03" in program.text
        await pressed(pilot, "space", "left")
        assert "That loss as a flow" in program.text
        await pressed(pilot, "a")
        assert "straight" in program.lines[1]


async def test_the_trend_names_the_test_under_its_cursor_and_opens_it(program: Benched) -> None:
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "h", "tab", "tab", "tab", "left")
        assert "0.90 psi" in program.text
        assert "s-8" in program.text
        await pressed(pilot, "enter")
        assert "there is no session" in program.text  # a row without its session
        await pressed(pilot, "right", "enter")
        assert isinstance(program.app.screen, RunScreen)
        await pressed(pilot, "q")
        assert isinstance(program.app.screen, HistoryScreen)


async def test_past_tests_are_narrowed_and_all_shown_again(program: Benched) -> None:
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "h", "f", "v", "fail", "enter")
        assert "1 test, only fail" in program.text
        await pressed(pilot, "f", "x", "f", "g", "09", "enter")
        assert "only gauge G-09" in program.text
        await pressed(pilot, "f", "x", "f", "b", "sample", "enter", "f", "p", "54", "enter")
        assert "No such test." in program.text
        await pressed(pilot, "f", "x", "f", "d", "2026-05-05", "enter", "enter")
        assert "5 tests, only since 2026-05-05" in program.text


async def test_a_day_that_is_none_is_refused_and_stays(program: Benched) -> None:
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "h", "f", "d", "last week", "enter")
        assert "expected a day" in program.text
        assert "last week_" in program.text
        await pressed(pilot, "escape", "z", "9", "f", "q", "escape", "escape")
        assert not isinstance(program.app.screen, HistoryScreen)


async def test_search_finds_while_it_is_typed(program: Benched) -> None:
    async with program.app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "h", "/", "48 in")
        assert "1 test, search: 48 in" in program.text
        await pressed(pilot, "enter", "tab")
        assert "48 in pipe" in program.lines[2]
        await pressed(pilot, "escape", "/", "escape")
        assert "10 tests" in program.text
