"""`history`: a product's standing, tests and trends, printed and as data."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.again import finished, listed
from tests.benched import kept
from tests.guards.code import run_python
from tests.ledger import shelf
from tui.__main__ import main

PIPE = "54 in pipe, wall B"


@pytest.fixture
def store(tmp_path: Path) -> str:
    found = shelf(tmp_path)
    kept(found, "2026-06-03-1", finished())
    rows = [listed(f"s-{n}", when=f"2026-05-{n:02} 08:00", lost=lost)
            for n, lost in enumerate([0.5, 0.52, 0.49, 0.51, 0.5, 0.48, 0.51, 0.9], 1)]  # fmt: skip
    rows.append(listed("x", product="48 in pipe, wall B"))
    found.index.rebuild({str(row["session"]): row for row in (*found.rows(), *rows)})
    return str(tmp_path / "store")


def test_it_prints_standing_tests_and_what_is_usual(
    store: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["history", "54 WALL", "--store", store]) == 0
    told = capsys.readouterr().out
    assert "straight   PASSED on 1 specimen" in told
    assert "deflected  MISSING" in told
    assert "2026-05-08 08:00  PASS       straight   D-1041 / D-1042     0.90 psi" in told
    assert "Pressure lost in the hold" in told
    assert max(map(len, told.splitlines())) <= 80


def test_the_data_have_the_keys_that_are_told_of(
    store: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["history", PIPE, "--store", store, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert set(told) == {"product", "proofs", "missing", "open", "tests", "trends"}
    assert told["missing"][0]["alignment"] == "deflected"
    lost = told["trends"]["lost"]
    assert lost["unit"] == "psi"
    assert len(lost["values"]) == 9
    assert lost["low"] < lost["mean"] < lost["high"]
    assert told["trends"]["air"]["mean"] is None


@pytest.mark.parametrize(("asked", "why"), [("wall B", "fits 2 products"), ("", "is in the store"),
                                            ("72", "no test of '72'")])  # fmt: skip
def test_what_is_no_one_product_is_told_in_a_line(
    store: str, asked: str, why: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["history", asked, "--store", store]) == 2
    said = capsys.readouterr().err
    assert why in said
    assert len(said.splitlines()) == 1


def test_it_loads_no_screen(store: str) -> None:
    code = (
        "import sys; from tui.__main__ import main; "
        f"main(['history', {PIPE!r}, '--store', {store!r}]); "
        "print('textual' in sys.modules)"
    )
    outcome = run_python("-c", code)
    assert outcome.stdout.splitlines()[-1] == "False", outcome.stdout
