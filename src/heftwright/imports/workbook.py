"""XLSX files, read cell by cell with what each cell is (ECMA-376 part 1, SpreadsheetML).

The house's own small reader rather than a library's, because a number door must know what
libraries hide: a percent format, a formula that was never calculated, an error value. It streams,
believes no declared size or dimension, and takes no DTD. Tests compare it with two libraries.
"""

from __future__ import annotations

import re
import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from io import BytesIO
from typing import Any
from xml.sax import SAXException

from defusedxml.common import DefusedXmlException
from defusedxml.sax import make_parser

from heftwright.imports.cells import Cell, CellKind, RawFile, RawRow, RawSheet, number_text
from heftwright.imports.limits import (
    MAX_CELL_CHARS,
    MAX_ENTRIES,
    MAX_INFLATED_BYTES,
    MAX_MERGED,
    MAX_RATIO,
    MAX_TAGS,
    TOO_MANY_CELLS,
    CellBudget,
    HostileFileError,
)
from heftwright.imports.workbook_parts import Book, Handler, Strings, Styles, Targets

_DAMAGE = (
    zipfile.BadZipFile, zlib.error, struct.error, EOFError, OSError, LookupError, ValueError,
    OverflowError, NotImplementedError, RuntimeError,
)  # fmt: skip
_TOO_MUCH = (
    f"The workbook unpacks to more than {MAX_INFLATED_BYTES // 2**20} MB: delete what is not "
    "needed, or save single sheets as CSV."
)
_CHUNK = 64 * 1024
_NESTED = (".zip", ".xlsx", ".xlsm", ".xls", ".docx", ".jar", ".7z", ".gz", ".rar")
_REFERENCE = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")  # ECMA-376 part 1, 22.9.2.19
_NO_LEAP_DAY_1900 = 60


def read_workbook(content: bytes) -> RawFile:
    """Read every sheet of an XLSX workbook.

    Parameters
    ----------
    content : bytes
        The file; at most 50 MB inflated [counted while streaming], 200 entries, ratio 200:1.

    Raises
    ------
    HostileFileError
        If it is no XLSX workbook, carries macros or other archives, or passes a limit.
    """
    try:
        with zipfile.ZipFile(BytesIO(content)) as archive:
            return _Package(archive).read()
    except HostileFileError:
        raise
    except (DefusedXmlException, SAXException, UnicodeError) as error:
        raise HostileFileError(
            "The workbook holds XML that a spreadsheet program does not write: save it again as "
            ".xlsx."
        ) from error
    except _DAMAGE as error:
        raise HostileFileError(
            "The workbook is damaged or protected by a password: open it in your spreadsheet "
            "program and save it again as .xlsx."
        ) from error


@dataclass(slots=True)
class _Package:
    """The archive and what is shared by its sheets."""

    archive: zipfile.ZipFile
    budget: CellBudget = field(default_factory=CellBudget)

    def __post_init__(self) -> None:
        _check_entries(self.archive.infolist())
        self._check_markup()

    def _check_markup(self) -> None:
        """Unpack every XML part once, counting bytes and tags, before a parser sees any of it."""
        inflated = tags = 0
        for entry in self.archive.infolist():
            for chunk in self._chunks(entry.filename):
                inflated += len(chunk)
                tags += chunk.count(b"<")
                if inflated > MAX_INFLATED_BYTES:
                    raise HostileFileError(_TOO_MUCH)
                if tags > MAX_TAGS:
                    raise HostileFileError(TOO_MANY_CELLS)

    def _chunks(self, name: str) -> Iterator[bytes]:
        if not name.casefold().endswith((".xml", ".rels")):
            return
        with closing(self.archive.open(name)) as stream:
            while chunk := stream.read(_CHUNK):
                yield chunk

    def read(self) -> RawFile:
        book = Book()
        self._parse("xl/workbook.xml", book)
        targets = Targets()
        self._parse("xl/_rels/workbook.xml.rels", targets)
        styles = Styles()
        self._parse("xl/styles.xml", styles, is_optional=True)
        strings = Strings()
        self._parse("xl/sharedStrings.xml", strings, is_optional=True)
        shared = _Shared(strings.found, styles.kinds(), book.epoch, self.budget)
        return RawFile(tuple(self._sheets(book, targets, shared)))

    def _sheets(self, book: Book, targets: Targets, shared: _Shared) -> Iterator[RawSheet]:
        for name, link, is_hidden in book.sheets:
            target = targets.found.get(link, "")
            if "worksheets/" not in target:
                continue  # a chart sheet or dialogue sheet has no cells
            grid = _Grid(shared)
            self._parse(target, grid)
            yield RawSheet(name, tuple(grid.rows()), tuple(grid.merged), is_hidden)

    def _parse(self, name: str, handler: Handler, *, is_optional: bool = False) -> None:
        if is_optional and name not in self.archive.namelist():
            return
        parser = make_parser()
        parser.forbid_dtd = True
        parser.setContentHandler(handler)
        for chunk in self._chunks(name):
            parser.feed(chunk)
        parser.close()


