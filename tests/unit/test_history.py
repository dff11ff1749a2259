"""Finding past sessions, a product's standing and its trend, from rows alone."""

from __future__ import annotations

import datetime as dt
import json
import tracemalloc
from time import perf_counter
from typing import Any

import pytest

from engine.history import (
    LEAST,
    Filter,
    Missing,
    Point,
    Search,
    chart,
    standing,
    story,
    trend,
)
from tests.again import listed, many
from tests.guards.code import run_python

PRODUCT = "54 in pipe, wall B"


def names(rows: Any) -> list[str]:
    return [str(row["session"]) for row in rows]


# --- finding ------------------------------------------------------------------------------------


def test_every_word_typed_is_somewhere_in_the_row_newest_first() -> None:
    rows = [
        listed("a-1", marks="D-1 / D-2", when="2026-06-03 08:00"),
        listed("a-2", marks="D-1 / D-3", outcome="fail", state="FAIL", when="2026-06-04 08:00"),
        listed("a-3", marks="D-7 / D-8", when="2026-06-05 08:00"),
    ]
    search = Search(rows)
    assert names(search.found("")) == ["a-3", "a-2", "a-1"]
    assert names(search.found("d-1")) == ["a-2", "a-1"]
    assert names(search.found("d-1 fail")) == ["a-2"]
    assert names(search.found("FAIL D-1")) == ["a-2"]
    assert names(search.found("06-05")) == ["a-3"]
    assert names(search.found("nothing like it")) == []


def test_letters_taken_back_bring_back_what_they_hid() -> None:
    search = Search([listed("a-1", by="R. Example"), listed("a-2", by="A. Tester")])
    for typed in ("t", "te", "tex", "te", "", "ex", "r. e"):
        fresh = Search([listed("a-1", by="R. Example"), listed("a-2", by="A. Tester")])
        assert names(search.found(typed)) == names(fresh.found(typed))


def test_filters_are_exact() -> None:
    rows = [
        listed("a-1", gauge="G-07", when="2026-06-03 08:00"),
        listed("a-2", gauge="G-08, G-07", when="2026-06-04 08:00", by="A. Tester"),
        listed("a-3", gauge="G-070", outcome="fail", when="2026-06-05 08:00", practice=True),
        listed("a-4", outcome=None, open=True, when="2026-06-06 08:00", product="48 in pipe"),
    ]
    assert names(Filter(gauge="G-07").of(rows)) == ["a-1", "a-2", "a-4"]
    assert names(Filter(outcome="fail").of(rows)) == ["a-3"]
    assert names(Filter(since="2026-06-04", until="2026-06-05").of(rows)) == ["a-2", "a-3"]
    assert names(Filter(by="A. Tester", practice=False).of(rows)) == ["a-2"]
    assert names(Filter(open=True).of(rows)) == ["a-4"]
    assert names(Filter(product="48 in pipe").of(rows)) == ["a-4"]
    assert names(Filter().of(rows)) == ["a-1", "a-2", "a-3", "a-4"]


def test_a_specimens_story_hides_no_try() -> None:
    rows = [
        listed("a-4", follows="a-2", marks="", when="2026-06-07 08:00"),
        listed("a-1", when="2026-06-03 08:00"),
        listed("a-2", follows="a-1", when="2026-06-04 08:00"),
        listed("a-3", state="ABANDONED", outcome="undecided", when="2026-06-05 08:00"),
        listed("b-1", marks="D-9 / D-10"),
        listed("b-2", product="48 in pipe"),
        listed("b-3", practice=True),
    ]
    told = ["a-1", "a-2", "a-3", "a-4"]
    assert names(story(rows, "a-2")) == told
    assert names(story(rows, "a-3")) == told[:3]
    assert names(story(rows, "b-1")) == ["b-1"]
    assert story(rows, "nobody") == []


def test_none_is_told_before_the_one_it_follows() -> None:
    rows = [listed("a-1", when="2026-06-03 08:00"),
            listed("a-2", when="2026-06-02 08:00", follows="a-1")]  # fmt: skip
    assert names(story(rows, "a-1")) == ["a-1", "a-2"]


# --- standing -----------------------------------------------------------------------------------


