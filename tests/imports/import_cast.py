"""The gym that the import tests read files against, and small ways to make files."""

import csv
from datetime import date
from io import BytesIO, StringIO

from openpyxl import Workbook

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.imports.cells import from_document
from heftwright.imports.child import answer
from heftwright.imports.hardening import FileRefusedError, UploadedFile, kind_of
from heftwright.imports.preview import KnownGym, read_files

TODAY = date(2026, 11, 25)
ROBIN = Athlete(
    AthleteId("a-robin"), "Robin Example", 7, Sex.WOMAN, date(1996, 4, 23), Mass.kg("82.5"),
    Length.cm(178),
)  # fmt: skip
KIM = Athlete(AthleteId("a-kim"), "Kim Probe", 8, Sex.MAN, None, Mass.kg(98), Length.cm(185))
LOU = Athlete(AthleteId("a-lou"), "Lou Sample", 9, Sex.MAN, None, Mass.kg(110), Length.cm(190))
MAXES = {(ROBIN.id, LiftKey("deadlift")): Mass.kg(215), (KIM.id, LiftKey("bench")): Mass.kg(130)}
GYM = KnownGym(TODAY, athletes=(ROBIN, KIM, LOU), maxes=MAXES)
NEW_GYM = KnownGym(TODAY)


def csv_file(name, *rows, delimiter=",", encoding="utf-8"):
    """A CSV upload of rows of cells."""
    out = StringIO(newline="")
    csv.writer(out, delimiter=delimiter).writerows(rows)
    return UploadedFile(name, out.getvalue().encode(encoding))


def xlsx_file(sheets, name="gym.xlsx", change=None):
    """An XLSX upload: sheet title -> rows; ``change(book)`` may format cells."""
    book = Workbook()
    del book["Sheet"]
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    if change:
        change(book)
    out = BytesIO()
    book.save(out)
    return UploadedFile(name, out.getvalue())


def in_process(file):
    """The cells of a file without a child process."""
    document = answer(kind_of(file), file.content)
    if "refused" in document:
        raise FileRefusedError(str(document["refused"]))
    return from_document(document["file"])


def preview_of(*files, known=GYM, answers=None):
    """A preview without child processes."""
    return read_files(files, known=known, answers=answers, read=in_process)


def max_preview(*rows, header=("Athlete", "Lift", "Max (kg)", "Date"), known=GYM, answers=None):
    """A preview of a Maxes file."""
    return preview_of(csv_file("maxes.csv", header, *rows), known=known, answers=answers)


def sentences(preview):
    """The sentences of all problems."""
    return [problem.sentence for problem in preview.problems]