def _check_entries(entries: list[zipfile.ZipInfo]) -> None:
    names = [entry.filename for entry in entries]
    if len(names) > MAX_ENTRIES or len(set(names)) != len(names):
        raise HostileFileError(
            f"The workbook has more than {MAX_ENTRIES} parts, or one part twice: copy the sheets "
            "into a new workbook and save that."
        )
    if any("vbaproject" in name.casefold() or "macrosheets" in name.casefold() for name in names):
        raise HostileFileError("The workbook carries macros: save it as .xlsx without macros.")
    if any(name.casefold().endswith(_NESTED) or "embeddings/" in name for name in names):
        raise HostileFileError(
            "The workbook carries other files inside: delete them and save it again."
        )
    for entry in entries:
        if entry.file_size > MAX_RATIO * max(entry.compress_size, 1):
            raise HostileFileError(
                f"A part of the workbook is packed tighter than {MAX_RATIO}:1, which no ordinary "
                "sheet is: copy the rows into a new workbook."
            )
    if sum(entry.file_size for entry in entries) > MAX_INFLATED_BYTES:
        raise HostileFileError(_TOO_MUCH)


@dataclass(frozen=True, slots=True)
class _Shared:
    strings: list[str]
    kinds: list[CellKind]
    epoch: date
    budget: CellBudget


