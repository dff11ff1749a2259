"""Practice as a course: its own time, its own place, and never a real test."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine import facts as f
from engine.asking.commands import Confirm
from engine.trouble import Trouble
from store.shelf import Shelf
from tests.ledger import shelf
from tests.practised import Real, outside, practice, run
from tui.practice import Practice, name, practise, resumed
from tui.practice_clock import BOOT


def test_time_runs_as_fast_as_asked_and_can_be_skipped() -> None:
    real = Real()
    course = practice("none", real=real)
    real.go(10)
    assert course.now() == 10.0
    assert course.faster(+3) == 10.0
    real.go(10)
    assert course.now() == 110.0
    course.skip(3600)
    assert course.now() == 3710.0


def test_leaving_freezes_time_and_it_goes_on_from_the_last_record(tmp_path: Path) -> None:
    real, kept = Real(), shelf(tmp_path)
    course = practise(outside(real, kept), "T. Example", "trapped_air", 3, 5.0)
    course.skip(100)
    course.ask(Confirm("faces"))
    before = course.session
    course.close()
    real.go(86_400)
    again = resumed(kept.open(course.name), outside(real, kept), "T. Example")
    assert isinstance(again, Practice)
    assert again.session == before
    assert again.now() == before.t == 100.0
    real.go(7)
    assert again.now() == 107.0
    again.ask(Confirm("sizes"))
    assert again.session.records[-1].boot == BOOT
    assert again.session.restarted == float("-inf")


def test_what_is_seen_is_the_same_after_resuming(tmp_path: Path) -> None:
    real, kept = Real(), shelf(tmp_path)
    course = run(practise(outside(real, kept), "T. Example", "trapped_air", 3, 1.0), "hold")
    seen = course.seen()
    course.close()
    again = resumed(kept.open(course.name), outside(real, kept), "T. Example")
    again.clock.skip(course.now() - again.now())  # type: ignore[attr-defined]
    assert again.seen() == seen  # type: ignore[attr-defined]


def test_practice_lies_apart_and_is_listed_read_and_sealed_like_any(tmp_path: Path) -> None:
    real, kept = Real(), shelf(tmp_path)
    course = practise(outside(real, kept), "T. Example", "none", 3, 1.0)
    root = tmp_path / "store"
    assert [p.parent.name for p in root.glob("*/*.journal")] == ["practice-live"]
    assert kept.live() == [course.name]
    run(course)
    kept.seal(course.name)
    assert [p.parent.name for p in root.glob("*/*.json")] == ["practice"]
    assert kept.sealed() == [course.name] and kept.live() == []
    assert kept.read(course.name).records[-1].seq == course.session.seq
    assert kept.audit(course.name).sound
    assert not (root / "sessions").exists()
    amended = kept.amend(course.name)
    amended.append(f.Amended(reason="looked at again"), real(), "T. Example")
    amended.close()
    assert kept.live() == [course.name]


def test_names_are_never_taken_twice(tmp_path: Path) -> None:
    real, kept = Real(), shelf(tmp_path)
    world = outside(real, kept)
    names = []
    for _ in range(3):
        course = practise(world, "T. Example", "none", 3, 1.0)
        names.append(course.name)
        course.close()
    assert names == [f"practice-2031-05-06-{n}" for n in (1, 2, 3)]
    assert name(world) == "practice-2031-05-06-4"


def test_the_fault_is_named_or_drawn_by_the_seed(tmp_path: Path) -> None:
    def pinned(fault: str, seed: int) -> str:
        made = practice(fault, seed).session.checking.practice
        assert made is not None
        return made.fault

    assert pinned("Trapped air", 1) == pinned("trapped-air", 1) == "trapped_air"
    assert pinned("", 11) == pinned("", 11)
    assert len({pinned("", seed) for seed in range(30)}) > 5


@pytest.mark.parametrize(
    ("fault", "speed", "words"), [("gremlins", 1.0, "trapped_air"), ("none", 0.0, "speed")]
)
def test_nonsense_is_refused_before_anything_is_kept(
    tmp_path: Path, fault: str, speed: float, words: str
) -> None:
    kept: Shelf = shelf(tmp_path)
    with pytest.raises(Trouble, match=words):
        practise(outside(Real(), kept), "T. Example", fault, 3, speed)
    assert kept.live() == []
