"""Laws of the store: what goes in comes out, and whatever lies there, only words come back."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from store.audit import audit
from store.faults import Fault, plain
from store.incoming import loads
from store.shelf import Shelf
from tests.ledger import BY, SESSION, note, shelf, stamp, texts

WORDS = st.text(st.characters(exclude_categories=("C", "Z")), min_size=1, max_size=30)
JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**15), 10**15) | st.text(max_size=9)
    | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=12,
)  # fmt: skip
NEARLY = st.sampled_from(
    [b'{"holdwater":1,"session":"joint-1"', b"}\n", b',"records":[\n', b'{"digest":"', b"\n", b"]",
     b'","seq":1', b"0" * 64, b"\x00", b"\xff", b'],"head":"', b'"}\n', b"{", b"}", b"[", b","]
)  # fmt: skip
SCRAPS = st.lists(NEARLY | st.binary(max_size=6), max_size=25).map(b"".join)


@settings(max_examples=40, deadline=None)
@given(st.lists(WORDS, min_size=1, max_size=6), st.data())
def test_whatever_is_written_is_read_back_alike_in_every_way(
    said: list[str], data: st.DataObject
) -> None:
    """Through the journal, a resumption anywhere, a trail that looks now and then, the document."""
    with tempfile.TemporaryDirectory() as folder:
        store = shelf(Path(folder))
        journal, trail, followed = store.begin(SESSION), store.trail(SESSION), 0
        for at, words in enumerate(said):
            journal.append(note(words), stamp(at), BY)
            if data.draw(st.booleans()):
                followed += len(trail.new())
            if data.draw(st.booleans()):
                journal.close()
                journal = store.open(SESSION)
        written = journal.records()
        assert texts(written) == said == texts(store.read(SESSION).records)
        store.seal(SESSION)
        assert followed + len(trail.new()) == len(said)
        assert store.read(SESSION).records == written
        assert store.audit(SESSION).sound


def only_words(use: Callable[[], object]) -> None:
    """It works, or it is refused in one line that is harmless to show."""
    try:
        use()
    except Fault as fault:
        assert str(fault) == plain(str(fault), longest=1000)


@settings(max_examples=60, deadline=None)
@given(SCRAPS)
def test_whatever_lies_in_the_store_only_words_come_back(scraps: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        for place in ("live", "sessions"):
            (Path(folder) / place).mkdir()
        for name in ("live/joint-1.journal", "sessions/joint-1.json", "catalogue.json"):
            (Path(folder) / name).write_bytes(scraps)
            _use_everything(Path(folder))
        only_words(lambda: audit(scraps))


def _use_everything(folder: Path) -> None:
    store = Shelf(folder)
    only_words(lambda: store.read(SESSION))
    only_words(lambda: store.trail(SESSION).new())
    only_words(lambda: store.audit(SESSION))
    only_words(lambda: store.open(SESSION))
    only_words(lambda: store.amend(SESSION))
    only_words(lambda: store.catalogue.names("joint"))
    only_words(store.rows)
    only_words(store.live)
    only_words(lambda: store.resolve("j"))
    store.close()


@given(JSON)
def test_plain_json_reads_as_json_does(value: Any) -> None:
    assert loads(json.dumps(value).encode()) == value
    assert loads(json.dumps(value, ensure_ascii=False, indent=1).encode()) == value


@given(SCRAPS | st.text(max_size=60).map(str.encode))
def test_what_is_not_json_is_refused_in_words(scraps: bytes) -> None:
    only_words(lambda: loads(scraps))