def test_a_product_stands_by_alignment_specimens_and_edition() -> None:
    rows = [
        listed("a-1", marks="D-1 / D-2", when="2026-06-03 08:00"),
        listed("a-2", marks="D-3 / D-4", when="2026-06-05 08:00"),
        listed("a-3", marks="D-3 / D-4", when="2026-06-06 08:00"),
        listed("a-4", marks="D-5 / D-6", when="2026-06-07 08:00", edition="4"),
        listed("a-5", alignment="deflected", outcome="fail", when="2026-06-08 08:00"),
    ]
    found = standing(rows, PRODUCT)
    assert [(p.alignment, p.edition, p.specimens, p.first, p.last) for p in found.proofs] == [
        ("straight", "3", ("D-1 / D-2", "D-3 / D-4"), "2026-06-03", "2026-06-06"),
        ("straight", "4", ("D-5 / D-6",), "2026-06-07", "2026-06-07"),
    ]
    assert found.proofs[0].sessions == ("a-1", "a-2", "a-3")
    assert found.missing == (Missing(1, "a1b2c3", "deflected", ("a-5",)),)


def test_a_version_of_the_product_stands_by_itself() -> None:
    rows = [
        listed("a-1", when="2026-06-03 08:00"),
        listed("a-2", alignment="deflected", when="2026-06-03 12:00"),
        listed("b-1", make="ffffff", when="2026-06-09 08:00"),
    ]
    found = standing(rows, PRODUCT)
    assert [(p.version, p.alignment) for p in found.proofs] == [
        (1, "straight"), (1, "deflected"), (2, "straight")
    ]  # fmt: skip
    assert [(m.version, m.alignment) for m in found.missing] == [(2, "deflected")]
    assert found.latest == 2


def test_practice_open_and_damaged_tests_prove_nothing() -> None:
    rows = [
        listed("a-1", practice=True),
        listed("a-2", open=True, outcome=None, state="Hold"),
        listed("a-3", outcome="undecided", state="DAMAGED"),
        listed("a-4", product="48 in pipe"),
    ]
    found = standing(rows, PRODUCT)
    assert found.proofs == ()
    assert [m.alignment for m in found.missing] == ["straight", "deflected"]
    assert found.missing[0].tries == ("a-3",)
    assert found.open == ("a-2",)


def test_a_failure_after_the_last_pass_is_not_hidden() -> None:
    rows = [
        listed("a-1", outcome="fail", when="2026-06-01 08:00"),
        listed("a-2", when="2026-06-03 08:00"),
        listed("a-3", outcome="fail", when="2026-06-05 08:00"),
        listed("a-4", outcome="invalid", when="2026-06-06 08:00"),
    ]
    assert standing(rows, PRODUCT).proofs[0].failed_since == ("a-3",)


def test_a_retest_is_due_only_where_somebody_set_an_interval() -> None:
    rows = [listed("a-1", when="2026-06-03 08:00")]
    assert standing(rows, PRODUCT, today=dt.date(2099, 1, 1)).proofs[0].due is None
    for today, overdue in ((dt.date(2027, 6, 3), False), (dt.date(2027, 6, 4), True)):
        proof = standing(rows, PRODUCT, every_days=365, today=today).proofs[0]
        assert (proof.due, proof.overdue) == ("2027-06-03", overdue)


def test_a_product_never_tested_stands_nowhere() -> None:
    found = standing([], PRODUCT)
    assert (found.proofs, found.missing, found.latest) == ((), (), 0)


# --- trend --------------------------------------------------------------------------------------


def points(*values: float) -> list[Point]:
    return [Point(f"a-{n}", f"2026-06-{n + 1:02} 08:00", v) for n, v in enumerate(values)]


def test_the_chart_is_that_of_the_handbook() -> None:
    # NIST e-Handbook 6.3.2.2, data and printed limits from memory: mean 50.81, moving range
    # 1.8778, limits 55.8041 and 45.8159.
    found = chart(points(49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1))
    assert found is not None
    assert found.mean == pytest.approx(50.81, abs=0.005)
    assert found.mean_step == pytest.approx(1.8778, abs=0.00005)
    assert found.high == pytest.approx(55.8041, abs=0.00005)
    assert found.low == pytest.approx(45.8159, abs=0.00005)
    assert (found.outside, found.jumps, found.word) == ((), (), "")


def test_fewer_than_eight_say_nothing() -> None:
    assert chart(points(*range(LEAST - 1))) is None
    assert chart(points(*range(LEAST))) is not None


