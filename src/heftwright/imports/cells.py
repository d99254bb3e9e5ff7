"""What comes out of a file before anything is understood: sheets, rows, cells.

Standard library only: these travel as JSON out of the child process that parses uploads.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class CellKind(StrEnum):
    """What the file says a cell is."""

    TEXT = "s"
    NUMBER = "n"
    DATE = "d"
    TIME = "t"
    YES_NO = "b"
    PERCENT = "p"
    ERROR = "e"
    UNCALCULATED = "u"
    TOO_LONG = "l"


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell that is not empty.

    Parameters
    ----------
    text : str
        As a person reads it: numbers in their shortest form, dates in ISO 8601.
    kind : CellKind
        What the file says it is; every CSV cell is TEXT.
    """

    text: str
    kind: CellKind = CellKind.TEXT


@dataclass(frozen=True, slots=True)
class RawRow:
    """A row that is not blank.

    Parameters
    ----------
    number : int
        As the spreadsheet counts it, 1-based.
    cells : dict of int to Cell
        By column, 0-based; empty cells are not there.
    """

    number: int
    cells: dict[int, Cell]


@dataclass(frozen=True, slots=True)
class RawSheet:
    """A sheet; the name is empty for CSV, where the file's name says what it is."""

    name: str
    rows: tuple[RawRow, ...]
    merged: tuple[str, ...] = ()
    is_hidden: bool = False


@dataclass(frozen=True, slots=True)
class RawFile:
    """A file; encoding and delimiter are empty for XLSX."""

    sheets: tuple[RawSheet, ...]
    encoding: str = ""
    delimiter: str = ""


def column_letters(index: int) -> str:
    """The spreadsheet's name of a 0-based column: 0 is A, 26 is AA."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def number_text(value: float) -> str:
    """A binary float in its shortest form that reads back the same: ``97.5``, ``100``.

    A cell of 97.49999999999999 keeps all its digits and so falls outside the number grammar:
    it is named, not rounded.
    """
    text = repr(value)
    return text[:-2] if text.endswith(".0") else text


def to_document(raw: RawFile) -> dict[str, Any]:
    """The file as plain JSON values."""
    return {
        "encoding": raw.encoding,
        "delimiter": raw.delimiter,
        "sheets": [_sheet_document(sheet) for sheet in raw.sheets],
    }


def _sheet_document(sheet: RawSheet) -> dict[str, Any]:
    rows = [
        [row.number, [[at, cell.text, cell.kind.value] for at, cell in row.cells.items()]]
        for row in sheet.rows
    ]
    return {
        "name": sheet.name,
        "rows": rows,
        "merged": list(sheet.merged),
        "hidden": sheet.is_hidden,
    }


def from_document(document: dict[str, Any]) -> RawFile:
    """The file back from JSON values."""
    return RawFile(
        sheets=tuple(_sheet_from(sheet) for sheet in document["sheets"]),
        encoding=document["encoding"],
        delimiter=document["delimiter"],
    )


def _sheet_from(document: dict[str, Any]) -> RawSheet:
    kinds = {kind.value: kind for kind in CellKind}
    rows = tuple(
        RawRow(number, {at: Cell(text, kinds[kind]) for at, text, kind in cells})
        for number, cells in document["rows"]
    )
    return RawSheet(document["name"], rows, tuple(document["merged"]), document["hidden"])
