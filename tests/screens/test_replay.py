"""The replay on its screen, and a round of questions, by keys alone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from textual.pilot import Pilot

from engine.asking.commands import Reopen
from engine.clock import Stamp
from tests.screens.picture import picture
from tests.story import START, Story
from tui.player import Player, Remark
from tui.questions import Choice, Questioned
from tui.screens.replay import ReplayScreen
from tui.theme import Look
from tui.widgets.narrow import NarrowApp


class Real:
    def __init__(self) -> None:
        self.ticks = 0.0

    def __call__(self) -> Stamp:
        return Stamp(START, "boot-9", self.ticks)


class Shown(NarrowApp[None]):
    """One replay, and nothing behind it."""

    def __init__(self, player: Player, by: str = "") -> None:
        super().__init__()
        self.look = Look()
        self.player, self.by = player, by

    def on_mount(self) -> None:
        self.push_screen(ReplayScreen(self.player, by=self.by))

    @property
    def text(self) -> str:
        return "\n".join(picture(self))


async def pressed(pilot: Pilot[None], *keys: str) -> None:
    for key in keys:
        await pilot.press(*([key] if key in _NAMED else list(key)))
    await pilot.pause()


_NAMED = {"enter", "escape", "tab", "left", "right", "space"}


def finished() -> Story:
    story = Story().to("vent").settle(but=("burp",))
    story.closed_and_burped().settle().go_on().raise_to()
    story.read(13.5)
    story.pass_time(60).read(13.5)
    story.see("primary", "beads", 4.5)
    return story.hold().go_on().end()


async def test_what_was_shown_then_is_shown() -> None:
    story = finished()
    app = Shown(Player("one", story.records, Real()))
    async with app.run_test(size=(80, 24)) as pilot:
        assert "REPLAY" in app.text and "[>]PREPARE" in app.text
        assert f"record 1 of {len(story.records)}" in app.text
        await pressed(pilot, "]]]]")
        assert "[>]HOLD" in app.text
        await pressed(pilot, ".")
        assert "Seen: beads on the primary gasket" in app.text
        assert "1:00 min" in app.text  # the credit then, not the credit in the end
        await pressed(pilot, ".")
        assert "Verdict announced: PASS" in app.text
        await pressed(pilot, ".")
        assert "no sighting or verdict after this" in app.text
        await pressed(pilot, ",", "left")
        assert "Read 13.5 psi" in app.text


async def test_it_plays_and_stands_still() -> None:
    real = Real()
    player = Player("one", finished().records, real)
    app = Shown(player)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "++++", "space")
        assert "PLAYING      20x" in app.text
        real.ticks += 1.0
        app.screen._tick()  # type: ignore[attr-defined]
        await pressed(pilot, "space")
        assert "STANDS STILL 20x" in app.text
        assert player.now() > 0


async def test_no_key_of_the_run_screen_writes() -> None:
    player = Player("one", finished().records, Real())
    app = Shown(player)
    async with app.run_test(size=(80, 24)) as pilot:
        for key in "nRlsuvaxdiotwbmgDhA1":
            await pressed(pilot, key)
            assert "read only: this is a replay" in app.text
            await pressed(pilot, "[")
        await pressed(pilot, "enter")
        assert "read only: this is a replay" in app.text


async def test_a_time_of_day_is_gone_to() -> None:
    player = Player("one", finished().records, Real())
    app = Shown(player)
    async with app.run_test(size=(80, 24)) as pilot:
        opened = player.peek(1).records[0].at
        await pressed(pilot, "/", f"{opened:%H}:{opened.minute + 3:02}", "enter")
        assert player.now() == 180.0
        await pressed(pilot, "/", "+2 min", "enter")
        assert player.now() == 300.0
        await pressed(pilot, "/", "-1 min", "enter")
        assert player.now() == 240.0
        await pressed(pilot, "/", "25:99", "enter")
        assert "expected a time of day" in app.text
        await pressed(pilot, "escape")
        assert player.now() == 240.0


async def test_a_remark_is_made_and_shown_at_its_moment_only() -> None:
    kept: list[Remark] = []
    player = Player("one", finished().records, Real(), keep=kept.append)
    app = Shown(player, by="T. Example")
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "]]]]", "r", "watch the needle", "enter")
        assert [r.text for r in kept] == ["watch the needle"]
        assert "REMARK by T. Example: watch the needle" in app.text
        await pressed(pilot, "right")
        assert "REMARK" not in app.text
        await pressed(pilot, "left")
        assert "REMARK" in app.text


# --- questions ------------------------------------------------------------------------------------


def asked(kept: list[Mapping[str, Any]]) -> Questioned:
    return Questioned("one", finished().records, Real(), keep_round=kept.append)


async def test_a_round_with_right_and_wrong_answers() -> None:
    kept: list[Mapping[str, Any]] = []
    player = asked(kept)
    app = Shown(player, by="N. Example")
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, "enter")
        assert "Question 1" in app.text
        assert "go on (n)" not in app.text
        await pressed(pilot, "h", "it feels right", "enter")
        assert "NOT SO" in app.text and "the hold comes after the vent" in app.text
        await pressed(pilot, "g")
        answers = {"prepare": "n", "seal": "n", "fill": "n", "vent": "n", "hold": "n"}
        while not player.over:
            await pressed(pilot, "enter")
            done = player.decisions[len(player.answers)][1].kind
            key = {"close": "c", "hold": "h", "verdict": "a"}.get(done)
            await pressed(pilot, key or answers[player.session.stage])
            if done == "verdict":
                await pressed(pilot, "p")
            await pressed(pilot, "so it is", "enter")
            assert "RIGHT" in app.text
            await pressed(pilot, "g")
        assert "7 of 8 right, 0 another way, 1 not so" in app.text
        assert "Kept for N. Example." in app.text
    [row] = kept
    assert row["by"] == "N. Example"
    assert [a["grade"] for a in row["answers"]] == ["wrong", *["right"] * 7]
    assert row["answers"][0]["why"] == "it feels right"


async def test_nothing_of_what_follows_can_be_seen_before_the_answer() -> None:
    player = asked([])
    app = Shown(player)
    async with app.run_test(size=(80, 24)) as pilot:
        for keys in ("]]]]]]", "......", "/+500 h"):
            await pressed(pilot, *([keys[0], keys[1:], "enter"] if keys[0] == "/" else [keys]))
            await pressed(pilot, "escape", "tab")
            assert "Hold started" not in app.text
            assert "PASS" not in app.text
            assert "of ?" in app.text
            assert player.session.stage == "prepare"
            await pressed(pilot, "escape")


def test_waiting_is_right_where_what_was_done_came_too_early() -> None:
    story = Story().to("vent")
    story.closed()  # before the soak, the flow and the rest
    player = Questioned("one", story.records, Real())
    for seq, done in player.decisions[:-1]:
        assert player.answer(done, "so it is").grade == "right", seq
    made = player.answer(Choice("wait"), "the soak is not over")
    assert made.grade == "right"
    assert "soak" in made.rules


def test_another_allowed_way_is_neither_right_nor_wrong() -> None:
    story = finished()
    player = Questioned("one", story.records, Real())
    for _, done in player.decisions[:-1]:
        player.answer(done, "so it is")
    made = player.answer(Choice("verdict", outcome="fail"), "it looked wet")
    assert made.grade == "wrong" and "the records say PASS" in made.rules
    assert player.result() == {"right": len(player.decisions) - 1, "another way": 0, "wrong": 1}


def test_a_stage_taken_up_again_is_asked_about() -> None:
    story = Story().to("hold").raise_to()
    story.read(6.0)
    story.release()
    story.zero()
    story.ask(Reopen("vent", "air is suspected"))
    kinds = [done.kind for _, done in Questioned("one", story.records, Real()).decisions]
    assert kinds[-2:] == ["hold", "back"]


async def test_no_question_is_put_behind_the_plan() -> None:
    player = asked([])
    app = Shown(player)
    async with app.run_test(size=(80, 24)) as pilot:
        replay = app.screen
        await pressed(pilot, "p")
        player.to_record(player.decisions[0][0])
        assert player.halted
        replay._tick()  # type: ignore[attr-defined]
        assert not replay.has_class("asking")
        await pressed(pilot, "escape")
        replay._tick()  # type: ignore[attr-defined]
        await pilot.pause()
        assert "Question 1" in app.text