def test_the_last_one_outside_gets_a_word() -> None:
    usual = [0.5, 0.6, 0.5, 0.4, 0.5, 0.6, 0.5, 0.4, 0.5, 0.6]
    for last, word in ((4.0, "above"), (-3.0, "below")):
        found = chart(points(*usual, last))
        assert found is not None
        assert found.outside == (len(usual),)
        assert f"the last one is {word} what is usual" in found.word


def test_one_outside_that_is_not_the_last_is_shown_without_a_word() -> None:
    found = chart(points(0.5, 0.6, 0.5, 4.0, 0.5, 0.6, 0.5, 0.4, 0.5, 0.6, 0.5, 0.4, 0.5, 0.6))
    assert found is not None
    assert (found.outside, found.word) == ((3,), "")


def test_a_drift_is_not_a_jump_and_a_jump_is_said() -> None:
    drift = chart(points(*(n / 10 for n in range(20))))
    assert drift is not None
    assert drift.jumps == ()
    steps = [0.0, 0.1] * 8
    jump = chart(points(*steps, *(v + 5 for v in steps), 0.0))
    assert jump is not None
    assert jump.jumps == (16, 32)
    assert "below" in jump.word


def test_equal_values_are_never_outside() -> None:
    found = chart(points(*[0.1 + 0.2] * 9, 0.3))
    assert found is not None
    assert (found.outside, found.jumps) == ((), ())


def test_a_trend_is_of_closed_tests_that_have_the_figure() -> None:
    rows = [
        listed("a-3", lost=0.3, when="2026-06-05 08:00"),
        listed("a-1", lost=0.1, when="2026-06-03 08:00"),
        listed("a-2", lost=None, when="2026-06-04 08:00"),
        listed("a-4", lost=0.4, open=True),
        listed("a-5", lost=0.5, practice=True),
        listed("a-6", lost=0.6, product="48 in pipe"),
        listed("a-7", lost=0.7, alignment="deflected", when="2026-06-06 08:00"),
        listed("a-8", lost=float("nan")),
    ]
    assert [p.value for p in trend(rows, PRODUCT, "lost")] == [0.1, 0.3, 0.7]
    assert [p.value for p in trend(rows, PRODUCT, "lost", "deflected")] == [0.7]


# --- ten thousand -------------------------------------------------------------------------------


def best_of(times: int, work: Any) -> float:
    """Seconds, of the quickest run: the machine is shared."""
    found = []
    for _ in range(times):
        start = perf_counter()
        work()
        found.append(perf_counter() - start)
    return min(found)


def test_ten_thousand_rows_answer_quicker_than_they_are_parsed() -> None:
    rows = many(10_000)
    packed = json.dumps(rows)
    parsing = best_of(3, lambda: json.loads(packed))
    search, typed = Search(rows), "48 in fail g-03 tester"
    product = str(rows[0]["product"])

    def type_it() -> None:
        search.found("")
        for length in range(1, len(typed) + 1):
            search.found(typed[:length])

    assert best_of(3, type_it) / len(typed) < parsing / 5
    assert len(search.found("48 in fail")) > 10
    assert best_of(3, lambda: Search(rows)) < 2 * parsing
    assert best_of(3, lambda: standing(rows, product)) < parsing
    assert best_of(3, lambda: chart(trend(rows, product, "lost"))) < parsing
    assert best_of(3, lambda: story(rows, "nobody")) < parsing


def test_searching_ten_thousand_rows_needs_little_memory() -> None:
    rows = many(10_000)
    tracemalloc.start()
    search = Search(rows)
    search.found("48 in")
    taken, _ = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert taken < 6_000_000


def test_history_brings_no_engine_along() -> None:
    code = (
        "import sys, engine.history; "
        "print([m for m in ('pint', 'pydantic', 'engine.units', 'engine.session') "
        "if m in sys.modules])"
    )
    assert run_python("-c", code).stdout.strip() == "[]"


def test_a_failed_specimen_between_two_that_passed_is_told() -> None:
    rows = [
        listed("b-1", marks="A1 / B1", when="2026-05-01 08:00"),
        listed("b-2", marks="A2 / B2", when="2026-05-02 08:00", outcome="fail", state="FAIL"),
        listed("b-3", marks="A3 / B3", when="2026-05-03 08:00"),
        listed("b-4", marks="A4 / B4", when="2026-05-04 08:00", outcome="fail", state="FAIL"),
        listed("b-5", marks="A4 / B4", when="2026-05-05 08:00"),
    ]
    assert standing(rows, PRODUCT).proofs[0].failed_since == ("b-2",)
