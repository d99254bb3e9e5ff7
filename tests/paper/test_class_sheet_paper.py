"""The class sheet on paper: one page, our face only, people's words as words."""

import re
import shutil
import subprocess
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from paper_samples import class_sheet, line, plates, platform, urls

from heftwright.domain.dose import Scheme
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.sheet import LadderStep
from heftwright.domain.sheet.class_sheet import BAND_CAUTION, CLOSING_CAUTION
from heftwright.domain.squad import AthleteId
from heftwright.paper.card import card_pdf
from heftwright.paper.class_sheet import _columns, class_sheet_pdf
from heftwright.paper.press import PaperError, qr_svg

HOSTILE = (
    '#panic("run")',
    "#pagebreak() #pagebreak() #pagebreak()",
    '#read("parts.typ")',
    "$ x $ *bold* _it_ `raw` <label> @ref // gone",
    "\\u{41} \" ' \\ ] ) }",
    "= Heading\n- list",
    "#set page(fill: black)",
    "a\x00b\x07c",
    "\ud83c\udfcb".encode("utf-16", "surrogatepass").decode("utf-16"),
)
needs_poppler = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="poppler-utils is not installed"
)


def pages(pdf):
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


def fonts(pdf):
    return {
        name.split(b"+")[-1].split(b"-")[0] for name in re.findall(rb"/BaseFont/([^/\s]+)", pdf)
    }


def words(pdf, tmp_path):
    (tmp_path / "page.pdf").write_bytes(pdf)
    run = subprocess.run(
        ["pdftotext", "-layout", tmp_path / "page.pdf", "-"], capture_output=True, check=True
    )
    return re.sub(r"[\s\u00a0]+", " ", run.stdout.decode())


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("counts", [(1,), (4, 3), (7, 7, 6, 6), (13, 13), (5, 5, 4, 4, 4, 4)])
def test_a_class_of_up_to_26_stands_on_one_page(paper, counts):
    sheet = class_sheet(*counts)
    assert pages(class_sheet_pdf(sheet, paper=paper, card_urls=urls(sheet))) == 1


def test_a_larger_class_goes_on_to_a_second_page():
    assert pages(class_sheet_pdf(class_sheet(9, 9, 9, 9, 8))) == 2


def test_one_group_of_forty_is_printed_to_its_last_lifter():
    assert pages(class_sheet_pdf(class_sheet(40))) == 2


def test_only_our_face_is_on_the_page():
    sheet = class_sheet()
    assert fonts(class_sheet_pdf(sheet, card_urls=urls(sheet))) == {b"SofiaSansSemiCondensed"}


def test_the_same_plan_prints_the_same_bytes_and_another_does_not():
    sheet = class_sheet(3)
    pdf = class_sheet_pdf(sheet)
    assert class_sheet_pdf(sheet) == pdf
    assert class_sheet_pdf(replace(sheet, plan_version=8)) != pdf


@pytest.mark.parametrize("text", HOSTILE)
def test_words_of_people_are_set_as_words_and_never_run(text):
    lifter = line(
        0, name=text, rig=text, max_words=text, lift_name=text, cautions=(text,), reasons=(text,)
    )
    sheet = class_sheet(
        2, platforms=(replace(platform("P1", 0, 1), lifters=(lifter,), rig=text, bar_name=text),),
        gym=text, coach=text, why=(text,), rep_work=(text,), floor_words=(text,), wave_words=text,
    )  # fmt: skip
    assert pages(class_sheet_pdf(sheet)) == 1


@needs_poppler
@pytest.mark.parametrize("text", HOSTILE[:5])
def test_odd_words_stand_on_the_page_as_they_were_written(text, tmp_path):
    sheet = class_sheet(2, coach=text)
    assert f"Coach {text}" in words(class_sheet_pdf(sheet), tmp_path)


@needs_poppler
def test_everybody_and_everything_of_the_plan_is_on_the_page(tmp_path):
    sheet = class_sheet()
    text = words(class_sheet_pdf(sheet), tmp_path)
    for item in sheet.platforms:
        assert item.key in text
        for one in item.lifters:
            assert one.name in text
            assert re.search(rf"\b{one.number}\b", text)
            assert one.load.shown(MassUnit.KG) in text
    for piece in (
        "Plan 7, made 11 Feb 16:05", "Your coach decides.", "Bands under tension",
        "8 × 2, rest 45 s",
        "91 Nils Berg", "Back raise 3 × 12", "Week 2 of 3", "Thursday 11 Feb 2027, 18:30, 75 min",
        "off 5 + 20 kg", "top 181 kg ± 4 kg", "55 % of estimated max", "No singles above 90 %.",
    ):  # fmt: skip
        assert piece in text


