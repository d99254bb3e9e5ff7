"""CSV files: encoding and delimiter found by stated rules and declared in the preview."""

from __future__ import annotations

import codecs
import csv
from collections.abc import Iterator
from io import StringIO

from heftwright.imports.cells import Cell, CellKind, RawFile, RawRow, RawSheet
from heftwright.imports.limits import MAX_CELL_CHARS, MAX_COLUMNS, CellBudget, HostileFileError

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠", "'")
_HEADER_CHARS = 10_000
DELIMITERS = (",", ";", "\t")
_BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig", "UTF-8"),
    (codecs.BOM_UTF16_LE, "utf-16", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16", "UTF-16"),
)
_OTHER_FILES = (
    (b"%PDF", "a PDF"),
    (b"PK", "a spreadsheet or zip file"),
    (b"\xd0\xcf\x11\xe0", "an old .xls spreadsheet"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"\x7fELF", "a program"),
    (b"MZ\x90", "a program"),
)


def read_separated(content: bytes) -> RawFile:
    """Read a CSV file into one nameless sheet.

    Parameters
    ----------
    content : bytes
        UTF-8 (with or without a byte order mark), UTF-16 with one, or Windows-1252; fields
        split by comma, semicolon or tab.

    Raises
    ------
    HostileFileError
        If it is no text, or a quote is never closed.
    """
    text, encoding = _decode(content)
    text, delimiter = _delimiter_of(text)
    rows = tuple(_rows(text, delimiter))
    return RawFile((RawSheet("", rows),), encoding, delimiter)


def _decode(content: bytes) -> tuple[str, str]:
    for magic, what in _OTHER_FILES:
        if content.startswith(magic):
            raise HostileFileError(f"This is {what}, not a CSV file: save the sheet as CSV.")
    for bom, codec, shown in _BOMS:
        if content.startswith(bom):
            return _decoded(content, codec, shown), shown
    if b"\0" in content:
        raise HostileFileError("This is not a text file: save the sheet as CSV (UTF-8).")
    try:
        return content.decode("utf-8"), "UTF-8"
    except UnicodeDecodeError:
        return _decoded(content, "cp1252", "Windows-1252"), "Windows-1252"


def _decoded(content: bytes, codec: str, shown: str) -> str:
    try:
        text = content.decode(codec)
    except UnicodeDecodeError:
        raise HostileFileError(
            f"The text is not valid {shown}: save the sheet as CSV (UTF-8)."
        ) from None
    if "\0" in text:
        raise HostileFileError("This is not a text file: save the sheet as CSV (UTF-8).")
    return text


def _delimiter_of(text: str) -> tuple[str, str]:
    """The text without a ``sep=`` line, and the delimiter that splits its header the most."""
    first, _, rest = text.partition("\n")
    if first.strip().lower()[:4] == "sep=" and first.strip()[4:] in DELIMITERS:
        return "\n" + rest, first.strip()[4:]
    header = next((line for line in StringIO(text, newline="") if line.strip()), "")
    return text, max(DELIMITERS, key=lambda mark: _fields(header[:_HEADER_CHARS], mark))


def _fields(line: str, delimiter: str) -> int:
    try:
        return max((len(row) for row in csv.reader([line], delimiter=delimiter)), default=0)
    except csv.Error:  # a field too long to be one: not this delimiter
        return 0


def _rows(text: str, delimiter: str) -> Iterator[RawRow]:
    budget = CellBudget()
    lines = csv.reader(StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        for number, fields in enumerate(lines, start=1):
            if len(fields) > MAX_COLUMNS:
                raise HostileFileError(
                    f"Row {number} has {len(fields):,} cells, more than any sheet of this house: "
                    "look for a missing line end."
                )
            cells = {at: _cell(field.strip()) for at, field in enumerate(fields) if field.strip()}
            for cell in cells.values():
                budget.spend(cell.text)
            if cells:
                yield RawRow(number, cells)
    except csv.Error as error:
        raise HostileFileError(
            f"Line {lines.line_num} cannot be split into cells ({error}): look for a quotation "
            "mark that is opened and never closed, from there upwards."
        ) from None


def _cell(text: str) -> Cell:
    if text[:1] == "'" and text[1:2] in FORMULA_STARTS:
        text = text[1:]  # the mark that export puts before texts a spreadsheet would calculate
    if len(text) > MAX_CELL_CHARS:
        return Cell(text[:40] + "…", CellKind.TOO_LONG)
    return Cell(text)
