"""Workbooks to fill in: every sheet with an example row, choices to pick from, and notes."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass, MassUnit
from heftwright.imports.columns import ColumnKind, ColumnSpec, SheetSpec
from heftwright.imports.export import saved, write_cell
from heftwright.imports.headers import EXAMPLE_HEADER
from heftwright.imports.sheets import SHEETS

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

EXAMPLE_TEXT = "example"
_ROWS_WITH_CHOICES = 500
_LONGEST_CHOICES = 255
_NOTES = (
    "One sheet for each kind of record; delete the sheets you do not need.",
    "Rows with a word in the column “Example row” are never read: type over them and empty it.",
    "Numbers: digits with at most 4 before and 3 after a point, no thousands marks: 97.5.",
    "The unit stands in the header, “Max (kg)”, or else in every cell, 215 lb.",
    "Dates: year-month-day, 2026-11-25. Times: 18:30.",
    "Several things in one cell are split by semicolons.",
    "An empty cell keeps what the gym already knows.",
    "Nothing is saved before you have seen the preview and said yes; an import can be undone.",
)


def template_workbook(unit: MassUnit = MassUnit.KG) -> bytes:
    """A workbook to fill in.

    Parameters
    ----------
    unit : MassUnit
        kg has lengths in cm, lb has them in inches.

    Returns
    -------
    bytes
        An XLSX file whose example rows an import passes over.
    """
    from openpyxl import Workbook

    book = Workbook()
    del book["Sheet"]
    _fill_notes(book.create_sheet("Notes"))
    for sheet in SHEETS:
        _fill_template(book.create_sheet(sheet.title), sheet, unit)
    return saved(book)


def example_row(sheet: SheetSpec, unit: MassUnit) -> dict[str, str]:
    """The example of each column, in the template's units."""
    return {column.key: _example(column, unit) for column in sheet.columns}


def unit_of(column: ColumnSpec, unit: MassUnit) -> str:
    """The unit in the template's header; empty where there is none."""
    if unit is MassUnit.KG or column.unit in ("", "s", "m"):
        return column.unit
    return "lb" if column.unit == "kg" else "in"


def _example(column: ColumnSpec, unit: MassUnit) -> str:
    wanted = unit_of(column, unit)
    if wanted == column.unit or not column.example:
        return column.example
    return "; ".join(_converted(part, column.kind) for part in column.example.split("; "))


def _converted(number: str, kind: ColumnKind) -> str:
    """An example in pounds or inches, rounded to what people would write."""
    if kind is ColumnKind.MASS:
        value = Decimal(repr(Mass.kg(number).in_lb))
        return f"{round(value) if value > 10 else round(value * 2) / 2:g}"
    value = Decimal(repr(Length.cm(number).in_m)) / Decimal("0.0254")
    return f"{float(round(value * 2)) / 2:g}"


def _fill_template(paper: Worksheet, sheet: SheetSpec, unit: MassUnit) -> None:
    from openpyxl.comments import Comment
    from openpyxl.styles import Font, PatternFill
    from openpyxl.utils import get_column_letter

    grey = PatternFill("solid", fgColor="E7E6E1")
    examples = example_row(sheet, unit)
    for at, column in enumerate(sheet.columns, start=1):
        said = unit_of(column, unit)
        head = paper.cell(1, at, f"{column.header} ({said})" if said else column.header)
        head.font = Font(bold=True, underline="single" if column.required else None)
        if column.help:
            head.comment = Comment(column.help, "Heftwright")
        write_cell(paper.cell(2, at), _typed(column, examples[column.key]))
        paper.cell(2, at).fill = grey
        paper.column_dimensions[get_column_letter(at)].width = max(12, len(column.header) + 8)
        _offer_choices(paper, column, get_column_letter(at))
    mark = len(sheet.columns) + 1
    paper.cell(1, mark, EXAMPLE_HEADER).font = Font(bold=True)
    paper.cell(2, mark, EXAMPLE_TEXT).fill = grey
    paper.freeze_panes = "A2"


def _typed(column: ColumnSpec, example: str) -> Any:
    """Numbers as numbers, so that the coach's program shows them its own way."""
    if column.kind in (ColumnKind.MASS, ColumnKind.LENGTH) and example:
        return float(example)
    if column.kind in (ColumnKind.WHOLE, ColumnKind.SECONDS) and example:
        return int(example)
    return example or None


def _offer_choices(paper: Worksheet, column: ColumnSpec, letter: str) -> None:
    from openpyxl.worksheet.datavalidation import DataValidation

    listed = ",".join(word for _, word in column.words)
    if column.kind is not ColumnKind.WORD or len(listed) > _LONGEST_CHOICES:
        return
    rule = DataValidation(type="list", formula1=f'"{listed}"', allow_blank=True)
    rule.add(f"{letter}2:{letter}{_ROWS_WITH_CHOICES}")
    paper.add_data_validation(rule)


def _fill_notes(paper: Worksheet) -> None:
    from openpyxl.styles import Font

    for line in _NOTES:
        paper.append([line])
    paper.append([])
    paper.append(["Sheet", "Column", "Needed", "What it holds", "Words"])
    for cell in paper[paper.max_row]:
        cell.font = Font(bold=True)
    for sheet in SHEETS:
        paper.append([sheet.title, "", "", sheet.help])
        for column in sheet.columns:
            paper.append(_note(column))
    paper.column_dimensions["B"].width = 22
    paper.column_dimensions["D"].width = 70


def _note(column: ColumnSpec) -> list[str]:
    words = ", ".join(word for _, word in column.words)
    return ["", column.header, "yes" if column.required else "", column.help, words]
