"""Which column of a file is which: header names, their aliases and units."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date

from heftwright.imports.cells import Cell, RawRow, RawSheet, column_letters
from heftwright.imports.columns import UNITS, ColumnSpec, SheetSpec, plain
from heftwright.imports.findings import (
    Findings,
    Place,
    SkippedColumn,
)
from heftwright.imports.grammar import Reading, said_unit

EXAMPLE_HEADER = "Example row"
_HEADER_ROWS = 10
_BRACKETED = re.compile(r"(.*?)\s*[(\[]\s*([^()\[\]]*?)\s*[)\]]")
_TRAILING = re.compile(r"(.+?)[\s,/_]+(?:in )?([A-Za-z/]+)")


@dataclass(frozen=True, slots=True)
class Header:
    """What each column of a sheet is.

    Parameters
    ----------
    row : int
        Its row number; 0 when none was found.
    readings : dict
        Column index -> how its cells are read.
    headed : frozenset of int
        Columns that have a header, known or not.
    example : int or None
        The column that marks example rows.
    """

    row: int
    readings: dict[int, Reading]
    headed: frozenset[int]
    example: int | None


def header_row(raw: RawSheet, sheet: SheetSpec) -> tuple[RawRow | None, int]:
    """The row among the first ten that names most columns of the sheet, and how many."""
    best, most = None, 0
    for row in raw.rows[:_HEADER_ROWS]:
        keys = {
            match[0].key for cell in row.cells.values() if (match := match_header(cell.text, sheet))
        }
        if len(keys) > most:
            best, most = row, len(keys)
    return best, most


def has_required(raw: RawSheet, sheet: SheetSpec) -> bool:
    """Whether every required column of the sheet is named in its header row."""
    row, _ = header_row(raw, sheet)
    if row is None:
        return False
    matches = (match_header(cell.text, sheet) for cell in row.cells.values())
    found = {match[0].key for match in matches if match}
    return all(column.key in found for column in sheet.required)


def match_header(text: str, sheet: SheetSpec) -> tuple[ColumnSpec, str] | None:
    """The column that a header names and the unit it says; the unit is empty if none.

    An unknown unit in brackets is returned as written, with a question mark before it.
    """
    if match := _BRACKETED.fullmatch(text):
        column = _named(match[1], sheet)
        return (column, _unit_of(match[2], column)) if column else None
    if column := _named(text, sheet):
        return column, ""
    if match := _TRAILING.fullmatch(text):
        column = _named(match[1], sheet)
        if column and said_unit(match[2], column):
            return column, said_unit(match[2], column)
    return None


def _named(text: str, sheet: SheetSpec) -> ColumnSpec | None:
    wanted = plain(text)
    for column in sheet.columns:
        if wanted in _names(column):
            return column
    return None


def _names(column: ColumnSpec) -> frozenset[str]:
    return frozenset(plain(name) for name in (column.key, column.header, *column.aliases))


def _unit_of(text: str, column: ColumnSpec) -> str:
    if column.kind not in UNITS:
        return ""
    return said_unit(text, column) or f"?{text}"


def read_header(
    raw: RawSheet, sheet: SheetSpec, place: Place, findings: Findings, today: date
) -> Header | None:
    row, _ = header_row(raw, sheet)
    if row is None:
        findings.name(place, "", f"No row names the columns of {sheet.title}: put "
                      f"{_listed(sheet.required)} above the rows.")  # fmt: skip
        return None
    place = replace(place, row=row.number)
    _name_rows_above(raw, row, place, findings)
    readings = _readings(row, sheet, place, findings, today)
    if readings is None:
        return None
    found = {reading.column.key for reading in readings.values()}
    missing = tuple(column for column in sheet.required if column.key not in found)
    if missing:
        findings.name(place, "", f"{sheet.title} needs the column {_listed(missing)}: add it; "
                      "the sheet is not read.")  # fmt: skip
        return None
    marks = (at for at, cell in row.cells.items() if plain(cell.text) == plain(EXAMPLE_HEADER))
    return Header(row.number, readings, frozenset(row.cells), next(marks, None))


def _listed(columns: tuple[ColumnSpec, ...]) -> str:
    return ", ".join(f"“{column.header}”" for column in columns)


def _name_rows_above(raw: RawSheet, header: RawRow, place: Place, findings: Findings) -> None:
    for row in raw.rows:
        if row.number >= header.number:
            return
        text = next(iter(row.cells.values())).text
        sentence = f"Row {row.number} stands above the headers and is not read."
        findings.name(replace(place, row=row.number), text, sentence, is_blocking=False)


def _readings(
    row: RawRow, sheet: SheetSpec, place: Place, findings: Findings, today: date
) -> dict[int, Reading] | None:
    readings: dict[int, Reading] = {}
    owners: dict[str, str] = {}
    for at, cell in row.cells.items():
        here = replace(place, row=0, column=f"{column_letters(at)}, {cell.text}")
        match = match_header(cell.text, sheet)
        if match is None or match[1].startswith("?"):
            _skip_column(at, cell, here, findings, match)
            continue
        column, unit = match
        if column.key in owners:
            sentence = (
                f"“{cell.text}” and “{owners[column.key]}” are one column twice: keep one; the "
                "sheet is not read."
            )
            findings.name(replace(here, row=row.number), cell.text, sentence)
            return None
        owners[column.key] = cell.text
        readings[at] = Reading(column, here, unit, findings, today)
    return readings


def _skip_column(
    at: int, cell: Cell, place: Place, findings: Findings, match: tuple[ColumnSpec, str] | None
) -> None:
    if plain(cell.text) == plain(EXAMPLE_HEADER):
        return
    findings.skipped.append(SkippedColumn(place.file, place.sheet, column_letters(at), cell.text))
    if match is not None:
        units = " or ".join(UNITS[match[0].kind])
        sentence = (
            f"“{match[1][1:]}” is no unit of “{match[0].header}”: write {units}; the column is "
            "not read."
        )
        findings.name(place, cell.text, sentence, is_blocking=match[0].required)