class _Grid(Handler):
    """The cells of one sheet; only filled ones take room, whatever the sheet declares."""

    def __init__(self, shared: _Shared) -> None:
        super().__init__()
        self._shared = shared
        self._found: dict[int, dict[int, Cell]] = {}
        self.merged: list[str] = []
        self._row = 0
        self._column = -1
        self._type = ""
        self._style = ""
        self._parts: list[str] = []
        self._is_value = False
        self._has_formula = False

    def rows(self) -> Iterator[RawRow]:
        """Rows that are not blank, in order."""
        for number in sorted(self._found):
            yield RawRow(number, dict(sorted(self._found[number].items())))

    def opens(self, tag: str, attrs: Any) -> None:
        if tag == "c":
            self._open_cell(attrs)
        elif tag in ("v", "t"):
            self._is_value = True
        elif tag == "f":
            self._has_formula = True
        elif tag == "row":
            self._row = _whole(attrs.get("r", "")) or self._row + 1
            self._column = -1
        elif tag == "mergeCell" and len(self.merged) < MAX_MERGED:
            self.merged.append(attrs.get("ref", ""))

    def _open_cell(self, attrs: Any) -> None:
        match = _REFERENCE.fullmatch(attrs.get("r", ""))
        if match:
            self._column = _column_index(match[1])
            self._row = int(match[2])
        else:
            self._column += 1
        self._type = attrs.get("t", "n")
        self._style = attrs.get("s", "")
        self._parts = []
        self._has_formula = False

    def characters(self, content: str) -> None:
        if self._is_value:
            self._parts.append(content)

    def closes(self, tag: str) -> None:
        if tag in ("v", "t"):
            self._is_value = False
        elif tag == "c":
            self._close_cell()

    def _close_cell(self) -> None:
        cell = self._cell("".join(self._parts))
        if cell is None:
            return
        self._shared.budget.spend(cell.text)
        row = self._found.setdefault(self._row, {})
        if self._column in row:
            raise HostileFileError(
                f"Row {self._row} of the workbook has one cell twice: save it again as .xlsx."
            )
        row[self._column] = cell

    def _cell(self, text: str) -> Cell | None:
        if self._has_formula and not text:
            return Cell("a formula", CellKind.UNCALCULATED)
        if self._type == "s":
            text = self._shared_string(text) if text else ""
        if self._type in ("s", "str", "inlineStr"):
            return _text_cell(_ESCAPED.sub(_unescaped, text).strip())
        if not text:
            return None
        if self._type == "b":
            return Cell("yes" if text == "1" else "no", CellKind.YES_NO)
        if self._type == "e":
            return Cell(text[:40], CellKind.ERROR)
        if self._type == "d":
            return _iso_cell(text)
        return self._number(text)

    def _shared_string(self, text: str) -> str:
        strings = self._shared.strings
        if not text.isdecimal() or len(text) > 7 or int(text) >= len(strings):
            raise HostileFileError(
                f"Row {self._row} of the workbook names a text that is not in it: save it again "
                "as .xlsx."
            )
        return strings[int(text)]

    def _number(self, text: str) -> Cell:
        try:
            value = float(text)
        except ValueError:
            return Cell(text[:40], CellKind.ERROR)
        kinds = self._shared.kinds
        style = _whole(self._style)
        kind = kinds[style] if style < len(kinds) else CellKind.NUMBER
        if kind is CellKind.PERCENT:
            return Cell(f"{number_text(round(value * 100, 9))}%", CellKind.PERCENT)
        if kind is CellKind.DATE:
            return _serial_cell(value, self._shared.epoch)
        return Cell(number_text(value), CellKind.NUMBER)


def _unescaped(match: re.Match[str]) -> str:
    return chr(int(match[1], 16))


def _text_cell(text: str) -> Cell | None:
    if len(text) > MAX_CELL_CHARS:
        return Cell(text[:40] + "…", CellKind.TOO_LONG)
    return Cell(text) if text else None


def _iso_cell(text: str) -> Cell:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return Cell(text[:40], CellKind.ERROR)
    return _moment_cell(moment)


def _moment_cell(moment: datetime) -> Cell:
    if moment.time() == time():
        return Cell(moment.date().isoformat(), CellKind.DATE)
    return Cell(moment.isoformat(), CellKind.DATE)


def _serial_cell(serial: float, epoch: date) -> Cell:
    """A spreadsheet's day count as a date or a time of day; day 60 of 1900 never was."""
    shown = number_text(serial)
    if not 0 <= serial < 2_958_466:
        return Cell(f"{shown} shown as a date", CellKind.ERROR)
    seconds = serial * 86_400
    if abs(seconds - round(seconds)) > 1e-3 * max(1.0, serial / 1000):
        return Cell(f"{shown} shown as a date", CellKind.ERROR)
    moment = datetime.combine(epoch, time()) + timedelta(seconds=round(seconds))
    if serial < 1:
        return Cell(moment.time().isoformat(), CellKind.TIME)
    if epoch.year < 1900 and serial <= _NO_LEAP_DAY_1900:
        return Cell(f"{shown} shown as a date", CellKind.ERROR)
    return _moment_cell(moment)


@lru_cache(maxsize=1024)
def _column_index(letters: str) -> int:
    index = 0
    for letter in letters:
        index = index * 26 + ord(letter) - ord("A") + 1
    return index - 1


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= 9 else 0
