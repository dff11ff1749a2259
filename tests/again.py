"""Tests that follow others, as stories; and rows of past sessions by the thousand."""

from __future__ import annotations

import datetime as dt
from functools import cache
from typing import Any

from engine.asking.commands import Write
from engine.facts import SessionOpened
from engine.planfile import PlanFile
from engine.present.row import row
from engine.rig import Specimen
from engine.session import Session
from tests.plans import PIPE, plan
from tests.story import Story

TODAY = dt.date(2026, 6, 3)
BARE = row("", Session())
"""The keys that every row has."""


def pair(spigot: str = "D-1041", bell: str = "D-1042", **changed: Any) -> PlanFile:
    """The pipe, with marks on its two sections."""
    return plan(PIPE, specimen={"spigot": spigot, "bell": bell}, **changed)


class Following(Story):
    """A story that begins with an opening of its own, a while after another one."""

    def __init__(self, opening: SessionOpened, after: Story, hours: float = 1.0) -> None:
        self.session = Session()
        self.records = []
        self.by = after.by
        self.boot, self.ticks, self.wall = after.boot, after.ticks, after.wall
        self.pass_time(hours * 3600)
        self.ask(Write(opening))


@cache
def finished() -> Story:
    """A whole test that passes; made once, so nothing more is to be asked of it."""
    return Story(pair()).to("verdict").end()


def specimen(spigot: str, bell: str) -> Specimen:
    return Specimen(spigot=spigot, bell=bell)


def listed(session: str, **changed: Any) -> dict[str, Any]:
    """A row of a straight test that passed, with fields replaced."""
    usual = {
        "session": session,
        "product": "54 in pipe, wall B",
        "marks": "D-1041 / D-1042",
        "alignment": "straight",
        "outcome": "pass",
        "state": "PASS",
        "when": "2026-06-03 08:00",
        "by": "R. Example",
        "gauge": "G-07",
        "open": False,
        "procedure": "Works instruction 12",
        "edition": "3",
        "make": "a1b2c3",
        "lost": 0.5,
        "rate": -0.05,
        "top_ups": 0,
        "seconds": 5400.0,
        "rules": 1,
    }
    return {**BARE, **usual, **changed}


def many(count: int) -> list[dict[str, Any]]:
    """Rows of a made-up plant over years: a few products, gauges and people."""
    start = dt.datetime(2016, 1, 4, 7, 30, tzinfo=dt.UTC)
    outcomes = ["pass"] * 8 + ["fail", "undecided"]
    rows = []
    for n in range(count):
        outcome = outcomes[n * 7 % 10]
        when = start + dt.timedelta(hours=8 * n)
        rows.append(
            listed(
                f"{when:%y%m%d}-{n:05x}",
                product=f"{42 + 6 * (n % 9)} in pipe, wall {'BC'[n % 2]}",
                marks=f"D-{n:05} / D-{n + 1:05}",
                alignment="straight" if n % 3 else "deflected",
                outcome=outcome,
                state=outcome.upper(),
                when=f"{when:%Y-%m-%d %H:%M}",
                by=["R. Example", "A. Tester", "Q. Sample"][n % 3],
                gauge=f"G-{n % 12:02}",
                edition=str(1 + n * 4 // count),
                lost=round(0.4 + (n * 37 % 23) / 100, 4),
                rate=round(-0.04 - (n * 37 % 23) / 1000, 5),
                flow=round(1.2 + (n * 37 % 23) / 50, 3),
                air=round(0.2 + (n * 13 % 7) / 10, 3),
            )
        )
    return rows
