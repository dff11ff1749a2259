"""The checklist: signs, a cursor that stays on its check, and what is out of sight."""

from __future__ import annotations

from tests.screens.picture import picture
from tests.screens.widgets.stand import Stand, check, pressed
from tui.widgets.checklist import Checklist, CheckRow


async def test_every_state_of_a_check_has_its_own_sign() -> None:
    signs = ("settled", "open", "waiting", "blocked", "waived", "carried")
    checklist = Checklist()
    app = Stand(checklist)
    async with app.run_test(size=(40, 6)) as pilot:
        asides = {"waiting": "2:00 left"}
        checklist.update([check(sign, sign, asides.get(sign, "")) for sign in signs])
        await pilot.pause()
        assert picture(app) == [
            "> [x] Settle settled",
            "  [ ] Settle open",
            "  [~] Settle waiting           2:00 left",
            "  [!] Settle blocked",
            "  [w] Settle waived",
            "  [=] Settle carried",
        ]


async def test_the_cursor_stays_on_its_check_when_rows_come_and_go() -> None:
    checklist = Checklist()
    app = Stand(checklist)
    async with app.run_test(size=(40, 6)) as pilot:
        checklist.update([check("a"), check("b"), check("c")])
        checklist.move_to("b")
        checklist.update([check("new"), check("a"), check("b", "settled")])
        assert checklist.chosen == "b"
        checklist.update([check("new"), check("a")])
        assert checklist.chosen == "a"
        await pilot.pause()
        assert app.moved == ["a", "b", "a"]


async def test_what_is_out_of_sight_is_counted() -> None:
    checklist = Checklist()
    app = Stand(checklist)
    async with app.run_test(size=(50, 4)) as pilot:
        checklist.update([check(str(n), "settled" if n < 4 else "open") for n in range(6)])
        await pilot.pause()
        assert picture(app)[3] == "      (3 more below, 2 of them not settled)"
        await pressed(pilot, "down", "down", "down")
        assert picture(app)[0:4] == [
            "  [x] Settle 1",
            "  [x] Settle 2",
            "> [x] Settle 3",
            "      (1 more above, 2 more below, 2 of them not settled)"[:49] + "…",
        ]
        await pressed(pilot, "end")
        assert picture(app)[2] == "> [ ] Settle 5"
        assert checklist.chosen == "5"
        await pressed(pilot, "home")
        assert checklist.chosen == "0"


async def test_a_move_of_the_cursor_sends_two_marks() -> None:
    checklist = Checklist()
    app = Stand(checklist)
    async with app.run_test(size=(80, 8)) as pilot:
        checklist.update([check("a"), check("b")])
        await pilot.pause()
        app.sent.clear()
        checklist.move_to("b")
        await pilot.pause()
        assert "Settle" not in "".join(app.sent)
        assert len("".join(app.sent)) < 80


LONG = "Look all round inside and wipe it dry before there is pressure"


async def test_where_there_is_room_sentences_are_whole_and_the_open_ones_first() -> None:
    checklist = Checklist()
    app = Stand(checklist)
    async with app.run_test(size=(40, 5)) as pilot:
        checklist.update([CheckRow("a", "settled", LONG, "2.5 psi"), CheckRow("b", "open", LONG)])
        await pilot.pause()
        assert picture(app) == [
            "> [x] Look all round inside and  2.5 psi",
            "      wipe it dry before there",
            "      is pressure",
            "  [ ] Look all round inside and wipe it",
            "      dry before there is pressure",
        ]
        await pilot.resize_terminal(40, 3)
        await pilot.pause()
        assert picture(app) == [
            "> [x] Look all round inside and… 2.5 psi",
            "  [ ] Look all round inside and wipe it",
            "      dry before there is pressure",
        ]
        assert checklist.wanted(40) == 5


async def test_no_sentence_breaks_anew_while_a_wait_runs_down() -> None:
    checklist = Checklist()
    app = Stand(checklist)
    async with app.run_test(size=(60, 4)) as pilot:
        seen = set()
        for left in ("10:00:00 h left", "10:00 min left", "9:59 min left", "8 s left"):
            checklist.update([CheckRow("soak", "waiting", LONG, left)])
            await pilot.pause()
            seen.add("\n".join(picture(app)).replace(left, "").replace(" ", ""))
        assert len(seen) == 1
