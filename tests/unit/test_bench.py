"""The measurements measure what they say, on figures and programs that are known beforehand."""

from __future__ import annotations

from argparse import ArgumentTypeError

import pytest

from tests.bench.wire import LABEL, LINE, STILL, Figures, Program, first_frame, steady, step, table

TALKER = "echo up; read _; echo answered; while true; do printf 0123456789; sleep 0.05; done"


def test_bytes_are_counted_after_the_steps_and_not_before() -> None:
    program = Program("talker", ("sh", "-c", TALKER), "up", [step("enter:answered")])
    figures = Figures([first_frame(program)])
    steady(program, 0.5, figures)
    assert figures.opening == len("up\r\n")
    assert 100 <= figures.wire <= 220  # 200 where nothing else runs
    assert 0 < figures.frame < 5


def test_ratios_are_taken_to_the_bare_programs() -> None:
    bare = {
        STILL.name: Figures([0.2]),
        LINE.name: Figures([0.2], wire=100),
        LABEL.name: Figures([1]),
    }
    row = table({**bare, "ours": Figures([0.3, 0.25, 0.9], wire=140)})[4].split()
    assert row[1:4] == ["300", "ms", "1.50"]
    assert row[-2] == "1.40"


def test_a_step_is_keys_and_their_answer() -> None:
    assert step("1 3 . 2 enter:13.2 psi") == (["1", "3", ".", "2", "enter"], "13.2 psi")


@pytest.mark.parametrize("text", ["enter", ":answer", "enter:"])
def test_a_step_without_both_is_refused(text: str) -> None:
    with pytest.raises(ArgumentTypeError, match="KEYS:TEXT"):
        step(text)
