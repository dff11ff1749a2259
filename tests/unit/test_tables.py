"""The handbook rows: what they hold together with, and what an unknown name is told."""

from __future__ import annotations

import re
from itertools import chain
from typing import Any

import pytest

from engine.tables import gauges, nipples, rods, shapes, timbers, washers
from engine.tables.names import UnknownRow, find

EVERY_ROW: list[Any] = list(
    chain(
        rods.THREADS, rods.STEELS, shapes.SHAPES, timbers.SIZES, timbers.SPECIES, washers.WASHERS,
        nipples.NIPPLES, gauges.GRADES, gauges.CLASSES,
    )
)  # fmt: skip


def test_no_row_claims_more_than_its_document_is_known() -> None:
    rank = {"seen": 0, "second_hand": 1, "computed": 1, "from_memory": 2, "common_practice": 3}
    for row in EVERY_ROW:
        better = rank[row.source.standing] - rank[row.standing]
        assert better <= 0 or row.name == "Douglas Fir-Larch No.2", row


def test_only_one_timber_row_is_better_known_than_from_memory() -> None:
    known = [row.name for row in timbers.SPECIES if row.standing != "from_memory"]
    assert known == ["Douglas Fir-Larch No.2"]


@pytest.mark.parametrize("row", shapes.SHAPES, ids=lambda row: row.name)
def test_a_shape_agrees_with_itself(row: shapes.Shape) -> None:
    assert row.weight_lb_ft == float(row.name.split("X")[1])
    assert row.weight_lb_ft == pytest.approx(row.area_in2 * 3.4028, rel=0.025)
    assert row.sx_in3 == pytest.approx(2 * row.ix_in4 / row.depth_in, rel=0.015)
    assert row.rx_in == pytest.approx((row.ix_in4 / row.area_in2) ** 0.5, rel=0.015)
    assert row.sx_in3 < row.zx_in3 < 1.3 * row.sx_in3
    steel = 2 * row.flange_in * row.flange_thickness_in
    steel += (row.depth_in - 2 * row.flange_thickness_in) * row.web_in
    assert row.area_in2 == pytest.approx(steel, rel=0.06)


@pytest.mark.parametrize("row", nipples.NIPPLES, ids=lambda row: row.name)
def test_a_nipple_agrees_with_its_thread(row: nipples.Nipple) -> None:
    # ASME B1.20.1, from memory: E0 = D - (0.05 D + 1.1) / n, and the taper of 1 in 16.
    small = row.outside_in - (0.05 * row.outside_in + 1.1) / row.threads_per_in
    assert row.pitch_diameter_in == pytest.approx(small + row.hand_tight_in / 16, abs=1e-4)


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("3/4-10", "3/4-10 UNC"),
        ("1-1/8-7 unc", "1 1/8-7 UNC"),
        ("m20", "M20"),
        ("1 - 8 UNC", "1-8 UNC"),
    ],
)
def test_a_thread_is_found_however_it_is_written(written: str, name: str) -> None:
    assert rods.thread(written).name == name


def test_names_are_found_however_they_are_written() -> None:
    assert find("c6 x 8.2", shapes.SHAPES, "steel shape").name == "C6X8.2"
    assert rods.steel("F1554 Gr. 36").name == "F1554-36"
    assert timbers.species("douglas fir larch no 2").name == "Douglas Fir-Larch No.2"
    assert find("6 x 8", timbers.SIZES, "timber").name == "6x8"
    assert gauges.accuracy("± 1.5 % of span").middle_percent == 1.5
    assert gauges.accuracy("class 1.6").upper_percent == 1.6


def test_every_name_finds_its_own_row() -> None:
    for row in (*rods.THREADS, *rods.STEELS, *timbers.SPECIES, *gauges.GRADES):
        look_up = {
            rods.Thread: rods.thread, rods.Steel: rods.steel, timbers.Species: timbers.species,
            gauges.GaugeGrade: gauges.accuracy,
        }[type(row)]  # fmt: skip
        assert look_up(row.name) is row
    for shape in shapes.SHAPES:
        assert find(shape.name, shapes.SHAPES, "steel shape") is shape


def test_an_unknown_name_is_told_the_closest_in_one_line() -> None:
    with pytest.raises(UnknownRow, match=re.escape("'C6X8' is no known steel shape; closest: C6X")):
        find("C6X8", shapes.SHAPES, "steel shape")
    with pytest.raises(UnknownRow, match=r"'3/5' is no known nipple size; .*3/8"):
        nipples.nipple("3/5")
    with pytest.raises(UnknownRow) as refused:
        rods.thread("?" * 500)
    assert "known: 1/2-13 UNC" in str(refused.value)
    assert "\n" not in str(refused.value)
    assert len(str(refused.value)) < 200


def test_an_unmarked_rod_counts_for_less_than_the_weakest_grade() -> None:
    weakest = min(row.share * row.ultimate_ksi for row in rods.STEELS if row is not rods.UNMARKED)
    assert rods.UNMARKED.share * rods.UNMARKED.ultimate_ksi < weakest


def test_an_unknown_timber_is_no_better_than_any_known_one() -> None:
    unknown = timbers.UNKNOWN
    for row in timbers.SPECIES:
        assert unknown.bending_psi <= row.bending_psi
        assert unknown.modulus_psi <= row.modulus_psi
        wet = row.across_grain_psi * row.wet_across_grain
        assert unknown.across_grain_psi * unknown.wet_across_grain <= wet * (1 + 1e-12)


def test_a_measured_beam_is_taken_for_the_nearest_smaller_one() -> None:
    assert shapes.by_measure("C", 6, 1.95, 0.2).name == "C6X8.2"
    assert shapes.by_measure("C", 6, 2.1, 0.3).name == "C6X8.2"
    with pytest.raises(UnknownRow, match="none that small"):
        shapes.by_measure("W", 3, 3, 0.2)
    with pytest.raises(UnknownRow, match="known: C, W, S"):
        shapes.by_measure("H", 8, 8, 0.3)
