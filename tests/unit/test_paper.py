"""The certificate as PDF: what can be read off it, how long it is, that it is always the same."""

from __future__ import annotations

import io
import re
import sys
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache

import pypdf
import pytest

from engine.certificate import Certificate, certificate, plot
from store.paper import NO_SIGN, NoTypesetter, pdf
from store.plot import plot_svg
from tests import certified
from tests.certified import DEFLECTED, attested
from tests.unit.test_certificate import CASES, strings

pytest.importorskip("typst")


@cache
def paper(name: str) -> Certificate:
    if name == "chain":
        both = [attested(certified.usual(), "2026-06-03-1"),
                attested(certified.passed(**DEFLECTED), "2026-06-03-2")]  # fmt: skip
        return certificate(both)
    if name == "long hold":
        return certificate([attested(certified.long_hold())])
    return certificate([attested(CASES[name]())])


@cache
def printed(name: str) -> tuple[bytes, tuple[str, ...]]:
    """The file, and the text of each of its pages."""
    made = pdf(paper(name))
    pages = pypdf.PdfReader(io.BytesIO(made)).pages
    return made, tuple(page.extract_text() for page in pages)


EVERY = (*CASES, "chain", "long hold")


def squeezed(text: str) -> str:
    """Without blanks and places to break, which a page has where it likes."""
    return re.sub(r"[\s\u200b\u00ad]+", "", text)


@pytest.mark.parametrize("name", EVERY)
def test_everything_the_certificate_says_can_be_found_on_the_paper(name: str) -> None:
    everything = squeezed("".join(printed(name)[1]))
    told = paper(name)
    if name == "chain":  # what the second has in common with the first is said once
        told = replace(told, tests=told.tests[:1])
    keys = {"us", "si", *(t.outcome for t in told.tests)}  # of the layout, not of the reader
    shown = {squeezed(text) for text in strings(told)} - keys
    # A cell of several lines is not one run of text.
    assert {text for text in shown if len(text) < 24 and text not in everything} == set()


@pytest.mark.parametrize("name", EVERY)
def test_every_number_on_the_paper_is_in_the_certificate(name: str) -> None:
    told = set(re.findall(r"\d+", " ".join(strings(paper(name)))))
    drawn = {n for t in paper(name).tests if t.plot
             for n in re.findall(r"\d+", re.sub("<[^>]*>", " ", plot_svg(t.plot)))}  # fmt: skip
    small = [str(n) for n in range(13)]
    face_and_pages = {*small, *(a + b for a in small for b in small)}  # marks stand side by side
    for page in printed(name)[1]:
        assert set(re.findall(r"\d+", page.replace("\u200b", ""))) <= told | drawn | face_and_pages


@pytest.mark.parametrize("name", EVERY)
def test_no_paper_is_longer_than_three_pages(name: str) -> None:
    assert 1 <= len(printed(name)[1]) <= 3


@pytest.mark.parametrize("name", EVERY)
def test_each_page_says_whose_it_is_and_which_of_how_many(name: str) -> None:
    pages = printed(name)[1]
    for number, page in enumerate(pages, 1):
        assert f"Page {number} of {len(pages)}" in page
        assert squeezed(paper(name).number) in squeezed(page)


@pytest.mark.parametrize("name", ("pass", "chain", "wordy", "long hold"))
def test_the_same_session_gives_the_same_bytes(name: str) -> None:
    assert pdf(paper(name)) == printed(name)[0]


@pytest.mark.parametrize("name", ("pass", "fail", "undecided"))
def test_verdict_reason_and_limits_stand_on_the_first_page_before_anything_else(name: str) -> None:
    first = squeezed(printed(name)[1][0])
    tested = paper(name).tests[0]
    needed = {row.label: row.value for row in tested.glance}["Needed, at the gauge"]
    order = (tested.word, tested.claim, needed, tested.reasons[0], "Accepted on the authority")
    places = [first.index(squeezed(part)) for part in order]
    assert places == sorted(places)


def test_practice_stands_across_every_page() -> None:
    for page in printed("practice")[1]:
        assert "PRACTICE: a made-up joint was tested" in page
        assert page.count("PRACTICE") == 2


