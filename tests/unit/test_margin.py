"""What is written beside a session: it stays, nobody's is lost, and the session knows nothing."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from store.faults import Declined, Malformed
from store.margin import MOST
from tests.ledger import SESSION, closed, shelf

REMARK: dict[str, Any] = {"t": 61.5, "seq": 3, "by": "T. Example", "text": "look at the needle"}
ROUND: dict[str, Any] = {
    "by": "N. Example",
    "at": "2031-05-06T09:00:00+00:00",
    "answers": [{"record": 7, "asked": "hold", "answer": "start the hold", "grade": "right"}],
}


def test_remarks_and_rounds_are_read_back_in_order(tmp_path: Path) -> None:
    shelf(tmp_path).remark(SESSION, REMARK)
    shelf(tmp_path).add_round(SESSION, ROUND)
    shelf(tmp_path).remark(SESSION, {**REMARK, "t": 2.0, "text": "said later"})
    assert [r["text"] for r in shelf(tmp_path).remarks(SESSION)] == [
        "look at the needle",
        "said later",
    ]
    assert shelf(tmp_path).rounds(SESSION) == [ROUND]


def test_nothing_is_written_beside_a_session_until_somebody_does(tmp_path: Path) -> None:
    assert shelf(tmp_path).remarks(SESSION) == []
    assert not (tmp_path / "store").exists()


def test_the_session_file_is_the_same_to_the_byte(tmp_path: Path) -> None:
    path = closed(tmp_path, "one", "two")
    before = path.read_bytes()
    shelf(tmp_path).remark(SESSION, REMARK)
    assert path.read_bytes() == before
    assert shelf(tmp_path).audit(SESSION).sound


@pytest.mark.parametrize(
    "what",
    [
        {**REMARK, "t": float("nan")},
        {**REMARK, "text": ""},
        {**REMARK, "text": "x" * 401},
        {**REMARK, "more": 1},
        {"text": "alone"},
    ],
)
def test_what_does_not_fit_is_not_kept(tmp_path: Path, what: dict[str, Any]) -> None:
    with pytest.raises(Declined):
        shelf(tmp_path).remark(SESSION, what)
    assert shelf(tmp_path).remarks(SESSION) == []


@pytest.mark.parametrize(
    "data", [b"", b"[]", b'{"remarks": [1], "rounds": []}', b'{"remarks": [{}], "rounds": []}']
)
def test_a_file_that_is_not_ours_is_said_and_left_alone(tmp_path: Path, data: bytes) -> None:
    shelf(tmp_path).remark(SESSION, REMARK)
    path = tmp_path / "store" / "margins" / f"{SESSION}.json"
    path.write_bytes(data)
    for attempt in (lambda: shelf(tmp_path).remarks(SESSION),
                    lambda: shelf(tmp_path).remark(SESSION, REMARK)):  # fmt: skip
        with pytest.raises(Malformed, match="beside session"):
            attempt()
    assert path.read_bytes() == data


def test_there_is_a_most(tmp_path: Path) -> None:
    store = shelf(tmp_path)
    store.remark(SESSION, REMARK)
    path = tmp_path / "store" / "margins" / f"{SESSION}.json"
    text = path.read_text()
    [(one, _)] = [(text[text.index("{", 1) : text.index("}") + 1], 0)]
    path.write_text(text.replace(one, ",".join([one] * MOST)))
    with pytest.raises(Declined, match="the most"):
        store.remark(SESSION, REMARK)
