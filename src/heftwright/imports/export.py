"""Export to XLSX and CSV, so that it reads back the same and a spreadsheet calculates nothing.

A text that a spreadsheet program would take for a formula is marked as text: with an apostrophe in
CSV, as a quoted text cell in XLSX (trust.md S6; the characters are those of OWASP's page on CSV
injection). The import takes the apostrophe away again.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from datetime import date, time
from io import BytesIO, StringIO
from typing import TYPE_CHECKING, Any

from heftwright.domain.height import EnteredLength, LengthUnit
from heftwright.domain.mass import EnteredMass, MassUnit
from heftwright.domain.squad import Athlete
from heftwright.imports.columns import ColumnKind, ColumnSpec, SheetSpec
from heftwright.imports.export_rows import Exporter, ExportError, Row
from heftwright.imports.records import ImportRecords
from heftwright.imports.separated import FORMULA_STARTS
from heftwright.imports.sheets import SHEETS

if TYPE_CHECKING:
    from openpyxl.cell import Cell as SheetCell
    from openpyxl.cell import MergedCell
    from openpyxl.worksheet.worksheet import Worksheet

__all__ = ["ExportError", "Exporter", "write_csv", "write_csv_files", "write_workbook"]

_UNREADABLE = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
_LOOKS_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_SHOWN_DATE, _SHOWN_TIME = "yyyy-mm-dd", "hh:mm"


def write_workbook(
    records: ImportRecords,
    *,
    squad: Sequence[Athlete] = (),
    mass_unit: MassUnit = MassUnit.KG,
    length_unit: LengthUnit = LengthUnit.CM,
) -> bytes:
    """A workbook with a sheet for every kind of record there is.

    Parameters
    ----------
    records : ImportRecords
        What is written; its ``written`` values keep the units that people entered.
    squad : sequence of Athlete
        Who maxes, entries and classes may name beyond ``records.athletes``.
    mass_unit, length_unit
        Preferred units.

    Returns
    -------
    bytes
        An XLSX file.

    Raises
    ------
    ExportError
        If a mass or length cannot be written exactly, or an athlete is not in the squad.
    """
    from openpyxl import Workbook

    exporter = Exporter(records, tuple(squad), mass_unit, length_unit)
    book = Workbook()
    del book["Sheet"]
    for sheet in SHEETS:
        rows = exporter.rows(sheet)
        if rows:
            fill_sheet(book.create_sheet(sheet.title), sheet, rows)
    if not book.sheetnames:
        book.create_sheet("Notes")["A1"] = "Nothing is on record yet."
    return saved(book)


def write_csv(sheet: SheetSpec, exporter: Exporter) -> str:
    """One sheet as CSV: comma, UTF-8 text, lines ended as RFC 4180 says."""
    rows = exporter.rows(sheet)
    columns = used_columns(sheet, rows)
    units = {column.key: common_unit(column, rows) for column in columns}
    out = StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow([_heading(column, units[column.key]) for column in columns])
    for row in rows:
        writer.writerow([_csv_text(row.get(column.key), units[column.key]) for column in columns])
    return out.getvalue()


def write_csv_files(exporter: Exporter) -> dict[str, str]:
    """Every sheet that has rows, by file name: ``squad.csv`` …"""
    filled = (sheet for sheet in SHEETS if exporter.rows(sheet))
    return {f"{sheet.key}.csv": write_csv(sheet, exporter) for sheet in filled}


def used_columns(sheet: SheetSpec, rows: Sequence[Mapping[str, Any]]) -> list[ColumnSpec]:
    """Columns that are required or filled in any row."""
    return [
        column
        for column in sheet.columns
        if column.required or any(column.key in row for row in rows)
    ]


def common_unit(column: ColumnSpec, rows: Sequence[Row]) -> str:
    """The one unit of a column's masses or lengths; empty where its cells differ."""
    if column.kind is ColumnKind.SECONDS:
        return "s"
    units = {part.unit.value for row in rows for part in _measures(row.get(column.key))}
    return units.pop() if len(units) == 1 else ""


def _measures(value: Any) -> list[EnteredMass | EnteredLength]:
    parts = value if isinstance(value, tuple) else (value,)
    return [part for part in parts if isinstance(part, EnteredMass | EnteredLength)]


def _heading(column: ColumnSpec, unit: str) -> str:
    return f"{column.header} ({unit})" if unit else column.header


def digits(thousandths: int) -> str:
    """Thousandths in the one number grammar: ``97.5``, ``100``, ``0.5``."""
    whole, part = divmod(thousandths, 1000)
    return f"{whole}.{part:03d}".rstrip("0").rstrip(".")


def shown_value(value: Any, unit: str) -> Any:
    """A cell's value: numbers where the header has the unit, else text with it."""
    if isinstance(value, tuple):
        return "; ".join(str(shown_value(part, "")) for part in value)
    if isinstance(value, EnteredMass | EnteredLength):
        number = digits(value.thousandths)
        return float(number) if unit else f"{number} {value.unit}"
    if isinstance(value, str):
        return readable(value)
    return value


def readable(text: str) -> str:
    """A text with Unix line ends, and a replacement sign for what no spreadsheet can hold."""
    return _UNREADABLE.sub("\ufffd", text.replace("\r\n", "\n").replace("\r", "\n"))


def _csv_text(value: Any, unit: str) -> str:
    if isinstance(value, EnteredMass | EnteredLength) and unit:
        return digits(value.thousandths)
    shown = shown_value(value, unit)
    if shown is None:
        return ""
    if isinstance(shown, date | time):
        return shown.isoformat()[:10] if isinstance(shown, date) else shown.isoformat("minutes")
    return neutral(str(shown))


def neutral(text: str) -> str:
    """A text that no spreadsheet program takes for a formula (OWASP, CSV injection)."""
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def fill_sheet(paper: Worksheet, sheet: SheetSpec, rows: list[Row]) -> list[ColumnSpec]:
    """Write header and rows of one sheet; return the columns written."""
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    columns = used_columns(sheet, rows)
    for at, column in enumerate(columns, start=1):
        unit = common_unit(column, rows)
        head = paper.cell(1, at, _heading(column, unit))
        head.font = Font(bold=True)
        paper.column_dimensions[get_column_letter(at)].width = max(12, len(column.header) + 8)
        for line, row in enumerate(rows, start=2):
            if column.key in row:
                write_cell(paper.cell(line, at), shown_value(row[column.key], unit))
    paper.freeze_panes = "A2"
    return columns


def write_cell(cell: SheetCell | MergedCell, value: Any) -> None:
    """Put a value into a cell; a text stays a text, whatever it starts with."""
    if isinstance(value, str):
        cell.value = _LOOKS_ESCAPED.sub("_x005F_", value)
        cell.data_type = "s"
        if value.startswith(FORMULA_STARTS):
            cell.quotePrefix = True
        return
    cell.value = value
    if isinstance(value, date):
        cell.number_format = _SHOWN_DATE
    elif isinstance(value, time):
        cell.number_format = _SHOWN_TIME


def saved(book: Any) -> bytes:
    """A workbook as bytes."""
    out = BytesIO()
    book.save(out)
    return out.getvalue()