@pytest.mark.parametrize(
    ("name", "size", "inches"),
    [
        ("pass", None, (8.5, 11.0)),
        ("metric", None, (8.27, 11.69)),
        ("pass", "a4", (8.27, 11.69)),
    ],
)
def test_letter_for_us_units_and_a4_for_si(
    name: str, size: str | None, inches: tuple[float, float]
) -> None:
    made = pdf(paper(name), "a4" if size else None)
    box = pypdf.PdfReader(io.BytesIO(made)).pages[0].mediabox
    assert (float(box.width) / 72, float(box.height) / 72) == pytest.approx(inches, abs=0.01)


def test_nothing_runs_off_the_page() -> None:
    for name in EVERY:
        for page in pypdf.PdfReader(io.BytesIO(printed(name)[0])).pages:
            edge: list[float] = []

            def seen(text: str, cm: list[float], tm: list[float], font: object, size: float,
                     edge: list[float] = edge) -> None:  # fmt: skip
                if text.strip():
                    edge.append(tm[4] * cm[0] + tm[5] * cm[2] + cm[4])

            page.extract_text(visitor_text=seen)
            assert min(edge) >= 30
            assert max(edge) <= float(page.mediabox.width) - 40


def test_it_is_an_archive_pdf_with_a_title_and_the_sessions_own_date() -> None:
    made = printed("pass")[0]
    assert b"<pdfaid:part>2</pdfaid:part>" in made
    reader = pypdf.PdfReader(io.BytesIO(made))
    assert reader.metadata is not None
    assert "2026-06-03-1" in str(reader.metadata.title)
    assert str(reader.metadata.get("/CreationDate")).startswith("D:20260604")


@pytest.mark.parametrize(
    "text", ['#panic("x")', "$x^2$ *b* _i_ `c`", "= H\n#let x = 1", "@ref <a>"]
)
def test_what_somebody_typed_is_shown_and_never_carried_out(text: str) -> None:
    story = certified.passed(specimen={"customer": text})
    made = pdf(certificate([attested(story)]))
    page = pypdf.PdfReader(io.BytesIO(made)).pages[0].extract_text()
    assert squeezed(text) in squeezed(page)


def test_a_sign_without_a_glyph_becomes_a_box_and_is_told() -> None:
    story = certified.passed(specimen={"customer": "汉字 \U0001f600 Ω żółw Щ"})
    made = pdf(certificate([attested(story)]))
    page = pypdf.PdfReader(io.BytesIO(made)).pages[0].extract_text()
    assert f"{NO_SIGN * 2} {NO_SIGN} Ω żółw Щ" in page
    assert "3 of the characters" in squeezed_words(page)


def squeezed_words(text: str) -> str:
    return " ".join(text.split())


def test_every_sign_that_is_let_through_has_a_glyph() -> None:
    from store.paper import _UNSETTABLE

    ranges = range(0x20, 0x2600)
    let_through = [chr(n) for n in ranges if chr(n).isprintable() and not _UNSETTABLE.match(chr(n))]
    assert len(let_through) > 1500
    told = paper("pass")
    rows = tuple(
        row._replace(value=" ".join(let_through[n * 200 : n * 200 + 200]))
        for n, row in enumerate(told.subject)
    )
    assert len(rows) * 200 > len(let_through)
    assert pdf(replace(told, subject=rows))


def test_without_the_typesetter_one_line_offers_the_text(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(NoTypesetter) as told:
        pdf(paper("pass"))
    assert "\n" not in str(told.value)
    assert "text certificate" in str(told.value)


@pytest.mark.parametrize("thing", ("needed", "cap"))
@pytest.mark.parametrize("name", ("pass", "undecided"))
def test_the_plot_is_sound_svg_and_names_its_limits(name: str, thing: str) -> None:
    drawn = plot(CASES[name]().session)
    assert drawn is not None
    root = ET.fromstring(plot_svg(drawn))
    words = [element.text or "" for element in root.iter() if element.tag.endswith("text")]
    assert any(word.startswith(f"{thing} 1") for word in words)
    assert any(word == "minutes after the hold was started" for word in words)
