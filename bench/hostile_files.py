"""Files that mean harm, made small on the spot; the suite and the benchmark refuse them all."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from io import BytesIO

from openpyxl import Workbook

from heftwright.imports.hardening import UploadedFile

_BOOK = "xl/workbook.xml"
_SHEET = "xl/worksheets/sheet1.xml"
_DTD = (
    b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">'
    b'<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]><worksheet><sheetData><row r="1"><c r="A1" '
    b't="inlineStr"><is><t>&c;</t></is></c></row></sheetData></worksheet>'
)
_OUTSIDE = (
    b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]><worksheet>'
    b'<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>&a;</t></is></c></row></sheetData>'
    b"</worksheet>"
)


def good_workbook() -> bytes:
    """A workbook with one athlete."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Squad"
    sheet.append(["Number", "Name", "Sex"])
    sheet.append([7, "Robin Example", "woman"])
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def with_part(
    name: str, part: bytes, *, level: int = 9, more: dict[str, bytes] | None = None
) -> bytes:
    """The good workbook with one part replaced, and others added."""
    out = BytesIO()
    with (
        zipfile.ZipFile(BytesIO(good_workbook())) as source,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=level) as target,
    ):
        for entry in source.namelist():
            if entry != name:
                target.writestr(entry, source.read(entry))
        target.writestr(name, part)
        for other, content in (more or {}).items():
            target.writestr(other, content)
    return out.getvalue()


def lying_sizes(content: bytes, name: str) -> bytes:
    """The archive with a declared inflated size of 100 bytes for one part."""
    told = bytearray(content)
    with zipfile.ZipFile(BytesIO(content)) as archive:
        entry = archive.getinfo(name)
    size = entry.file_size.to_bytes(4, "little")
    at = told.find(size, told.rfind(b"PK\x01\x02", 0, told.rfind(name.encode())))
    told[at : at + 4] = (100).to_bytes(4, "little")
    return bytes(told)


def _rows(count: int, cell: bytes) -> bytes:
    row = b"<row>" + cell * 10 + b"</row>"
    return b"<worksheet><sheetData>" + row * count + b"</sheetData></worksheet>"


def hostile_files() -> Iterator[UploadedFile]:
    """Zip bombs, entity bombs, macros, wrong magic, nests, floods, huge declarations."""
    bomb = b"<worksheet>" + b" " * 60_000_000 + b"</worksheet>"
    noise = _rows(50_000, b'<c t="inlineStr"><is><t>abcdefghijklmno%d</t></is></c>')
    deep = b"<a>" * 400_000
    yield UploadedFile("bomb-ratio.xlsx", with_part(_SHEET, bomb))
    yield UploadedFile("bomb-lying.xlsx", lying_sizes(with_part(_SHEET, bomb), _SHEET))
    yield UploadedFile("bomb-aside.xlsx", with_part("xl/media/a.bin", b"\0" * 60_000_000))
    yield UploadedFile("entities.xlsx", with_part(_SHEET, _DTD))
    yield UploadedFile("outside-entity.xlsx", with_part(_SHEET, _OUTSIDE))
    yield UploadedFile("flood-of-cells.xlsx", with_part(_SHEET, noise, level=1))
    yield UploadedFile("deep.xlsx", with_part(_SHEET, deep, level=1))
    yield UploadedFile("macros.xlsx", with_part("xl/vbaProject.bin", b"\xd0\xcf\x11\xe0"))
    yield UploadedFile("nest.xlsx", with_part("xl/inner.zip", good_workbook()))
    yield UploadedFile("embedded.xlsx", with_part("xl/embeddings/a.docx", good_workbook()))
    parts = {f"xl/p{at}.xml": b"<a/>" for at in range(300)}
    yield UploadedFile("many-parts.xlsx", with_part(_BOOK, b"<workbook/>", more=parts))
    yield UploadedFile("shared-flood.xlsx", _shared_flood())
    yield UploadedFile(
        "no-such-string.xlsx", with_part(_SHEET, _rows(1, b'<c t="s"><v>99</v></c>'))
    )
    yield UploadedFile("flood-of-tags.xlsx", with_part(_SHEET, _tags(), level=1))
    yield UploadedFile("too-large.csv", b"Name,Sex\n" + b"x,y\n" * 2_000_000)
    yield UploadedFile("wrong-magic.xlsx", b"Name,Sex\nRobin,woman\n")
    yield UploadedFile("zip-as.csv", good_workbook())
    yield UploadedFile("old.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")
    yield UploadedFile("locked.xlsx", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")
    yield UploadedFile("picture.csv", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR")
    yield UploadedFile("zeros.csv", b"Name,Sex\n\0\0\0\0\0\0\n")
    yield UploadedFile("open-quote.csv", b'Name,Sex\n"Robin,woman\n' * 2_000)
    yield UploadedFile("wide.csv", b"Name," * 300_000)
    yield UploadedFile("empty.csv", b"\xef\xbb\xbf\r\n")
    yield UploadedFile("../../etc/passwd", b"root:x")
    yield UploadedFile("cut.xlsx", good_workbook()[:900])


def _tags() -> bytes:
    """A million and a half empty rows; numbered, so that they pass the ratio."""
    rows = b"".join(b'<row r="%d"/>' % at for at in range(1_500_000))
    return b"<worksheet><sheetData>" + rows + b"</sheetData></worksheet>"


def _shared_flood() -> bytes:
    """One long text that 100,000 cells point to."""
    strings = b"<sst><si><t>" + b"x" * 1_900 + b"</t></si></sst>"
    cells = _rows(10_000, b'<c t="s"><v>0</v></c>')
    return with_part(_SHEET, cells, level=1, more={"xl/sharedStrings.xml": strings})
