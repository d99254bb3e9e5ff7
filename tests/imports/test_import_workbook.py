"""The workbook reader, against two libraries that read the same files."""

import zipfile
from datetime import date, datetime, time
from io import BytesIO

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from import_cast import in_process, max_preview, preview_of, sentences, xlsx_file
from python_calamine import CalamineWorkbook

from heftwright.imports.cells import Cell, CellKind, column_letters, number_text
from heftwright.imports.hardening import UploadedFile

XML_TEXT = (
    st.text(
        st.characters(
            codec="utf-8", exclude_categories=("Cc", "Cs"), exclude_characters="\ufffe\uffff_"
        ),
        min_size=1,
        max_size=12,
    )
    .map(str.strip)
    .filter(bool)
)
VALUES = st.one_of(
    st.none(),
    XML_TEXT,
    st.integers(-(10**9), 10**9),
    st.floats(-1e6, 1e6).map(lambda v: round(v, 4) + 0.0),
    st.booleans(),
    st.dates(date(1950, 1, 1), date(2100, 1, 1)),
)
TABLES = st.lists(st.lists(VALUES, min_size=1, max_size=5), min_size=1, max_size=6)


def text_of(value):
    """A library's value in the words of our cells."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return number_text(float(value))
    if isinstance(value, datetime):
        return value.date().isoformat()
    return value.isoformat() if isinstance(value, date) else str(value)


def our_cells(file):
    (sheet,) = in_process(file).sheets
    return {(row.number, at): cell.text for row in sheet.rows for at, cell in row.cells.items()}


def as_text(book):
    """Strings that begin like formulas stay strings."""
    for row in book.active.iter_rows():
        for cell in row:
            if isinstance(cell.value, str):
                cell.data_type = "s"


@settings(max_examples=60)
@given(TABLES)
def test_the_reader_agrees_with_openpyxl_on_every_cell(table):
    file = xlsx_file({"Any": table}, change=as_text)
    sheet = openpyxl.load_workbook(BytesIO(file.content), data_only=True).active
    theirs = {
        (cell.row, cell.column - 1): text_of(cell.value).strip()
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    }
    assert our_cells(file) == theirs


@settings(max_examples=60)
@given(TABLES)
def test_the_reader_agrees_with_calamine_on_every_cell(table):
    file = xlsx_file({"Any": table}, change=as_text)
    sheet = CalamineWorkbook.from_filelike(BytesIO(file.content)).get_sheet_by_index(0)
    theirs = {
        (line, at): text_of(value).strip()
        for line, row in enumerate(sheet.to_python(skip_empty_area=False), start=1)
        for at, value in enumerate(row)
        if value != ""
    }
    assert our_cells(file) == theirs


@pytest.mark.parametrize(
    ("index", "letters"), [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ"), (702, "AAA")]
)
def test_columns_are_named_as_spreadsheets_name_them(index, letters):
    assert column_letters(index) == letters
    assert openpyxl.utils.get_column_letter(index + 1) == letters


def formatted(value, number_format):
    def change(book):
        book["Any"]["A1"].number_format = number_format

    (cell,) = (
        in_process(xlsx_file({"Any": [(value,)]}, change=change)).sheets[0].rows[0].cells.values()
    )
    return cell


@pytest.mark.parametrize(
    ("value", "number_format", "cell"),
    [
        (0.75, "0%", Cell("75%", CellKind.PERCENT)),
        (0.975, "0.0%", Cell("97.5%", CellKind.PERCENT)),
        (97.5, '0.0 "kg"', Cell("97.5", CellKind.NUMBER)),
        (97.5, '0.0" days"', Cell("97.5", CellKind.NUMBER)),
        (97.5, "[Red]0.0", Cell("97.5", CellKind.NUMBER)),
        (97.5, "General", Cell("97.5", CellKind.NUMBER)),
        (46351, "dd/mm/yyyy", Cell("2026-11-25", CellKind.DATE)),
        (46351, "[$-409]d mmm yyyy", Cell("2026-11-25", CellKind.DATE)),
        (0.770833333333333, "hh:mm", Cell("18:30:00", CellKind.TIME)),
        (60, "yyyy-mm-dd", Cell("60 shown as a date", CellKind.ERROR)),
        (-1, "yyyy-mm-dd", Cell("-1 shown as a date", CellKind.ERROR)),
    ],
)
def test_a_number_format_says_what_a_number_is(value, number_format, cell):
    # Day 60 of the 1900 system is 29 February 1900, which never was (ECMA-376 part 1, 18.17.4.1).
    assert formatted(value, number_format) == cell


def raw_workbook(cell_xml, more=b""):
    """A workbook with one hand-written cell."""
    out = BytesIO()
    source = xlsx_file({"Any": [("x",)]}).content
    with zipfile.ZipFile(BytesIO(source)) as old, zipfile.ZipFile(out, "w") as new:
        for entry in old.namelist():
            content = old.read(entry)
            if entry == "xl/worksheets/sheet1.xml":
                content = (
                    b'<x:worksheet xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
                    b'<x:dimension ref="A1:XFD1048576"/><x:sheetData><x:row r="1">'
                    + cell_xml
                    + b"</x:row></x:sheetData>"
                    + more
                    + b"</x:worksheet>"
                )
            new.writestr(entry, content)
    return UploadedFile("any.xlsx", out.getvalue())


@pytest.mark.parametrize(
    ("xml", "cell"),
    [
        (b"<x:c><x:v>97.599999999999994</x:v></x:c>", Cell("97.6", CellKind.NUMBER)),
        (b"<x:c><x:v>97.49999999999999</x:v></x:c>", Cell("97.49999999999999", CellKind.NUMBER)),
        (b"<x:c><x:v>9.75E1</x:v></x:c>", Cell("97.5", CellKind.NUMBER)),
        (b"<x:c><x:f>A2*2</x:f><x:v>97.5</x:v></x:c>", Cell("97.5", CellKind.NUMBER)),
        (b"<x:c><x:f>A2*2</x:f></x:c>", Cell("a formula", CellKind.UNCALCULATED)),
        (b'<x:c t="str"><x:f>A2</x:f><x:v>Robin</x:v></x:c>', Cell("Robin")),
        (b'<x:c t="e"><x:v>#REF!</x:v></x:c>', Cell("#REF!", CellKind.ERROR)),
        (b'<x:c t="b"><x:v>1</x:v></x:c>', Cell("yes", CellKind.YES_NO)),
        (b'<x:c t="d"><x:v>2026-11-25</x:v></x:c>', Cell("2026-11-25", CellKind.DATE)),
        (b'<x:c t="d"><x:v>soon</x:v></x:c>', Cell("soon", CellKind.ERROR)),
        (b"<x:c><x:v>abc</x:v></x:c>", Cell("abc", CellKind.ERROR)),
        (b'<x:c t="inlineStr"><x:is><x:t>a_x000D_b</x:t></x:is></x:c>', Cell("a\rb")),
        (b'<x:c t="inlineStr"><x:is><x:t>Ro</x:t><x:t>bin</x:t></x:is></x:c>', Cell("Robin")),
    ],
)
def test_what_spreadsheet_programs_write_is_read_for_what_it_is(xml, cell):
    (row,) = in_process(raw_workbook(xml)).sheets[0].rows
    assert list(row.cells.values()) == [cell]


def test_a_declared_dimension_takes_no_room():
    assert len(in_process(raw_workbook(b"<x:c><x:v>1</x:v></x:c>")).sheets[0].rows) == 1


MAXES = ("Athlete", "Lift", "Max (kg)", "Date")
DAY = date(2026, 9, 14)


@pytest.mark.parametrize(
    ("load", "said"),
    [
        (97.49999999999999, "not a number that can be read safely"),
        ("97,5", None),
        (1e16, "not a number"),
        (-5, "not a number"),
        (True, "yes/no value"),
        (DAY, "as a date"),
        (time(18, 30), "as a time"),
        ("=1+1", "never calculated"),
    ],
)
def test_a_load_that_is_no_plain_number_is_named_or_asked(load, said):
    preview = preview_of(xlsx_file({"Maxes": [MAXES, (7, "bench", load, DAY)]}))
    assert not preview.records.maxes
    assert preview.questions if said is None else said in sentences(preview)[0]


def test_a_percentage_is_no_load():
    def as_percent(book):
        book["Maxes"]["C2"].number_format = "0%"

    preview = preview_of(xlsx_file({"Maxes": [MAXES, (7, "bench", 0.75, DAY)]}, change=as_percent))
    assert "75% is a percentage" in sentences(preview)[0]


def test_numbers_kept_as_text_are_read_the_same():
    texts = preview_of(xlsx_file({"Maxes": [MAXES, ("7", "bench", "97.5", "2026-09-14")]}))
    numbers = preview_of(xlsx_file({"Maxes": [MAXES, (7, "bench", 97.5, DAY)]}))
    assert texts.records == numbers.records == max_preview((7, "bench", "97.5", DAY)).records


def test_merged_cells_are_named():
    def merge(book):
        book["Maxes"].merge_cells("A2:A3")

    rows = [MAXES, (7, "bench", 97.5, DAY), (None, "deadlift", 215, DAY)]
    preview = preview_of(xlsx_file({"Maxes": rows}, change=merge))
    assert "A2:A3 are merged" in sentences(preview)[0]
    assert len(preview.records.maxes) == 1
    assert preview.problems[1].row == 3


def test_a_workbook_of_the_1904_system_has_its_own_days():
    def change(book):
        book.epoch = datetime(1904, 1, 1)  # noqa: DTZ001 - a spreadsheet's days have no zone

    file = xlsx_file({"Maxes": [MAXES, (7, "bench", 97.5, DAY)]}, change=change)
    (found,) = preview_of(file).records.maxes
    assert found.on in (DAY, date(2030, 9, 15))
