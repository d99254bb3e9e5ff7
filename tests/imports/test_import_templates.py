"""The templates: what a coach downloads, fills in and uploads."""

from io import BytesIO

import openpyxl
import pytest
from import_cast import NEW_GYM, preview_of, sentences

from heftwright.domain.mass import MassUnit
from heftwright.imports.columns import UNITS, plain
from heftwright.imports.hardening import UploadedFile, read_guarded
from heftwright.imports.sheets import SHEETS, sheet_named
from heftwright.imports.templates import example_row, template_workbook


def uploaded(content):
    return UploadedFile("template.xlsx", content)


def without_marks(content):
    book = openpyxl.load_workbook(BytesIO(content))
    for sheet in book:
        if sheet.title != "Notes":
            sheet.cell(2, sheet.max_column).value = None
    out = BytesIO()
    book.save(out)
    return out.getvalue()


@pytest.mark.parametrize("unit", list(MassUnit))
def test_the_examples_of_a_template_are_never_imported(unit):
    preview = preview_of(uploaded(template_workbook(unit)), known=NEW_GYM)
    assert preview.records.count == 0
    assert {one.split(" is not")[0] for one in sentences(preview)} <= {
        "The row is marked in “Example row” and"
    }
    assert len(preview.problems) == len(SHEETS)
    assert not preview.questions


@pytest.mark.parametrize("unit", list(MassUnit))
def test_a_template_typed_over_is_a_gym(unit):
    preview = preview_of(uploaded(without_marks(template_workbook(unit))), known=NEW_GYM)
    assert not preview.problems
    assert not preview.questions
    assert not preview.skipped
    assert {count.good for count in preview.counts} == {1}
    assert {count.read_as for count in preview.counts} == {sheet.title for sheet in SHEETS}


def test_a_template_passes_the_guarded_door():
    raw = read_guarded(uploaded(template_workbook()))
    assert [sheet.name for sheet in raw.sheets] == ["Notes", *(sheet.title for sheet in SHEETS)]


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.key)
def test_no_two_columns_of_a_sheet_answer_to_one_name(sheet):
    owners = {}
    for column in sheet.columns:
        for name in (column.key, column.header, *column.aliases):
            assert owners.setdefault(plain(name), column.key) == column.key


def test_no_two_sheets_answer_to_one_name():
    for sheet in SHEETS:
        for name in (sheet.key, sheet.title, *sheet.aliases):
            assert sheet_named(name) is sheet


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.key)
def test_needed_columns_have_examples_and_units_are_known(sheet):
    examples = example_row(sheet, MassUnit.LB)
    for column in sheet.columns:
        assert examples[column.key] or not column.required
        assert column.unit in ("", *UNITS.get(column.kind, ()))


def test_pounds_are_shown_as_people_write_them():
    assert example_row(SHEETS[0], MassUnit.LB)["body_mass"] == "182"
    assert example_row(SHEETS[0], MassUnit.LB)["stature"] == "70"
