"""The plan in words and as JSON: nothing without words, nothing wider than the page."""

from __future__ import annotations

import datetime as dt
import json
import re
import tomllib
from argparse import Namespace
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, cast, get_args

import pytest

from engine.clock import Stamp
from engine.plan import doubts, warnings, work_out
from engine.planfile import BadPlan, PlanFile, read_plan
from engine.present import plan as words
from engine.present import remarks
from tests.plans import PIPE, plan
from tests.unit.test_plan import OPEN_HOSE
from tui.outside import Outside
from tui.verbs.plan import run

EXAMPLES = sorted((Path(__file__).parents[1] / "examples").glob("*.toml"))


@dataclass(frozen=True)
class Yard:
    """As much of the outside as this verb asks for."""

    def read_plan(self, path: str) -> PlanFile:
        return read_plan(tomllib.loads(Path(path).read_text(encoding="utf-8")))

    def clock(self) -> Stamp:
        return Stamp(datetime(2030, 6, 1, tzinfo=UTC), "boot", 0.0)


def printed(capsys: pytest.CaptureFixture[str], path: Path, **asked: bool) -> tuple[str, int]:
    """What the verb prints, and its exit status."""
    args = Namespace(file=str(path), **{"json": False, "ascii": False, **asked})
    status = run(cast(Outside, Yard()), args)
    return capsys.readouterr().out, status


def as_json(**changed: Any) -> dict[str, Any]:
    return words.as_json(work_out(plan(**changed)), "us")


# --- words ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("codes", "said"),
    [
        (doubts.Doubt, remarks.DOUBTS),
        (warnings.Caution, remarks.CAUTIONS),
        (warnings.Refusal, remarks.REFUSALS),
        (warnings.Refusal, remarks.HEADS),
    ],
)
def test_there_are_words_for_every_remark(codes: Any, said: dict[str, str]) -> None:
    assert set(get_args(codes)) == set(said)


@pytest.mark.parametrize("module", [doubts, warnings])
def test_no_remark_has_words_and_is_never_made(module: Any) -> None:
    source = Path(module.__file__).read_text(encoding="utf-8")
    codes = [c for kind in ("Doubt", "Caution", "Refusal") if hasattr(module, kind)
             for c in get_args(getattr(module, kind))]  # fmt: skip
    assert [code for code in codes if source.count(f'"{code}"') < 2] == []


SCENES: list[dict[str, Any]] = [
    {},
    {"units": "si"},
    {"supply": OPEN_HOSE},
    {"restraint": {"rated": "10 kip"}},
    {"restraint__draw_up": "200 kip"},
    {"joint__inner_seal": "unknown", "joint__outer_seal": "unknown"},
    {"joint__inner_seal": None, "joint__outer_seal": None, "joint__seal_lines": "assumed"},
    {"joint__pocket_width": "unknown", "gauge__accuracy": "unknown", "gauge__height": "unknown"},
    {"restraint__rod": "unknown", "restraint__beam": "unknown"},
    {"procedure__alignment": "deflected", "procedure__opening": "0.5 in"},
    {"procedure__cap": "150 psi"},
    {"procedure__cap": "17 psi", "supply__relief_height": "29.5 in"},
    {"supply__relief": "13.5 psi", "supply__relief_height": "29.5 in"},
    {"restraint__beam": "4x6", "restraint__timber": "unknown", "restraint__washer": "3/4 wide"},
    {"joint__inner_held_by": "spigot", "joint__outer_held_by": "bell"},
]


@pytest.mark.parametrize("changed", SCENES, ids=str)
@pytest.mark.parametrize("system", ["us", "si"])
def test_everything_can_be_said(changed: dict[str, Any], system: str) -> None:
    found = words.as_json(work_out(plan(**changed)), system)  # type: ignore[arg-type]
    texts = [*found["cautions"], *(d["doubt"] for d in found["doubts"]),
             *(r["refusal"] for r in found["refusals"]), found["headline"]]  # fmt: skip
    assert all(text and not re.search(r"[{}]|nan|inf\b", text) for text in texts)


@pytest.mark.parametrize("changed", SCENES, ids=str)
def test_a_doubt_names_figures_that_are_there(changed: dict[str, Any]) -> None:
    found = as_json(**changed)
    for said in found["doubts"]:
        assert said["figures"]
        for path in said["figures"]:
            within: Any = found
            for key in path.split("."):
                assert within is None or key in within, path
                within = None if within is None else within[key]


def test_a_refused_restraint_says_by_how_much_and_what_would_cure_it() -> None:
    [text] = [
        r["refusal"] for r in as_json(supply=OPEN_HOSE)["refusals"] if r["code"] == "restraint"
    ]
    assert re.match(
        r"the beams would carry \d+ % of what they may at 200 psi, the highest pressure that can "
        r"occur at the gauge; they hold to [\d.]+ psi\. Cure: fit a relief valve set at 15 psi or "
        r"less; or \d+ rods, .*; or beams C\dX[\d.]+$",
        text,
    )


def test_the_first_line_says_what_governs() -> None:
    assert re.match(
        r"HOLDS: beams govern, 20 % of what they may at 20.02 psi", as_json()["headline"]
    )
    assert as_json(supply=OPEN_HOSE)["headline"].startswith("REFUSED: beams at ")
    assert as_json(restraint__rod="unknown")["headline"].startswith("NOT KNOWN")


