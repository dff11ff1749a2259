"""Lines: only what changed goes over the wire, and nothing harmful ever does."""

from __future__ import annotations

import random

from textual.geometry import Region

from tests.screen import Screen
from tests.screens.picture import picture
from tests.screens.widgets.stand import ESC, HOSTILE, Stand, check, plain
from tui.theme import Look
from tui.widgets.banner import Banner
from tui.widgets.checklist import Checklist
from tui.widgets.clock import Clock, ClockRow
from tui.widgets.lines import Lines


class Watched(Lines):
    """Lines that keep the regions they asked to have repainted."""

    def __init__(self) -> None:
        super().__init__()
        self.repainted: list[Region] = []

    def refresh(self, *regions: Region, **how: bool) -> Watched:
        self.repainted += regions or [Region(-1, -1, 0, 0)]
        return super().refresh(*regions, **how)


async def test_only_the_cells_that_changed_are_repainted() -> None:
    lines = Watched()
    async with Stand(lines).run_test(size=(40, 4)) as pilot:
        lines.show(plain("credit   4:20", "missing  5:40"))
        await pilot.pause()
        lines.repainted.clear()
        lines.show(plain("credit   4:21", "missing  5:39"))
        assert lines.repainted == [Region(12, 0, 1, 1), Region(11, 1, 2, 1)]


async def test_changes_far_apart_are_repainted_apart() -> None:
    lines = Watched()
    async with Stand(lines).run_test(size=(40, 1)) as pilot:
        lines.show(plain("a" + " " * 30 + "b"))
        await pilot.pause()
        lines.repainted.clear()
        lines.show(plain("A" + " " * 30 + "B"))
        assert lines.repainted == [Region(0, 0, 1, 1), Region(31, 0, 1, 1)]


async def test_the_same_rows_repaint_nothing() -> None:
    lines = Watched()
    async with Stand(lines).run_test(size=(40, 4)) as pilot:
        lines.show(plain("as before"))
        await pilot.pause()
        lines.repainted.clear()
        lines.show(plain("as before"))
        assert lines.repainted == []


async def test_a_wide_sign_is_never_halved() -> None:
    lines = Watched()
    async with Stand(lines).run_test(size=(10, 1)) as pilot:
        lines.show(plain("a漢b"))
        await pilot.pause()
        lines.repainted.clear()
        lines.show(plain("a字b"))
        assert lines.repainted == [Region(1, 0, 2, 1)]


async def test_rows_are_laid_out_again_when_the_size_changes() -> None:
    banner = Banner()
    app = Stand(banner)
    async with app.run_test(size=(60, 4)) as pilot:
        banner.update("stand clear of both ends and of the rods")
        await pilot.pause()
        assert picture(app)[0] == "! stand clear of both ends and of the rods"
        await pilot.resize_terminal(24, 4)
        await pilot.pause()
        assert picture(app)[:2] == ["! stand clear of both", "  ends and of the rods"]


async def test_what_is_in_sight_follows_the_height() -> None:
    checklist = Checklist()
    app = Stand(checklist)
    async with app.run_test(size=(50, 4)) as pilot:
        checklist.update([check(str(n)) for n in range(6)])
        await pilot.pause()
        assert picture(app)[3] == "      (3 more below, 3 of them not settled)"
        await pilot.resize_terminal(50, 6)
        await pilot.pause()
        assert picture(app)[3:] == ["  [ ] Settle 3", "  [ ] Settle 4", "  [ ] Settle 5"]


async def test_what_came_from_outside_is_neither_obeyed_nor_taken_for_markup() -> None:
    lines = Lines()
    app = Stand(lines)
    async with app.run_test(size=(60, 1)) as pilot:
        lines.show(plain(HOSTILE))
        await pilot.pause()
        assert picture(app) == ["[red]x[/] ?]0;title? ?gnp ? 漢字 é 1½"]


async def test_a_row_that_is_too_long_says_so() -> None:
    for ascii, end in ((False, "…"), (True, "~")):
        lines = Lines()
        app = Stand(lines, look=Look(ascii=ascii))
        async with app.run_test(size=(8, 1)) as pilot:
            lines.show(plain("0123456789"))
            await pilot.pause()
            assert picture(app) == ["0123456" + end]


async def test_a_terminal_fed_narrow_updates_shows_what_a_whole_repaint_would() -> None:
    dice = random.Random(7)
    lines, clock = Lines(), Clock()
    app = Stand(lines, clock)
    async with app.run_test(size=(50, 12)) as pilot:
        lines.styles.padding = (1, 2)
        terminal = Screen(50, 12)
        for turn in range(25):
            clock.display = turn % 5 != 3
            words = ["".join(dice.choice("ab 漢é") for _ in range(20)) for _ in range(5)]
            lines.show(plain(*words))
            clock.update([ClockRow("missing", f"{dice.randrange(600)} s")])
            await pilot.pause()
            terminal.show("".join(app.sent).encode())
            app.sent.clear()
            assert terminal.picture() == picture(app)


async def test_a_digit_sends_its_own_cell_and_no_more() -> None:
    clock = Clock()
    app = Stand(clock)
    async with app.run_test(size=(80, 8)) as pilot:
        clock.update([ClockRow("credit", "2:00"), ClockRow("next reading due", "0:23")])
        await pilot.pause()
        app.sent.clear()
        clock.update([ClockRow("credit", "2:00"), ClockRow("next reading due", "0:22")])
        await pilot.pause()
        assert app.sent == [f"{ESC}[2;26H2"]
