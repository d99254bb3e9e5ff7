"""The parts of a workbook beside its sheets: names, relations, number formats, shared strings."""

from __future__ import annotations

import re
from datetime import date
from typing import Any
from xml.sax.handler import ContentHandler

from heftwright.imports.cells import CellKind
from heftwright.imports.limits import MAX_XML_DEPTH, HostileFileError

# ECMA-376 part 1, 18.8.30: the built-in formats that show a date or a percentage.
_DATE_FORMATS = frozenset((*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)))
_PERCENT_FORMATS = frozenset((9, 10))
_NOT_A_CODE = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?!h+\]|m+\]|s+\])[^\]]*\]', re.IGNORECASE)


class Handler(ContentHandler):
    """Counts depth, strips name-space prefixes."""

    def __init__(self) -> None:
        super().__init__()
        self.depth = 0

    def startElement(self, name: str, attrs: Any) -> None:  # noqa: N802 - SAX's name
        self.depth += 1
        if self.depth > MAX_XML_DEPTH:
            raise HostileFileError(
                "The workbook's XML is nested deeper than any sheet's: save it again as .xlsx."
            )
        self.opens(name.rpartition(":")[2], attrs)

    def endElement(self, name: str) -> None:  # noqa: N802 - SAX's name
        self.depth -= 1
        self.closes(name.rpartition(":")[2])

    def opens(self, tag: str, attrs: Any) -> None:
        """Called at a start tag."""

    def closes(self, tag: str) -> None:
        """Called at an end tag."""


class Book(Handler):
    """Sheets in their order: name, relation, whether hidden."""

    def __init__(self) -> None:
        super().__init__()
        self.sheets: list[tuple[str, str, bool]] = []
        self.epoch = date(1899, 12, 30)

    def opens(self, tag: str, attrs: Any) -> None:
        if tag == "workbookPr" and attrs.get("date1904") in ("1", "true"):
            self.epoch = date(1904, 1, 1)
        elif tag == "sheet":
            link = next((attrs[key] for key in attrs.keys() if key.endswith(":id")), "")  # noqa: SIM118 - SAX attributes are no dict
            is_hidden = attrs.get("state", "visible") != "visible"
            self.sheets.append((attrs.get("name", ""), link, is_hidden))


class Targets(Handler):
    """Relation -> part of the archive."""

    def __init__(self) -> None:
        super().__init__()
        self.found: dict[str, str] = {}

    def opens(self, tag: str, attrs: Any) -> None:
        if tag == "Relationship" and attrs.get("TargetMode") != "External":
            target = attrs.get("Target", "")
            path = target.removeprefix("/") if target.startswith("/") else f"xl/{target}"
            self.found[attrs.get("Id", "")] = path


class Styles(Handler):
    """Which cell formats show a date or a percentage."""

    def __init__(self) -> None:
        super().__init__()
        self._codes: dict[str, str] = {}
        self._formats: list[str] = []
        self._is_in_cell_formats = False

    def opens(self, tag: str, attrs: Any) -> None:
        if tag == "numFmt":
            self._codes[attrs.get("numFmtId", "")] = attrs.get("formatCode", "")
        elif tag == "cellXfs":
            self._is_in_cell_formats = True
        elif tag == "xf" and self._is_in_cell_formats:
            self._formats.append(attrs.get("numFmtId", "0"))

    def closes(self, tag: str) -> None:
        if tag == "cellXfs":
            self._is_in_cell_formats = False

    def kinds(self) -> list[CellKind]:
        """What a number is under each cell format."""
        return [self._kind(number) for number in self._formats]

    def _kind(self, number: str) -> CellKind:
        code = _NOT_A_CODE.sub("", self._codes.get(number, ""))
        identity = int(number) if number.isdecimal() else 0
        if "%" in code or (not code and identity in _PERCENT_FORMATS):
            return CellKind.PERCENT
        is_date = bool(re.search("[dmyhs]", code, re.IGNORECASE)) and "general" not in code.lower()
        if is_date or (not code and identity in _DATE_FORMATS):
            return CellKind.DATE
        return CellKind.NUMBER


class Strings(Handler):
    """The shared strings, phonetic runs left out."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._parts: list[str] = []
        self._is_text = False
        self._is_phonetic = False

    def opens(self, tag: str, attrs: Any) -> None:  # noqa: ARG002 - the handler's shape
        if tag == "si":
            self._parts = []
        elif tag == "rPh":
            self._is_phonetic = True
        elif tag == "t":
            self._is_text = not self._is_phonetic

    def characters(self, content: str) -> None:
        if self._is_text:
            self._parts.append(content)

    def closes(self, tag: str) -> None:
        if tag == "si":
            self.found.append("".join(self._parts))
        elif tag == "rPh":
            self._is_phonetic = False
        elif tag == "t":
            self._is_text = False