def test_the_first_line_hides_nothing_that_spoils_the_test() -> None:
    low: dict[str, Any] = {"gauge__span": ["0 psi", "9 psi"], "gauge__graduation": "0.25 psi"}
    at = [["-38 in", "30 in"], ["38 in", "30 in"]]
    said = words.headline(work_out(plan(**low, restraint__at=at), on=dt.date(2031, 1, 1)), "us")
    assert said.startswith("REFUSED: gauge G-07 ends at 9 psi, may see 20.02 psi.")
    assert said.endswith(
        " Besides: the gauge does not suit the pressure; the gauge is out of calibration; "
        "a moment that no rods balance."
    )
    assert "Besides" not in as_json()["headline"]


# --- JSON -----------------------------------------------------------------------------------------

KEYS = {
    "pocket": {"area", "inner_perimeter", "volume"},
    "pressure": {"crown", "springline", "invert", "needed_at_gauge", "highest"},
    "thrust": {"rule_of_thumb", "at_test", "at_highest", "moment", "below_centre"},
    "restraint": {"rods", "rod", "beam", "washer", "opening", "governs", "enough"},
    "gauge": {"range_ok", "middle_half", "in_calibration", "uncertainty", "guarded_reading",
              "set_point", "not_below", "not_above"},
    "filling": {"time_to_fill", "time_to_target", "flow_for_ramp"},
    "one_unit": {"of", "stiffness", "lost_volume", "drops", "movement", "warming"},
    "deflection": {"angle", "openings"},
}  # fmt: skip


def test_the_json_has_its_keys() -> None:
    timber = {**PIPE["restraint"], "beam": "8x8", "washer": "3 in"}
    found = as_json(restraint=timber, procedure__alignment="deflected", procedure__opening="0.5 in")
    for section, keys in KEYS.items():
        assert keys <= set(found[section]), section
    assert set(found["restraint"]["rods"][0]) == {"x", "y", "force"}
    assert {"stress_area", "allowable", "use"} <= set(found["restraint"]["rod"])
    assert {"moment", "stress", "allowable", "use", "deflection"} <= set(found["restraint"]["beam"])
    assert {"bearing", "allowable", "use"} == set(found["restraint"]["washer"])
    assert {"ports", "kit", "cautions", "doubts"} <= set(found)


def test_what_is_absent_is_null_and_a_doubt() -> None:
    found = as_json(joint__pocket_width="unknown", restraint__beam="unknown")
    assert found["one_unit"] is None and found["restraint"]["beam"] is None
    assert found["pocket"]["volume"] is None
    doubted = {path for said in found["doubts"] for path in said["figures"]}
    assert {"one_unit", "restraint.beam", "pocket.volume"} <= doubted


def _quantities(within: Any) -> list[Any]:
    if isinstance(within, dict):
        return [q for value in within.values() for q in _quantities(value)]
    if isinstance(within, list) and len(within) == 2 and isinstance(within[0], float):
        return [within]
    return [q for value in within for q in _quantities(value)] if isinstance(within, list) else []


def test_no_figure_is_without_its_unit() -> None:
    found = as_json()
    pairs = _quantities(found)
    assert len(pairs) > 50
    assert all(isinstance(unit, str) and unit for _, unit in pairs)
    bare = {key for section in KEYS for key, value in (found[section] or {}).items()
            if isinstance(value, float)}  # fmt: skip
    assert bare == {"use"}  # a share of what a part may carry


# --- the verb -------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_is_printed_at_eighty_columns(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out, status = printed(capsys, path)
    lines = [line.rstrip() for line in out.splitlines()]
    assert max(len(line) for line in lines) <= 80
    assert "\x1b" not in out
    assert lines[1].startswith(("HOLDS: ", "REFUSED: "))
    assert (status == 1) == lines[1].startswith("REFUSED")
    first = " ".join(lines[1 : lines.index("")])
    assert not lines[2].strip() or ". Besides: " in first


def test_one_example_holds_and_the_others_are_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert {path.stem: printed(capsys, path)[1] for path in EXAMPLES} == {
        "box_deflected": 1,
        "pipe_si": 1,
        "pipe_us": 0,
    }


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_is_printed_as_json(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out, _ = printed(capsys, path, json=True)
    assert set(KEYS) <= set(json.loads(out))


def test_plain_signs_where_they_are_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    for path in EXAMPLES:
        assert printed(capsys, path, ascii=True)[0].isascii()


def test_markup_in_a_name_is_shown_and_not_obeyed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "plan.toml"
    text = EXAMPLES[-1].read_text(encoding="utf-8")
    path.write_text(text.replace("66 in pipe, wall B", "[red]pipe\\u001b[31m"), encoding="utf-8")
    first = printed(capsys, path)[0].splitlines()[0]
    assert first.startswith("[red]pipe") and "\x1b" not in first


def test_a_plan_that_cannot_be_used_is_left_to_the_command_line(tmp_path: Path) -> None:
    path = tmp_path / "plan.toml"
    path.write_text("units = 'us'\n", encoding="utf-8")
    with pytest.raises(BadPlan):
        run(cast(Outside, Yard()), Namespace(file=str(path), json=False, ascii=False))