@needs_poppler
def test_an_estimate_a_minor_and_another_lift_are_marked(tmp_path):
    odd = line(1, lift_name="Box squat", rig="", is_estimated=True, is_minor=True)
    sheet = class_sheet(1, platforms=(replace(platform("P1", 0, 1), lifters=(odd,)),))
    text = words(class_sheet_pdf(sheet), tmp_path)
    assert all(mark in text for mark in ("est.", "minor", "Box squat", "straight weight"))


@needs_poppler
def test_without_bands_their_caution_is_not_printed(tmp_path):
    plain = line(0, rig="", top_kg=130.0)
    sheet = class_sheet(1, platforms=(replace(platform("P1", 0, 1, rig=""), lifters=(plain,)),))
    text = words(class_sheet_pdf(sheet), tmp_path)
    assert "Bands under tension" not in text
    assert "top" not in text.replace("stop", "")


@needs_poppler
def test_a_pound_page_has_pounds_only(tmp_path):
    one = line(0, unit=MassUnit.LB, load=Mass.lb("225"), sleeve=None, max_words="tested 405 lb")
    sheet = class_sheet(1, platforms=(replace(platform("P1", 0, 1), lifters=(one,)),), unplaced=())
    text = words(class_sheet_pdf(sheet), tmp_path)
    assert "225 lb" in text
    assert "kg" not in text


@needs_poppler
def test_where_schemes_differ_each_lifter_has_their_own(tmp_path):
    group = platform("P1", 0, 3)
    own = replace(group.lifters[1], scheme=type(group.lifters[1].scheme)(3, 5, 120))
    mixed = replace(group, lifters=(group.lifters[0], own, group.lifters[2]))
    text = words(class_sheet_pdf(class_sheet(1, platforms=(mixed,))), tmp_path)
    assert "3 × 5 rest 120 s" in text
    assert "8 × 2, rest 45 s" not in text


def test_a_class_with_nobody_placed_still_prints_who_and_why():
    assert pages(class_sheet_pdf(class_sheet(1, platforms=()))) == 1


def test_a_bar_less_implement_needs_no_sleeve():
    keg = line(0, sleeve=None, rig="")
    sheet = class_sheet(1, platforms=(replace(platform("P1", 0, 1), lifters=(keg,)),))
    assert pages(class_sheet_pdf(sheet)) == 1


def test_an_unknown_paper_is_refused():
    with pytest.raises(PaperError, match="“a3” is no paper this press knows: choose a4, letter"):
        class_sheet_pdf(class_sheet(1), paper="a3")


def test_the_longer_column_is_as_short_as_the_order_of_platforms_allows():
    def column(*sizes):
        return [{"lifters": [0] * size} for size in sizes]

    left, right = _columns(column(7, 7, 6, 6))
    assert [len(c) for c in (left, right)] == [2, 2]
    left, right = _columns(column(9, 2, 2))
    assert [len(c) for c in (left, right)] == [1, 2]


def test_a_code_has_the_quiet_zone_of_four_modules():
    # ISO/IEC 18004: 4 modules on each side; version 1 is 21 modules wide, version 2 is 25.
    size = int(re.search(r'width="(\d+)"', qr_svg("HTTP://A.B/C"))[1])
    assert (size - 8 - 17) % 4 == 0
    assert qr_svg("") == ""


def test_the_time_on_the_page_is_the_plans_own_not_the_printers():
    sheet = class_sheet(1, planned_at=datetime(2027, 2, 11, 16, 5, tzinfo=UTC))
    assert b"D:20270211160500Z" in class_sheet_pdf(sheet)


def test_an_athlete_without_an_address_has_no_code():
    sheet = class_sheet(2)
    some = {AthleteId("a0"): "https://quarry.example/card/a0"}
    sizes = [len(class_sheet_pdf(sheet, card_urls=c)) for c in (None, some, urls(sheet))]
    assert sizes == sorted(sizes)
    assert len(set(sizes)) == 3


SIDE = "25 25 20 2.5 1.25 1.25"


