"""What the command line says of a log, right or wrong."""

from __future__ import annotations

import json
import math
import random
import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from tests.plans import toml, written
from tests.unit.made_falls import creeping, pressure_at, shown, steady, times
from tui.__main__ import main

KEYS = [
    "readings", "needed", "credit", "complete", "rate", "rate_bounds", "fall", "crossing", "flow",
    "flow_bounds", "drops_per_minute", "movement", "warming", "stiffness", "causes", "told_apart",
    "next_measurement", "doubts",
]  # fmt: skip
Rows = Sequence[Sequence[object]]


class Desk:
    """A folder with a plan, and logs that are explained by it."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self._capsys = folder, capsys
        self.plan()

    def plan(self, graduation: str = "0.5 psi", **changed: Any) -> Desk:
        whole = written(gauge__graduation=graduation, **changed)
        (self.folder / "plan.toml").write_text(toml(whole), encoding="utf-8")
        return self

    def put(self, data: str | bytes) -> Desk:
        raw = data.encode() if isinstance(data, str) else data
        (self.folder / "log.csv").write_bytes(raw)
        return self

    def rows(self, rows: Rows, head: str = "seconds,pressure_psi") -> Desk:
        return self.put("\n".join([head, *(",".join(map(str, row)) for row in rows), ""]))

    def said(self, *more: str) -> tuple[int, str, str]:
        log, plan = str(self.folder / "log.csv"), str(self.folder / "plan.toml")
        status = main(["explain", log, "--plan", plan, *more])
        out, err = self._capsys.readouterr()
        return status, out, err

    def json(self) -> dict[str, Any]:
        status, out, err = self.said("--json")
        assert (status, err) == (0, "")
        found: dict[str, Any] = json.loads(out)
        return found

    def refusal(self) -> str:
        """The one line it is refused with."""
        status, out, err = self.said("--json")
        assert status == 2 and out == "" and err.count("\n") == 1, (status, out, err)
        return err


@pytest.fixture
def desk(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Desk:
    return Desk(tmp_path, capsys)


def weights(said: dict[str, Any]) -> dict[str, float]:
    return {cause["name"]: cause["weight"] for cause in said["causes"]}


MINUTES = [60.0 * n for n in range(11)]
TWO_HOURS = times(120, 1)
FLAT = [(t, 13.5) for t in MINUTES]


# --- what it says -------------------------------------------------------------------------------


def test_eleven_equal_readings_prove_no_rate_of_zero(desk: Desk) -> None:
    said = desk.rows(FLAT).json()
    assert list(said) == KEYS
    assert said["readings"] == 11
    assert said["rate"] == [0.0, "psi/min"]
    assert said["rate_bounds"] == [[-0.05, "psi/min"], [0.05, "psi/min"]]
    assert said["fall"] == {"seen": "cannot_tell"}
    assert said["credit"] == [600.0, "s"] and said["complete"]
    assert said["crossing"]["expected"] is None
    # from 13.25, the lower edge of the mark, down to 13.018 at 0.05 psi/min
    assert said["crossing"]["earliest"][0] == pytest.approx(600 + 0.2319 / 0.05 * 60, abs=2)
    assert weights(said)["none"] > 0.5 and not said["told_apart"]


def test_ten_minutes_on_a_half_psi_dial_tell_no_causes_apart(desk: Desk) -> None:
    for lost in (steady(0.4), creeping(10, 900)):
        rows = list(zip(MINUTES, shown(MINUTES, lost, 0.5), strict=True))
        said = desk.rows(rows).json()
        assert not said["told_apart"]


def test_two_hours_on_a_fine_dial_tell_creep_from_a_leak(desk: Desk) -> None:
    desk.plan("0.05 psi")
    crept = list(zip(TWO_HOURS, shown(TWO_HOURS, creeping(2.5, 60), 0.05), strict=True))
    said = desk.rows(crept).json()
    assert said["causes"][0]["name"] == "creep" and said["told_apart"]
    leaked = [(*row, 12.8) for row in
              zip(TWO_HOURS, shown(TWO_HOURS, steady(0.05), 0.05), strict=True)]  # fmt: skip
    said = desk.rows(leaked, "seconds,pressure_psi,temperature_c").json()
    leaks = weights(said)["steady_leak"] + weights(said)["pressure_leak"]
    assert leaks > 0.7 and weights(said)["creep"] < 0.01


def test_a_temperature_that_explains_the_fall_is_believed_before_anything_else(
    desk: Desk,
) -> None:
    desk.plan("0.1 psi")
    before = desk.rows([(t, round(14.5 - t / 6000, 1)) for t in TWO_HOURS[:61]]).json()
    assert not before["told_apart"] and before["next_measurement"] == "water_temperature"
    per_kelvin = before["rate"][0] * 60 / (before["warming"][0] / 1.8)  # psi for each degree
    cooled = [13.0 - t / 6000 / per_kelvin for t in TWO_HOURS[:61]]
    rows = [(t, round(14.5 - t / 6000, 1), round(c, 2))
            for t, c in zip(TWO_HOURS, cooled, strict=False)]  # fmt: skip
    said = desk.rows(rows, "seconds,pressure_psi,temperature_c").json()
    assert said["causes"][0]["name"] == "temperature" and said["told_apart"]
    assert said["next_measurement"] == "none"


def topped(flow: float, beside_before: bool = False) -> Rows:
    """A leak of `flow` mL/min, topped up from 13.3 to 14 psi each time, by jug."""
    rows: list[tuple[float, float, object]] = []
    water, full, low = 82.0, 82.0, 0.0
    for minute in range(91):
        pressure = pressure_at(water)
        rows.append((60.0 * minute, round(pressure, 2), (low and round(low, 2)) or ""))
        low = 0.0
        water -= flow
        if pressure_at(water) < 13.3:
            low, water = full - water, full
    if not beside_before:
        return rows
    added = [row[2] for row in rows]
    return [(t, p, a) for (t, p, _), a in zip(rows, [*added[1:], ""], strict=True)]


@pytest.mark.parametrize("beside_before", [False, True])
def test_a_log_of_top_ups_gives_the_flow_by_volume(desk: Desk, beside_before: bool) -> None:
    desk.plan("0.1 psi")
    said = desk.rows(topped(0.7, beside_before), "seconds,pressure_psi,added_ml").json()
    low, high = (end[0] for end in said["flow_bounds"])
    assert said["flow"] == [pytest.approx(0.7, rel=0.03), "mL/min"]
    assert low < 0.7 < high < 0.85 and low > 0.6
    assert said["drops_per_minute"][0] == pytest.approx(14, rel=0.03)
    assert said["stiffness"]["from"] == "top_up"
    assert said["fall"] == {"seen": "yes"}


def test_kilopascals_are_read_and_shown_where_the_plan_is_metric(desk: Desk) -> None:
    psi = desk.rows(FLAT).json()
    desk.plan(units="si")
    said = desk.rows([(t, round(13.5 * 6.894757, 3)) for t in MINUTES],
                     "seconds,pressure_kpa").json()  # fmt: skip
    assert said["needed"] == [pytest.approx(psi["needed"][0] * 6.894757, rel=1e-4), "kPa"]
    assert said["credit"] == psi["credit"]
    assert said["stiffness"]["value"][1] == "mL/kPa"


def test_a_pocket_the_plan_does_not_know_is_null_and_a_doubt(desk: Desk) -> None:
    said = desk.plan(joint__pocket_width=None).rows(FLAT).json()
    for key in ("flow", "flow_bounds", "drops_per_minute", "movement", "warming", "stiffness"):
        assert said[key] is None, key
    assert any("does not know its pocket" in doubt for doubt in said["doubts"])
    assert said["rate"] is not None and said["causes"]


def test_one_reading_and_two(desk: Desk) -> None:
    one = desk.rows([(0, 13.5)]).json()
    assert (one["readings"], one["rate"], one["flow"]) == (1, None, None)
    assert any("No two readings" in doubt for doubt in one["doubts"])
    two = desk.rows([(0, 13.5), (60, 12.5)]).json()
    assert two["rate"] == [-1.0, "psi/min"] and two["fall"] == {"seen": "yes"}
    assert two["crossing"] == {"expected": [60.0, "s"], "earliest": [0.0, "s"]}
    assert two["causes"] == []


def test_a_straight_line_is_told_where_one_fits_and_else_that_none_does(desk: Desk) -> None:
    # Eleven readings a minute apart, three at 13.25 and then 13.0 on a dial of a quarter: the
    # bounds, -0.035714 and 0 psi/min, are those of a linear programme.
    step = [(t, 13.25 if n < 3 else 13.0) for n, t in enumerate(MINUTES)]
    told = desk.plan("0.25 psi").rows(step).said()[1]
    assert "A straight line fits: 0 psi/min, within -0.0357 and 0." in " ".join(told.split())
    bent = [(t, 15.0 * 0.8**n) for n, t in enumerate(MINUTES)]
    told = desk.plan("0.1 psi").rows(bent).said()[1]
    assert "No straight line fits: it bends" in " ".join(told.split())
    topped = [(t, 14 - 0.1 * n, "") for n, t in enumerate(MINUTES)]
    topped += [(660 + t, 14 - 0.1 * n, "" if n else "1.1") for n, t in enumerate(MINUTES)]
    told = desk.rows(topped, "seconds,pressure_psi,added_ml").said()[1]
    assert "A straight line fits since water was last moved: -0.1 psi/min" in " ".join(told.split())


def test_the_bounds_of_a_slope_are_told_apart(desk: Desk) -> None:
    # 0.0029 psi/min on a dial of a hundredth over three days: the bounds lie a ten-thousandth
    # or less apart, so that four digits make one figure of the two.
    slow = [(60.0 * n, round(30.0 - 0.0029 * n, 2)) for n in range(0, 4320, 60)]
    told = " ".join(desk.plan("0.01 psi").rows(slow).said()[1].split())
    found = re.search(r"A straight line fits: (\S+) psi/min, within (\S+) and (\S+)\. ", told)
    assert found is not None
    assert found[2] != found[3]
    assert float(found[2]) <= float(found[1]) <= float(found[3])
    assert float(found[2]) < -0.0029 < float(found[3])


def test_a_gap_gives_no_credit_and_repeated_times_are_read(desk: Desk) -> None:
    gap = [(0, 13.5), (60, 13.5), (61 + 120, 13.5), (241, 13.5)]
    assert desk.rows(gap).json()["credit"] == [60.0, "s"]
    twice = [(0, 13.5), (60, 13.5), (60, 13.5), (120, 13.5)]
    assert desk.rows(twice).json()["credit"] == [120.0, "s"]
    assert desk.rows([(5, 13.5)] * 20).json()["rate"] is None


def test_a_jump_that_nobody_wrote_down_is_a_doubt(desk: Desk) -> None:
    rows = [(60 * n, 14 - 0.5 * (n % 4)) for n in range(9)]
    doubts = desk.plan("0.1 psi").rows(rows).json()["doubts"]
    assert any("jumps up before line 6" in doubt for doubt in doubts)


def test_a_hundred_thousand_rows(desk: Desk) -> None:
    rows = [(n / 10, round((14.8 - n / 62_500) / 0.05) * 0.05) for n in range(100_000)]
    said = desk.plan("0.05 psi").rows(rows).json()
    assert said["readings"] == 100_000
    assert said["rate"][0] == pytest.approx(-0.0096, rel=0.05)


def test_people_read_what_matters_first_at_80_columns(desk: Desk) -> None:
    status, out, _ = desk.rows(FLAT).said()
    lines = out.splitlines()
    assert status == 0
    assert lines[0].startswith("LOOK AT THE PRIMARY GASKET FIRST")
    assert lines[1] == "Credit 10:00 min of 10:00 min: complete."
    assert max(map(len, lines)) <= 80
    assert "never passes" in out
    _, plainly, _ = desk.said("--ascii")
    assert plainly.isascii()


# --- what is wrong with it ----------------------------------------------------------------------

HEAD = b"seconds,pressure_psi\n"
WRONG: list[tuple[bytes, str]] = [
    (b"", "empty"),
    (HEAD, "no readings"),
    (b"0,13.5\n60,13.5\n", "expected a header"),
    (b"seconds,pressure\n0,13\n", "no unit"),
    (b"seconds,pressure_bar\n0,1\n", "'pressure_bar'"),
    (b"seconds,pressure_psi,pressure_kpa\n0,1,2\n", "expected a header"),
    (b"seconds,seconds,pressure_psi\n0,0,1\n", "seconds stands there twice"),
    (HEAD + b"0,13.5\n60,abc\n", "line 3, pressure_psi: 'abc'"),
    (HEAD + b"0,13.5\n60,\n", "line 3, pressure_psi: nothing"),
    (HEAD + b"0,nan\n", "line 2, pressure_psi: 'nan'"),
    (HEAD + b"inf,13\n", "line 2, seconds: 'inf'"),
    (HEAD + b"0,1e308\n", "line 2, pressure_psi"),
    (HEAD + b"0,-400\n", "line 2, pressure_psi: '-400'; expected a number from -15 to 1000"),
    (HEAD + b"0,13,5\n", "line 2: 3 values; expected 2 (is a comma the decimal sign?)"),
    (HEAD + b"0\n", "line 2: 1 values; expected 2"),
    (HEAD + b"60,13.5\n0,13.5\n", "line 3, seconds: 0 after 60"),
    (HEAD + b'0,"13.5\n', "quotation marks"),
    (HEAD + b"0,1_3\n", "line 2, pressure_psi"),
    (HEAD + "0,١٣\n".encode(), "line 2, pressure_psi"),
    (HEAD + b"0,13.5\n60,13.5 \xb0\n", "line 3: not UTF-8"),
    ("seconds,pressure_psi\n0,13\n".encode("utf-16"), "UTF-16"),
    (HEAD + b"0,13\0\n", "no text at all"),
    (HEAD + b"0," + b"9" * 9000, "line 2: 9002 characters"),
    (b"seconds;pressure_psi\n0;13,500\n", "can be read in two ways"),
    (HEAD + b"0,\x1b[31m13\n", "line 2, pressure_psi: '?[31m13'"),
    (b"seconds,pressure_psi,temperature_c\n0,13,900\n", "line 2, temperature_c: '900'"),
]  # fmt: skip


@pytest.mark.parametrize(("data", "words"), WRONG, ids=[w for _, w in WRONG])
def test_what_is_wrong_is_said_in_one_line(desk: Desk, data: bytes, words: str) -> None:
    line = desk.put(data).refusal()
    assert words in line and line.startswith("holdwater: log.csv: ")


def test_no_file_and_a_folder_are_said_in_one_line(desk: Desk) -> None:
    assert "no such file" in desk.refusal()
    (desk.folder / "log.csv").mkdir()
    assert "this is a folder" in desk.refusal()


def test_a_file_beyond_all_measure_is_refused(desk: Desk) -> None:
    assert "larger than 16 MiB" in desk.put(HEAD + b"0,13.50\n" * 2_200_000).refusal()
    assert "readings; 250000 are the most" in desk.put(HEAD + b"0,13.5\n" * 250_001).refusal()


SAME: list[Callable[[bytes], bytes]] = [
    lambda data: b"\xef\xbb\xbf" + data,
    lambda data: data.replace(b"\n", b"\r\n"),
    lambda data: data.replace(b"\n", b"\r"),
    lambda data: data.replace(b",", b", ").replace(b"\n", b" \n\n"),
    lambda data: data.replace(b",", b";").replace(b".", b","),
    lambda data: data.replace(b",", b"\t"),
    lambda data: data.replace(b"13.5", b'"13.5"'),
    lambda data: data.replace(b"seconds", b"Seconds").replace(b"psi", b"PSI"),
]


@pytest.mark.parametrize("change", SAME)
def test_ways_to_write_the_same_log(desk: Desk, change: Callable[[bytes], bytes]) -> None:
    data = HEAD + b"".join(b"%d,13.5\n" % t for t in MINUTES)
    assert desk.put(change(data)).json() == desk.put(data).json()


def test_whatever_a_log_holds_there_is_an_answer_or_a_line(desk: Desk) -> None:
    chance = random.Random(11)
    bits = ["", "?", "13.5", "-14.9", "1000", "0", "1e-9", "12,5", "nan", '"', "60", "unknown", "x"]
    heads = ["seconds,pressure_psi", "seconds,pressure_kpa,added_ml",
             "seconds,pressure_psi,temperature_c,added_ml"]  # fmt: skip
    for _ in range(60):
        head, time, rows = chance.choice(heads), 0.0, []
        for _ in range(chance.randrange(1, 30)):
            time += chance.choice([0, 1, 60, 60, 60, 1e5])
            row = [f"{time:g}", f"{chance.uniform(-14, 20):.2f}",
                   chance.choice(["", "5", "-3", "?", "0"]),
                   chance.choice(["", "3.5", "20"])][: head.count(",") + 1]  # fmt: skip
            if chance.random() < 0.01:
                row[chance.randrange(len(row))] = chance.choice(bits)
            rows.append(row)
        status, out, err = desk.rows(rows, head).said("--json")
        if status == 0:
            said = json.loads(out, parse_constant=pytest.fail)
            assert list(said) == KEYS and err == ""
            assert all(math.isfinite(w) for w in weights(said).values())
        else:
            assert status == 2 and err.count("\n") == 1 and "failed" not in err, err
