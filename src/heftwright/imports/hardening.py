"""The guarded way into an upload: limits, magic, and a child process that does the parsing."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import dataclass
from pathlib import PurePosixPath

from heftwright.domain.refusal import Refusal
from heftwright.imports.cells import RawFile, from_document
from heftwright.imports.limits import CHILD_SECONDS, MAX_FILE_BYTES

_ZIP_MAGIC = b"PK\x03\x04"
_WRONG_KINDS = {
    ".xls": "an old .xls workbook",
    ".xlsm": "a workbook with macros",
    ".xlsb": "a binary workbook",
    ".ods": "an OpenDocument sheet",
}


class FileRefusedError(Refusal):
    """A file that is not read at all: too large, not what its name says, or hostile."""


@dataclass(frozen=True, slots=True)
class UploadedFile:
    """A file as it arrived.

    Parameters
    ----------
    name : str
        Its name, for messages and to tell CSV from XLSX; never used as a path.
    content : bytes
        All of it, ≤ 5 MB.
    """

    name: str
    content: bytes

    @property
    def stem(self) -> str:
        """The name without folder and ending."""
        return PurePosixPath(self.name.replace("\\", "/")).stem

    @property
    def ending(self) -> str:
        """``.csv``, ``.xlsx`` …, lower case."""
        return PurePosixPath(self.name.replace("\\", "/")).suffix.lower()


def kind_of(file: UploadedFile) -> str:
    """``csv`` or ``xlsx``.

    Raises
    ------
    FileRefusedError
        If the size, the name's ending or the first bytes rule the file out.
    """
    if len(file.content) > MAX_FILE_BYTES:
        raise FileRefusedError(
            f"“{file.name}” is larger than {MAX_FILE_BYTES // 2**20} MB: split it."
        )
    if not file.content.strip(b"\xef\xbb\xbf\xff\xfe \r\n\t\0"):
        raise FileRefusedError(f"“{file.name}” is empty: there is nothing to import.")
    if file.ending in _WRONG_KINDS:
        raise FileRefusedError(
            f"“{file.name}” is {_WRONG_KINDS[file.ending]}: save it as .xlsx or CSV."
        )
    if file.ending == ".xlsx":
        return _checked_workbook(file)
    if file.ending in (".csv", ".tsv", ".txt"):
        return "csv"
    raise FileRefusedError(f"“{file.name}” is neither .csv nor .xlsx: save the sheet as one.")


def _checked_workbook(file: UploadedFile) -> str:
    if not file.content.startswith(_ZIP_MAGIC):
        raise FileRefusedError(
            f"“{file.name}” is no .xlsx workbook inside, or it is protected by a password: open "
            "it in your spreadsheet program and save it as .xlsx."
        )
    return "xlsx"


def read_guarded(file: UploadedFile) -> RawFile:
    """Parse a file in a child process with 256 MB and 10 s.

    Raises
    ------
    FileRefusedError
        If the file is refused, crashes the parser or passes a limit.
    """
    kind = kind_of(file)
    command = [sys.executable, "-I", "-m", "heftwright.imports.child", kind]
    try:
        done = subprocess.run(  # noqa: S603 - our own interpreter and module, no word of the file
            command, input=file.content, capture_output=True, timeout=CHILD_SECONDS, check=False
        )
    except subprocess.TimeoutExpired:
        raise FileRefusedError(
            f"“{file.name}” took longer than {CHILD_SECONDS} s to read: split it."
        ) from None
    return _understood(file, done)


def _understood(file: UploadedFile, done: subprocess.CompletedProcess[bytes]) -> RawFile:
    if done.returncode != 0:
        raise FileRefusedError(
            f"“{file.name}” could not be read safely: save it again, or send it as CSV."
        )
    document = json.loads(done.stdout)
    if "refused" in document:
        raise FileRefusedError(f"“{file.name}”: {document['refused']}")
    return from_document(document["file"])
