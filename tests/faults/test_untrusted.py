"""Whatever is in a file from elsewhere: it is taken whole, or refused in words, and soon."""

from __future__ import annotations

import json
from pathlib import Path
from random import Random

import pytest

from engine import units
from engine.facts import Noted
from engine.foreign import believe
from engine.planfile import BadPlan, read_plan
from engine.trouble import Trouble
from engine.units import Unreadable
from store import chain, foreign
from store.audit import audit
from store.faults import Declined
from store.incoming import loads
from store.logs import read_log
from store.toml import plan_data
from tests.hostile import (
    LONGEST,
    VALUES,
    Body,
    bodies,
    disturbed,
    made,
    packed,
    refusals,
    spoiled,
    within,
)
from tests.plans import BOX, PIPE, toml
from tui.account import account

BODIES = bodies()
DOCUMENT = packed("joint-1", BODIES)
SMALL = packed("joint-1", BODIES[:6])
PLAN = toml(PIPE).encode()
LOG = b"seconds,pressure_psi\n" + b"".join(b"%d,13.%d\n" % (60 * n, n % 5) for n in range(12))


# --- tens of thousands of inputs ----------------------------------------------------------------


def test_a_spoiled_plan_file_is_refused_in_lines(tmp_path: Path) -> None:
    path = tmp_path / "plan.toml"

    def read(data: bytes) -> None:
        path.write_bytes(data)
        read_plan(plan_data(path))

    told = refusals(read, made(11, 900, lambda chance: spoiled(PLAN, chance)))
    assert len(told) > 450


def test_a_plan_of_hostile_values_is_refused_in_lines() -> None:
    def plan(chance: Random) -> Body:
        return disturbed(chance.choice((PIPE, BOX)), chance)

    told = refusals(read_plan, made(12, 1_500, plan))
    assert len(told) > 750


def test_a_record_of_hostile_values_is_refused_though_its_digest_is_right() -> None:
    def read(body: Body) -> None:
        text = json.dumps(body, separators=(",", ":"), ensure_ascii=False)
        line = chain.link(chain.start("joint-1"), text.encode("utf-8", "surrogatepass"))
        chain.records("joint-1", [line])

    def body(chance: Random) -> Body:
        return {**disturbed(chance.choice(BODIES), chance), "seq": 1}

    told = refusals(read, made(13, 6_000, body))
    assert 3_000 < len(told) < 6_000


def test_a_spoiled_session_file_is_never_believed_where_it_was_spoiled() -> None:
    sound = foreign.found(SMALL)

    def read(data: bytes) -> None:
        found = foreign.found(data)
        assert found.sound == (data == SMALL)
        assert list(found.records) == list(sound.records)[: len(found.records)]

    refusals(read, made(14, 1_500, lambda chance: spoiled(SMALL, chance)))
    journal = b"\n".join(
        [chain.heading("joint-1"), *SMALL.replace(b",\n", b"\n").split(b"\n")[1:7]]
    )
    told = refusals(foreign.found, made(15, 500, lambda chance: spoiled(journal + b"\n", chance)))
    assert len(told) < 500


def test_a_session_of_hostile_records_is_taken_for_a_test_or_not_at_all() -> None:
    """Then it can be shown, too, to its last line."""

    def read(records: list[Body]) -> None:
        found = foreign.found(packed("joint-1", records))
        if not found.sound:
            raise Declined(found.damage or found.findings[0].words)
        json.dumps(account("joint-1", believe(found.records), found.head), allow_nan=False)

    def records(chance: Random) -> list[Body]:
        others = list(BODIES)
        at = chance.choice([0, *range(len(others))])
        others[at] = {**disturbed(others[at], chance), "seq": at + 1}
        return others

    told = refusals(read, made(16, 60, records))
    assert 10 < len(told) < 60


def test_spoiled_json_is_refused_or_read_alike_by_everyone() -> None:
    line = chain.link(chain.start("joint-1"), json.dumps(BODIES[5]).encode())

    def read(data: bytes) -> None:
        value = loads(data)
        assert json.loads(data) == value

    told = refusals(read, made(17, 5_000, lambda chance: spoiled(line, chance)))
    assert 1_000 < len(told) < 5_000


