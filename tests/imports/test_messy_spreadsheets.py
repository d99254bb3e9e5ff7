"""Spreadsheets as coaches keep them: titles, gaps, units in cells, several forms of dates.

The sheets are invented; that coaches write so is common practice, no source.
"""

from datetime import date, time
from io import BytesIO

import pytest
from openpyxl import Workbook

from heftwright.domain.stock import Stock
from heftwright.imports.cells import Cell
from heftwright.imports.dates import read_time
from heftwright.imports.findings import CellError
from heftwright.imports.grammar import closed_word
from heftwright.imports.hardening import UploadedFile
from heftwright.imports.preview import read_files
from heftwright.imports.records import KnownGym
from heftwright.imports.sheets import TIMETABLE

TODAY = date(2026, 11, 25)


@pytest.fixture
def nobody():
    return KnownGym(today=TODAY, athletes=(), stock=Stock(), contests=(), classes=(), maxes={})


def book(sheets, merged=()):
    workbook = Workbook()
    workbook.remove(workbook.active)
    for title, rows in sheets.items():
        sheet = workbook.create_sheet(title)
        for row in rows:
            sheet.append(row)
        for reference in merged:
            sheet.merge_cells(reference)
    held = BytesIO()
    workbook.save(held)
    return UploadedFile("list.xlsx", held.getvalue())


def sentences(preview):
    return " ".join(problem.sentence for problem in preview.problems)


def test_a_squad_list_under_a_merged_title_with_a_gap_is_read(nobody):
    rows = [
        ["IRON SHED, the list", None, None, None], [],
        ["No.", "Full name ", "M/F", "DOB", None, "Bodyweight"],
        [1, " Anna Berg ", "F", date(1994, 3, 2), None, "82.5 kg"],
        [2, "Ben Cole", "m", "14.7.1990", None, "231 lb"],
    ]  # fmt: skip
    preview = read_files([book({"Lifters 2026 ": rows}, ["A1:D1"])], known=nobody)
    assert [athlete.name for athlete in preview.records.athletes] == ["Anna Berg", "Ben Cole"]
    assert preview.records.athletes[1].born_on == date(1990, 7, 14)
    assert "merged" not in sentences(preview)
    assert preview.counts[0].sheet == "Lifters 2026"


def test_merged_cells_among_the_rows_are_named(nobody):
    rows = [["Name", "M/F"], ["Anna Berg", "F"], ["Ben Cole", "m"]]
    preview = read_files([book({"Squad": rows}, ["B2:B3"])], known=nobody)
    assert "The cells B2:B3 are merged" in sentences(preview)


def test_a_lift_column_that_could_be_several_lifts_is_asked_and_the_lifts_named(nobody):
    athletes = [["Name", "Sex", "Born"], ["Anna Berg", "F", date(1990, 7, 14)]]
    header = ["Name", "Date", "Bench press (kg)", "Squat (kg)"]
    maxes = [header, ["Anna Berg", date(2026, 5, 1), 80, 120]]
    preview = read_files([book({"Squad": athletes, "1RM": maxes})], known=nobody)
    (question,) = preview.questions
    assert "“Squat” is not in the catalogue. Which lift is it?" in question.sentence
    assert "Back squat" in [choice.label for choice in question.choices]


def test_only_sheets_that_share_a_column_are_offered_the_likeliest_first(nobody):
    rows = [["Name", "Pairs"], ["Red", 4]]
    (question,) = read_files([book({"things": rows})], known=nobody).questions
    offered = [choice.value for choice in question.choices]
    assert offered[-1] == "skip"
    assert "bands" in offered
    assert "contests" in offered  # a contest's name
    assert "entries" not in offered[:2]
    assert len(offered) < 16


@pytest.mark.parametrize("written", ["18:30", "6:30 pm", "6.30pm", "6.30 p.m."])
def test_a_time_of_day_has_a_colon_or_says_morning_or_evening(written):
    assert read_time(Cell(written)) == time(18, 30)


@pytest.mark.parametrize("written", ["18", "18.3", "18.30", "18.50", "25.00", "6.60pm", "18,30"])
def test_what_is_no_time_of_day_is_refused(written):
    with pytest.raises(CellError, match="not a time of day"):
        read_time(Cell(written))


@pytest.mark.parametrize(
    ("written", "slot"),
    [("DE lower", "dynamic_lower"), ("ME Upper", "max_effort_upper"),
     ("dynamic upper", "dynamic_upper"), ("Max effort lower", "max_effort_lower")],
)  # fmt: skip
def test_the_trades_short_words_name_the_slot(written, slot):
    assert closed_word(written, TIMETABLE.column("slot")) == slot


def test_a_count_with_a_word_behind_it_says_what_to_write(nobody):
    rows = [["Class", "Day", "Starts", "Minutes", "Slot"], ["mon", "Mon", "18:30", "90 min",
            "DE lower"]]  # fmt: skip
    preview = read_files([book({"Timetable": rows})], known=nobody)
    assert "has “min” behind it" in sentences(preview)
    assert not preview.records.classes
