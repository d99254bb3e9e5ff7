"""From a sheet's cells to rows of values: headers, units, blank and example rows."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from heftwright.domain.refusal import Refusal
from heftwright.imports.cells import Cell, RawRow, RawSheet, column_letters
from heftwright.imports.columns import SheetSpec
from heftwright.imports.findings import (
    Findings,
    Place,
    WaitingError,
)
from heftwright.imports.grammar import Reading, read_cell
from heftwright.imports.headers import EXAMPLE_HEADER, Header, read_header

_NO_HEADER = (
    "The cell stands under no header: head the column, empty it, or look for a delimiter inside a "
    "value."
)


_LAST_ROW = re.compile("[0-9]+$")


@dataclass(slots=True)
class ParsedRow:
    """A row whose cells have been read.

    Parameters
    ----------
    sheet : SheetSpec
        What it is a row of.
    place : Place
        File, sheet and row.
    values : dict
        Column key -> value, for the cells that are filled.
    cells, labels : dict
        Column key -> the cell, and its ``"C, Max (kg)"``.
    is_out, is_waiting : bool
        Left out because of a problem; waiting for an answer.
    is_undated : bool
        The file has no day for it: its day is the coach's guess at how old the sheet is.
    """

    sheet: SheetSpec
    place: Place
    values: dict[str, Any]
    cells: dict[str, Cell]
    labels: dict[str, str]
    is_out: bool = False
    is_waiting: bool = False
    is_undated: bool = False

    @property
    def is_good(self) -> bool:
        """Neither out nor waiting."""
        return not (self.is_out or self.is_waiting)

    def at(self, key: str) -> Place:
        """The place of one of its cells, or of the row."""
        return replace(self.place, column=self.labels.get(key, ""))

    def text(self, key: str) -> str:
        """A cell as the file has it, or nothing."""
        return self.cells[key].text if key in self.cells else ""

    def leave_out(self, findings: Findings, sentence: str, key: str = "") -> None:
        """Name a problem and leave the row out."""
        self.is_out = True
        findings.name(self.at(key), self.text(key), sentence)


def read_rows(
    raw: RawSheet, sheet: SheetSpec, place: Place, findings: Findings, today: date
) -> list[ParsedRow]:
    """Read all rows of a sheet; what cannot be read is named in ``findings``."""
    header = read_header(raw, sheet, place, findings, today)
    if header is None:
        return []
    _name_merged(raw, header.row, place, findings)
    body = (row for row in raw.rows if row.number > header.row)
    rows = [_read_row(row, sheet, place, header, findings) for row in body]
    return [row for row in rows if row is not None]


def _name_merged(raw: RawSheet, header_row: int, place: Place, findings: Findings) -> None:
    for reference in raw.merged:
        if (last := _LAST_ROW.search(reference)) and int(last[0]) < header_row:
            continue  # a title over the headers hides no value
        sentence = (
            f"The cells {reference} are merged: only the first one holds a value; split them and "
            "fill each."
        )
        findings.name(place, reference, sentence, is_blocking=False)


def _read_row(
    raw: RawRow, sheet: SheetSpec, place: Place, header: Header, findings: Findings
) -> ParsedRow | None:
    row = ParsedRow(sheet, replace(place, row=raw.number), {}, {}, {})
    if header.example in raw.cells:
        sentence = (
            f"The row is marked in “{EXAMPLE_HEADER}” and is not read: empty that cell to read it."
        )
        findings.name(row.place, "", sentence, is_blocking=False)
        return None
    for at, cell in raw.cells.items():
        if at in header.readings:
            _take(row, cell, header.readings[at], findings)
        elif at not in header.headed:
            row.is_out = True
            here = replace(row.place, column=column_letters(at))
            findings.name(here, cell.text, _NO_HEADER)
    if not row.cells and not row.is_out:
        findings.name(
            row.place,
            "",
            "The row has values only in columns that are not read.",
            is_blocking=False,
        )
        return None
    _check_required(row, findings)
    return row


def _take(row: ParsedRow, cell: Cell, reading: Reading, findings: Findings) -> None:
    key = reading.column.key
    row.cells[key] = cell
    row.labels[key] = reading.place.column
    try:
        value = read_cell(cell, reading)
    except WaitingError:
        row.is_waiting = True
    except Refusal as error:
        row.leave_out(findings, str(error), key)
    else:
        if value is not None:
            row.values[key] = value


def _check_required(row: ParsedRow, findings: Findings) -> None:
    if not row.is_good:
        return
    for column in row.sheet.required:
        if column.key not in row.values:
            row.leave_out(findings, f"“{column.header}” is empty: fill it in.", column.key)
