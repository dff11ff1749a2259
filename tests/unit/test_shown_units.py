"""Whoever plans in kPa and mm reads kPa and mm: in plan, doubts, checks, history and CSV."""

from __future__ import annotations

import csv
import re
from pathlib import Path
from typing import Any

import pytest

from engine.certificate import certificate
from engine.history.shown import figure, shown_in, units_of
from engine.judging.holding import levels_of
from engine.plan import work_out
from engine.planfile import BadPlan
from engine.present import plan as words
from engine.present import tables
from engine.present.row import row
from engine.stages import checks_for
from engine.units import amount, q
from store.sheet import readings_csv
from tests import certified
from tests.certified import attested
from tests.plans import plan
from tests.shelved import Holdwater, kept

SI: dict[str, Any] = {
    **certified.SI,
    "joint__seal_lines": "assumed", "joint__inner_seal": None, "joint__outer_seal": None,
    "joint__pocket_width": "57 mm",
    "supply": {"pressure": "380 kPa", "relief": "104 kPa"}, "procedure__cap": None,
}  # fmt: skip
_US = re.compile(r"\d (?:psi|in|lbf|°F|gal)\b|half-inch|\[psi\]")


def test_a_plan_in_si_says_nothing_in_psi_or_inches() -> None:
    metric = plan(**SI)
    worked = work_out(metric)
    said = [words.headline(worked, "si"), *(why for _, why in words.doubts(worked, "si"))]
    for told in (words.cautions, words.kit, words.refusals):
        said += told(worked, "si")
    for table in tables.tables(metric, worked):
        said += [f"{r.what} {r.value} {r.beside}" for r in table.rows if r.what != "Volume"]
    named = ("1-8 UNC", "1/4")  # sizes by their names
    assert [s for s in said if _US.search(s) and not any(n in s for n in named)] == []


def test_the_checks_of_a_plan_in_si_say_nothing_in_psi_or_inches() -> None:
    assert [c.do for c in checks_for(plan(**SI)) if _US.search(c.do)] == []
    burp = next(c.do for c in checks_for(plan()) if c.id == "burp_read")
    assert "about 5 psi" in burp


def test_a_paper_in_si_says_nothing_in_psi_or_inches_but_what_was_read_so() -> None:
    paper = certificate([attested(certified.metric())])
    test = paper.tests[0]
    rows = (*test.glance, *test.demand, *test.result, *test.gauge, *test.rig, *test.checks)
    said = [f"{r.label} {r.value}" for r in (*rows, *paper.subject) if r.label != "Ports"]
    said += [*test.reasons, *test.beside, *test.doubts, *test.rig_doubts, test.decision]
    assert [s for s in said if _US.search(s)] == []


def test_a_cap_that_cannot_be_is_told_in_the_units_shown() -> None:
    with pytest.raises(BadPlan, match=r"which is [\d.]+ kPa at gauge G-07, expected at least the"):
        plan(**{**SI, "procedure__cap": "91 kPa", "procedure__rule": "guarded"})


@pytest.mark.parametrize("units", ["us", "si"])
def test_the_csv_has_its_pressures_in_the_units_of_the_plan(units: str) -> None:
    story = certified.usual() if units == "us" else certified.metric()
    unit = {"us": "psi", "si": "kPa"}[units]
    rows = list(csv.DictReader(readings_csv("a", story.session).decode().splitlines()))
    cap = amount(q(levels_of(story.session).cap, "psi"), unit)
    assert {r[f"cap_{unit.lower()}"] for r in rows} == {f"{cap:.6f}".rstrip("0")}
    for r in rows:
        read = amount(q(float(r["as_read"]), r["unit"]), unit)
        assert float(r[f"corrected_{unit.lower()}"]) == pytest.approx(read, abs=1e-5)  # zero at 0


def test_what_a_product_lost_is_shown_in_the_units_of_its_last_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert row("a", certified.metric().session)["units"] == "si"
    assert figure("lost", 0.5, "us") == "0.50 psi"
    assert figure("lost", 0.5, "si") == "3.4 kPa"  # 0.5 x 6.894757
    assert shown_in("lost", "si").unit == "kPa" and shown_in("air", "si").unit == "%"
    listed = [{"session": "a", "product": "p", "when": "2026-01-01", "units": "us"},
              {"session": "b", "product": "p", "when": "2026-01-02", "units": "si"},
              {"session": "c", "product": "p", "when": "2026-01-03"}]  # fmt: skip
    assert units_of(listed, "p") == "si"
    assert units_of(listed[2:], "p") == "us"
    kept(tmp_path, "2026-06-03-1", certified.metric())
    name = certified.metric().session.plan.joint.name
    told = Holdwater(tmp_path, capsys)("history", name).out
    assert "kPa" in told and "psi" not in told