def test_a_spoiled_log_of_readings_is_refused_in_one_line(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"

    def read(data: bytes) -> None:
        path.write_bytes(data)
        read_log(path)

    told = refusals(read, made(18, 800, lambda chance: spoiled(LOG, chance)))
    assert len(told) > 250


WRITTEN = "0123456789./-+ '\"½¼²³,psikPabarftinmLgal°CFd%eE^*()٣１\x00\x1b\n\u202e"
SPELLED = (
    *("psi", "m", "in", "**", "2", "9", "*", "/", "deg", "F", "delta_", "k", "%", "1", "(", ")"),
    *("min", "gal", "-", ".", "^", " ", "°", "Δ", "dimensionless"),
)
DIMENSIONS = (
    *(units.LENGTH, units.PRESSURE, units.TEMPERATURE, units.FLOW, units.DURATION, units.RAMP),
    *(units.TEMPERATURE_STEP, units.MEASURE),
)


def test_whatever_is_typed_as_a_quantity_is_one_or_is_refused() -> None:
    def typed(chance: Random) -> tuple[str, units.Dimension]:
        length = chance.choice((1, 2, 3, 5, 8, 12, 30, 3_000))
        return "".join(chance.choices(WRITTEN, k=length)), chance.choice(DIMENSIONS)

    told = refusals(lambda each: units.parse(*each), made(19, 10_000, typed))
    assert all("expected" in text or "comma" in text for text in told)


def test_whatever_is_stored_as_a_quantity_is_one_or_is_refused() -> None:
    def pair(chance: Random) -> tuple[object, units.Dimension]:
        unit = "".join(chance.choices(SPELLED, k=chance.randrange(1, 6)))
        number = chance.choice((1, 0.5, -3, 10**400, True, None, "1"))
        return chance.choice(([number, unit], chance.choice(VALUES))), chance.choice(DIMENSIONS)

    def read(each: tuple[object, units.Dimension]) -> None:
        value, dimension = each
        quantity = dimension._validate(value)
        assert dimension._validate(units.stored(quantity)) == quantity

    assert len(refusals(read, made(20, 6_000, pair))) > 3_000


# --- traps known by name ------------------------------------------------------------------------


@pytest.mark.parametrize(
    "unit", ["9**9**9*m", "2**99999", "m**9**9", "psi**1e300", "m/0", "[length]"]
)
def test_a_unit_is_not_a_sum_to_be_worked_out(unit: str) -> None:
    with within(1), pytest.raises(Unreadable, match="not a known unit"):
        units.PRESSURE._validate([1, unit])


LONG = {
    "digits": "1" * 100_000,
    "spaced": "1 " * 50_000,
    "fractions": "1/" * 50_000,
    "mixed": "1 1/2 " * 9_000 + "in",
    "feet": "'" * 100_000,
    "blank": " " * 99_999,
}


@pytest.mark.parametrize("text", LONG.values(), ids=LONG)
def test_a_long_text_is_no_quantity_and_is_refused_at_once(text: str) -> None:
    with within(1), pytest.raises(Unreadable):
        units.parse(text, units.LENGTH)


@pytest.mark.parametrize(
    "text", ["13² psi", "1³ in", "1٣ psi", "１３ psi", "12 ^", "1e3 psi", "nan psi"]
)
def test_a_number_that_another_reads_otherwise_is_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        units.parse(text, units.PRESSURE, "psi")


def test_a_difference_of_temperatures_is_no_temperature() -> None:
    with pytest.raises(Unreadable):
        units.TEMPERATURE._validate([5, "delta_degF"])
    with pytest.raises(Unreadable):
        units.TEMPERATURE_STEP._validate([5, "degF"])


BOMBS = {
    "a name of parts": b"a." * 120_000 + b"a = 1",
    "a heading of parts": b"[" + b"a." * 120_000 + b"a]",
    "parts in quotes": b'"a".' * 60_000 + b"a = 1",
    "parts behind a string that seems to go on": b'k = {x = """y"""", '
    + b"a." * 99_999
    + b'a = "z"}',
    "lists in lists": b"a = " + b"[" * 130_000,
    "tables in tables": b"a = " + b"{a = " * 50_000,
    "digits": b"a = " + b"1" * 200_000,
    "hexadecimal digits": b"units = 0x" + b"f" * 200_000,
    "keys": b"\n".join(b"k%d = 1" % n for n in range(25_000)),
    "tables": b"\n".join(b"[t%d]" % n for n in range(25_000)),
    "checks": b"[[check]]\n" * 26_000,
    "escapes": b'a = """' + b"\\\n " * 80_000 + b'"""',
    "quotes": b'a = """' + b'"' * 200_000,
    "another encoding": "units = 'us'".encode("utf-16"),
    "larger than a plan": b"#" * 300_000,
}


@pytest.mark.parametrize("name", BOMBS)
def test_a_plan_made_to_exhaust_its_reader_is_refused_in_few_lines(
    name: str, tmp_path: Path
) -> None:
    path = tmp_path / "plan.toml"
    path.write_bytes(BOMBS[name])
    with within(LONGEST), pytest.raises(Trouble) as refused:
        read_plan(plan_data(path))
    assert len(str(refused.value)) < 41 * 200
    assert len(str(refused.value).splitlines()) <= 41


def test_signs_that_move_a_cursor_are_not_said_again() -> None:
    hostile = {**PIPE, "\x1b[2J": 1, "joint": {**PIPE["joint"], "\u202ename": "\x1b]0;x\x07"}}
    with pytest.raises(BadPlan) as refused:
        read_plan(hostile)
    assert all(line.isprintable() for line in str(refused.value).splitlines())


def test_text_of_a_record_is_one_line_and_hides_nothing() -> None:
    assert Noted(text="one\ntwo\x1b[31m\u202e\x00").text == "one two?[31m??"
    assert Noted(text='½ in, "[bold]" 8\'').text == '½ in, "[bold]" 8\''


def test_an_audit_of_whatever_bytes_ends_in_words() -> None:
    refusals(audit, made(22, 1_500, lambda chance: spoiled(SMALL, chance)))