def rising_line(number, **changes):
    """A lifter who works up to a set of 6 in seven steps."""
    one = line(number, **changes)
    loads = (70, "92.5", "122.5", 140, 155, 165, 175)
    sides = ("20 2.5", "20 10 5", "25 15 10 1.25", "25 20 10 5", "25 25 15 1.25", "25 25 20", SIDE)
    asked = zip(loads, (5, 3, 3, 3, 3, 6, 6), sides, strict=True)
    steps = tuple(
        LadderStep(Mass.kg(kg), reps, replace(one.sleeve, plates=plates(side)), at)
        for at, (kg, reps, side) in enumerate(asked, 1)
    )
    ladder = tuple(step.load for step in steps)
    return replace(
        one, steps=steps, ladder=ladder, load=ladder[-1], scheme=Scheme(1, 6, 150), rig=""
    )


def rising_class():
    """Twenty-four lifters of a max-effort day on six platforms."""
    sheet = class_sheet(4, 4, 4, 4, 4, 4)
    platforms = tuple(
        replace(item, lifters=tuple(rising_line(one.number) for one in item.lifters))
        for item in sheet.platforms
    )
    return replace(sheet, platforms=platforms)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_max_effort_class_of_24_stands_on_one_page(paper):
    assert pages(class_sheet_pdf(rising_class(), paper=paper)) == 1


@needs_poppler
def test_every_step_of_a_work_up_stands_on_the_page_with_its_reps(tmp_path):
    printed = words(class_sheet_pdf(rising_class()), tmp_path)
    assert "work up to 1 × 6" in printed
    assert "7 × 6" not in printed
    for load in ("70", "92.5", "122.5", "140", "155", "165"):
        assert printed.count(f" {load} ") >= 24


@needs_poppler
@pytest.mark.parametrize("sheet", [rising_class(), class_sheet(5, 5, 4, 4, 4, 4)])
def test_no_letter_on_the_class_sheet_is_smaller_than_7_points(sheet, tmp_path):
    """7 pt: our own floor for a sheet that is pinned on the wall."""
    (tmp_path / "page.pdf").write_bytes(class_sheet_pdf(sheet))
    command = ["pdftotext", "-bbox-layout", tmp_path / "page.pdf", "-"]
    text = subprocess.run(command, capture_output=True, check=True).stdout.decode()
    boxes = re.findall(r'<word xMin="[^"]*" yMin="([^"]*)" xMax="[^"]*" yMax="([^"]*)"', text)
    assert boxes
    # in this face a word's box is 0.977 of its letters' size high
    assert min(float(bottom) - float(top) for top, bottom in boxes) >= 7.0 * 0.976


@needs_poppler
def test_paper_alone_says_what_is_on_the_bar_at_every_step(tmp_path):
    printed = words(class_sheet_pdf(rising_class()), tmp_path)
    assert printed.count("Under each load: its plates a side") == 1
    one = rising_line(0)
    alone = class_sheet(1, platforms=(replace(platform("P1", 0, 1), lifters=(one,)),))
    printed = words(class_sheet_pdf(alone), tmp_path)
    for side in ("20 2.5", "20 10 5", "25 15 10 1.25", "25 20 10 5", "2×25 15 1.25", "2×25 20"):
        assert side in printed
    assert "2×25 20 2.5 2×1.25" in printed


@needs_poppler
@pytest.mark.parametrize(
    "note",
    [
        "Back from a lay-off: stop well short of failure, ask how it feels.",
        "Under 18: no maximal singles; the named supervisor stays with this lifter.",
    ],
)
def test_a_note_on_the_line_is_on_the_wall_too(note, tmp_path):
    one = line(0, notes=(note,))
    sheet = class_sheet(1, platforms=(replace(platform("P1", 0, 1), lifters=(one,)),))
    assert note in words(class_sheet_pdf(sheet), tmp_path)
    assert note in words(card_pdf(sheet, paper="a6"), tmp_path)


@needs_poppler
def test_the_caution_of_bands_stands_once(tmp_path):
    sheet = class_sheet(caution=f"{BAND_CAUTION} {CLOSING_CAUTION}")
    assert words(class_sheet_pdf(sheet), tmp_path).count("Bands under tension") == 1


@needs_poppler
def test_the_head_says_weekday_and_time_never_an_inner_key(tmp_path):
    printed = words(class_sheet_pdf(class_sheet(class_key="thu-1830")), tmp_path)
    assert "thu-1830" not in printed
    assert "Thursday 18:30" in printed
