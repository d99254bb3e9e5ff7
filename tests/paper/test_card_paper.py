"""The athlete's card on paper."""

import re
import shutil
import subprocess
from dataclasses import replace

import pytest
from paper_samples import class_sheet, line, platform, urls

from heftwright.domain.squad import AthleteId
from heftwright.paper.card import card_pdf
from heftwright.paper.press import PaperError

needs_poppler = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="poppler-utils is not installed"
)


def pages(pdf):
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


def words(pdf, tmp_path):
    (tmp_path / "card.pdf").write_bytes(pdf)
    run = subprocess.run(
        ["pdftotext", "-layout", tmp_path / "card.pdf", "-"], capture_output=True, check=True
    )
    return re.sub(r"[\s\u00a0]+", " ", run.stdout.decode())


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_four_cards_stand_on_a_page(paper):
    assert pages(card_pdf(class_sheet(5, 4), paper=paper)) == 3


def test_a_small_card_has_a_page_of_its_own():
    sheet = class_sheet(5, 4)
    assert pages(card_pdf(sheet, paper="a6", card_urls=urls(sheet))) == 9
    assert pages(card_pdf(sheet, [AthleteId("a2")], paper="a6")) == 1


def test_only_our_face_is_on_the_card():
    sheet = class_sheet(2)
    found = re.findall(rb"/BaseFont/([^/\s]+)", card_pdf(sheet, card_urls=urls(sheet)))
    assert {name.split(b"+")[-1].split(b"-")[0] for name in found} == {b"SofiaSansSemiCondensed"}


@needs_poppler
def test_a_card_says_who_where_what_and_why(tmp_path):
    text = words(card_pdf(class_sheet(5), [AthleteId("a1")], paper="a6"), tmp_path)
    for piece in (
        "10", "Marek Novák", "P1, turn 2 of 5", "95 kg", "25 + 10 kg a side", "off 2.5 + 5 + 20 kg",
        "8 × 2", "rest 45 s", "55 % of tested 215 kg, 19 days ago", "Week 2 of 3: 55 % on the bar.",
        "Plan 7, made 11 Feb 16:05", "Your coach decides.", "Bands under tension",
        "After the main lift", "lockout", "top 170 kg ± 5 kg",
    ):  # fmt: skip
        assert piece.replace(" ", "") in text.replace(" ", "")


@needs_poppler
def test_where_room_is_short_reasons_give_way_and_cautions_stay(tmp_path):
    reasons = tuple(f"Reason number {n} is a long sentence about the choice." for n in range(25))
    one = line(4, reasons=reasons, cautions=("No singles above 90 %.",))
    sheet = class_sheet(1, platforms=(replace(platform("P1", 0, 1), lifters=(one,)),))
    pdf = card_pdf(sheet, paper="a6")
    text = words(pdf, tmp_path)
    assert pages(pdf) == 1
    assert "Reason number 3" not in text
    assert "No singles above 90 %." in text
    assert "Your coach decides." in text


@pytest.mark.parametrize("text", ['#panic("run")', "#pagebreak()", '$x$ `a` \\ " ]', "]#box()["])
def test_words_of_people_are_set_as_words_and_never_run(text):
    one = line(0, name=text, rig=text, max_words=text, reasons=(text,), cautions=(text,))
    sheet = class_sheet(1, platforms=(replace(platform("P1", 0, 1), lifters=(one,)),), gym=text)
    assert pages(card_pdf(sheet, paper="a6")) == 1


def test_a_card_without_bar_or_bands_is_printed_too():
    one = line(0, sleeve=None, rope=None, rig="")
    sheet = class_sheet(1, platforms=(replace(platform("P1", 0, 1), lifters=(one,)),))
    assert pages(card_pdf(sheet, paper="a6")) == 1


def test_somebody_without_a_bar_gets_no_card_but_a_sentence():
    with pytest.raises(PaperError, match="Athlete z has no bar in Thursday strength"):
        card_pdf(class_sheet(1), [AthleteId("z")])


def test_an_unplanned_class_has_no_cards():
    with pytest.raises(PaperError, match="plan the floor, then print"):
        card_pdf(class_sheet(1, platforms=()))
