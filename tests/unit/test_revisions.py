"""A closed test that was corrected: `show` and the paper say so, and what of before is kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ledger import amended, shelf
from tests.shelved import ONE, Holdwater, document, kept, passed
from tests.story import Story


@pytest.fixture
def holdwater(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Holdwater:
    return Holdwater(tmp_path, capsys)


def corrected(folder: Path, *reasons: str, closed: bool = True) -> Story:
    """A test that passed, was closed, and was taken up again once for each reason."""
    story = passed()
    kept(folder, ONE, story)
    for reason in reasons:
        store = shelf(folder)
        stamp = story.pass_time(3600).stamp
        store.amend(ONE).append(amended(reason), stamp, "R. Example")
        if closed:
            store.seal(ONE)
        store.close()
    return story


def flat(text: str) -> str:
    return " ".join(text.split())


def test_a_test_that_was_closed_once_is_no_revision(tmp_path: Path, holdwater: Holdwater) -> None:
    corrected(tmp_path)
    assert "Revision" not in holdwater("show", ONE).out + holdwater("certificate", ONE).out
    assert holdwater("show", ONE, "--json").data["revisions"] == []


def test_how_many_there_were_is_said_on_the_screen_and_on_paper(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    held = len(corrected(tmp_path, "wrong mark", "wrong day").records)
    shown = holdwater("show", ONE)
    assert max(map(len, shown.lines)) <= 80
    for said in (shown.out, holdwater("certificate", ONE).out):
        assert "Revision 3: this test was closed 2 times before, and taken up again." in flat(said)
        assert f"Revision 1 held {held} records, and is kept; taken up again" in flat(said)
        assert f"by record {held + 2}: wrong day" in flat(said)
    first, second = holdwater("show", ONE, "--json").data["revisions"]
    assert first == {"records": held, "record": held + 1, "reason": "wrong mark", "kept": True}
    assert (second["records"], second["kept"]) == (held + 1, True)


def test_an_amendment_still_open_has_its_earlier_revision_in_the_sealed_file(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    corrected(tmp_path, "wrong mark", closed=False)
    [earlier] = holdwater("show", ONE, "--json").data["revisions"]
    assert earlier["kept"] is True


@pytest.mark.parametrize("how", ["gone", "altered", "a folder"])
def test_a_revision_that_is_not_as_it_was_closed_is_not_said_to_be_kept(
    how: str, tmp_path: Path, holdwater: Holdwater
) -> None:
    held = len(corrected(tmp_path, "wrong mark").records)
    earlier = document(tmp_path).with_name(f"{ONE}.r{held}.json")
    if how == "altered":
        earlier.write_bytes(earlier.read_bytes().replace(b"R. Example", b"X. Example", 1))
    else:
        earlier.unlink()
    if how == "a folder":
        earlier.mkdir()
    assert "is not here as it was closed" in flat(holdwater("show", ONE).out)
    assert "is not here as it was closed" in flat(holdwater("certificate", ONE).out)
    assert holdwater("show", ONE, "--json").data["revisions"][0]["kept"] is False
    assert "is not here as it was closed" in " ".join(
        holdwater("audit", ONE, "--json").data["doubts"]
    )


def test_of_a_file_from_elsewhere_nothing_is_said_of_what_is_kept(
    tmp_path: Path, holdwater: Holdwater
) -> None:
    corrected(tmp_path / "there", "wrong mark")
    file = document(tmp_path / "there")
    said = holdwater("show", str(file), "--json")
    assert said.data["revisions"][0]["kept"] is None
    assert "Revision 2: this test was closed once before" in flat(holdwater("show", str(file)).out)
