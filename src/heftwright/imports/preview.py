"""The preview: what is in the files, what is wrong, what must be asked. Nothing is saved here."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from heftwright.domain.catalogue import Catalogue
from heftwright.domain.squad import Athlete
from heftwright.imports.cells import RawFile, RawSheet
from heftwright.imports.columns import SheetSpec, plain
from heftwright.imports.contest_rows import read_contests
from heftwright.imports.findings import (
    Choice,
    Findings,
    Place,
    Problem,
    Question,
    SkippedColumn,
    WaitingError,
)
from heftwright.imports.gym import Gym
from heftwright.imports.hardening import FileRefusedError, UploadedFile, read_guarded
from heftwright.imports.headers import has_required, header_row
from heftwright.imports.max_rows import read_maxes
from heftwright.imports.records import ImportRecords, KnownGym
from heftwright.imports.rows import ParsedRow, read_rows
from heftwright.imports.sheets import MAXES, SHEETS, sheet_named
from heftwright.imports.squad_rows import SquadReader
from heftwright.imports.stock_rows import read_stock
from heftwright.imports.tally import Tally, tallies
from heftwright.imports.timetable_rows import read_timetable, with_members
from heftwright.imports.undated import is_undated, with_day
from heftwright.imports.wave_rows import read_waves
from heftwright.imports.wide_maxes import read_wide, wide_header
from heftwright.imports.witnesses import Witness, witnesses

__all__ = [
    "FileNote",
    "ImportRecords",
    "KnownGym",
    "Preview",
    "Problem",
    "Question",
    "SheetCount",
    "SkippedColumn",
    "UploadedFile",
    "Witness",
    "read_files",
]

NOTES_TITLE = "Notes"
_SKIP = Choice("skip", "none of them: do not read it")
_DELIMITER_WORDS = {",": "commas", ";": "semicolons", "\t": "tabs"}


@dataclass(frozen=True, slots=True)
class FileNote:
    """How a file was read: ``encoding`` and ``delimiter`` of a CSV, and sheets left unread."""

    file: str
    encoding: str = ""
    delimiter: str = ""
    unread: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetCount:
    """Rows of a sheet: good, left out because of a problem, waiting for an answer."""

    file: str
    sheet: str
    read_as: str
    good: int
    left_out: int
    waiting: int


@dataclass(frozen=True, slots=True)
class Preview:
    """All that the coach sees before saying yes.

    Parameters
    ----------
    records : ImportRecords
        What accepting would save.
    problems : tuple of Problem
        In file order; blocking ones left their row, sheet or file out.
    questions : tuple of Question
        To be answered in a new preview; their rows wait.
    skipped : tuple of SkippedColumn
        Columns with unknown headers.
    witnesses : tuple of Witness
        Up to three known athletes before and after: swapped columns show here.
    counts : tuple of SheetCount
        By file and sheet.
    files : tuple of FileNote
        How each file was read.
    unused_answers : tuple of str
        Keys of answers that no question of these files takes.
    tallies : tuple of Tally
        By kind of record: new, changed, known already.
    """

    records: ImportRecords
    problems: tuple[Problem, ...] = ()
    questions: tuple[Question, ...] = ()
    skipped: tuple[SkippedColumn, ...] = ()
    witnesses: tuple[Witness, ...] = ()
    counts: tuple[SheetCount, ...] = ()
    files: tuple[FileNote, ...] = ()
    unused_answers: tuple[str, ...] = ()
    tallies: tuple[Tally, ...] = ()

    @property
    def has_something_to_save(self) -> bool:
        """Whether accepting would change anything."""
        return self.to_save > 0

    @property
    def to_save(self) -> int:
        """How many records accepting would add or change."""
        return sum(tally.count for tally in self.tallies)

    @property
    def is_known(self) -> bool:
        """Whether every row was read and the gym has all of it; what is only noted is no matter."""
        is_open = self.questions or any(problem.is_blocking for problem in self.problems)
        return self.records.count > 0 and not self.has_something_to_save and not is_open


def read_files(
    files: Sequence[UploadedFile],
    *,
    known: KnownGym,
    answers: Mapping[str, str] | None = None,
    read: Callable[[UploadedFile], RawFile] = read_guarded,
) -> Preview:
    """Read uploads into a preview; nothing outside it changes.

    Parameters
    ----------
    files : sequence of UploadedFile
        CSV or XLSX, read as one: an athlete of one may be named in another.
    known : KnownGym
        What the gym has on record.
    answers : Mapping
        Question key -> chosen value, from the questions of an earlier preview.
    read : callable
        Bytes to cells; guarded by a child process unless a test says otherwise.

    Returns
    -------
    Preview
        Good rows as records; every other row named by a problem or held by a question.
    """
    door = _Door(known.today, known.catalogue, Findings(answers or {}), read)
    for file in files:
        door.take(file)
    return door.preview(known)


@dataclass(slots=True)
class _Door:
    """Files come in, rows by sheet come out."""

    today: date
    catalogue: Catalogue
    findings: Findings
    read: Callable[[UploadedFile], RawFile]
    rows: dict[str, list[ParsedRow]] = field(default_factory=dict)
    sheets: list[tuple[Place, SheetSpec, list[ParsedRow]]] = field(default_factory=list)
    notes: list[FileNote] = field(default_factory=list)

    def take(self, file: UploadedFile) -> None:
        """Read one file; a refused one is named."""
        place = Place(file.name)
        if file.name in {note.file for note in self.notes}:
            self.findings.name(place, "", f"“{file.name}” came twice: only the first is read.")
            return
        try:
            raw = self.read(file)
        except FileRefusedError as error:
            self.notes.append(FileNote(file.name))
            self.findings.name(place, "", str(error))
            return
        unread = [sheet.name for sheet in raw.sheets if not self._take_sheet(file, sheet)]
        delimiter = _DELIMITER_WORDS.get(raw.delimiter, "")
        self.notes.append(FileNote(file.name, raw.encoding, delimiter, tuple(unread)))

    def _take_sheet(self, file: UploadedFile, raw: RawSheet) -> bool:
        place = Place(file.name, raw.name.strip() or file.stem)
        if plain(raw.name) == plain(NOTES_TITLE) or not raw.rows:
            return False
        if raw.is_hidden:
            sentence = "The sheet is hidden and is not read: unhide it to import it."
            self.findings.name(place, "", sentence, is_blocking=False)
            return False
        spec = sheet_named(place.sheet) or self._sheet_by_columns(raw, place)
        if spec is None:
            return False
        rows = self._read_rows(raw, spec, place)
        self.rows.setdefault(spec.key, []).extend(rows)
        self.sheets.append((place, spec, rows))
        return True

    def _read_rows(self, raw: RawSheet, spec: SheetSpec, place: Place) -> list[ParsedRow]:
        if spec is MAXES and is_undated(raw):
            return self._undated_rows(raw, place)
        if spec is MAXES and wide_header(raw, self.catalogue):
            return read_wide(raw, place, self.findings, self.today, self.catalogue)
        return read_rows(raw, spec, place, self.findings, self.today)

    def _undated_rows(self, raw: RawSheet, place: Place) -> list[ParsedRow]:
        dated, waits = with_day(raw, place, self.findings, self.today)
        rows = self._read_rows(dated, MAXES, place)
        for row in rows:
            row.is_undated = True
            row.is_waiting |= waits
        return rows

    def _sheet_by_columns(self, raw: RawSheet, place: Place) -> SheetSpec | None:
        fitting = [sheet for sheet in SHEETS if has_required(raw, sheet)]
        named = {sheet.key: header_row(raw, sheet)[1] for sheet in fitting}
        best = [sheet for sheet in fitting if named[sheet.key] == max(named.values())]
        if len(best) == 1:
            sentence = f"“{place.sheet}” is read as {best[0].title}, by its columns."
            self.findings.name(place, "", sentence, is_blocking=False)
            return best[0]
        return self._asked_sheet(raw, place)

    def _asked_sheet(self, raw: RawSheet, place: Place) -> SheetSpec | None:
        choices = (*(Choice(sheet.key, sheet.title) for sheet in _likely_sheets(raw)), _SKIP)
        sentence = f"What does the sheet “{place.sheet}” hold?"
        try:
            answer = self.findings.ask(
                f"sheet:{place.file}:{place.sheet}", place, sentence, choices, place.sheet
            )
        except WaitingError:
            return None
        return next((sheet for sheet in SHEETS if sheet.key == answer), None)

    def preview(self, known: KnownGym) -> Preview:
        """Build the records and sum up."""
        gym = Gym(known, self.findings)
        records, changed = self._records(gym)
        findings = self.findings
        return Preview(
            records=records,
            problems=tuple(findings.problems),
            questions=tuple(findings.questions.values()),
            skipped=tuple(findings.skipped),
            witnesses=witnesses(known.athletes, changed, self.rows.get("squad", [])),
            counts=tuple(_count(*sheet) for sheet in self.sheets),
            files=tuple(self.notes),
            tallies=tallies(records, known),
            unused_answers=tuple(key for key in findings.answers if key not in findings.taken),
        )

    def _records(self, gym: Gym) -> tuple[ImportRecords, tuple[Athlete, ...]]:
        squad = SquadReader(gym)
        athletes = squad.read(self.rows.get("squad", []))
        classes = read_timetable(gym, self.rows.get("timetable", []))
        records = ImportRecords(
            athletes=athletes,
            maxes=read_maxes(gym, self.rows.get("maxes", [])),
            stock=read_stock(gym, self.rows),
            contests=read_contests(gym, self.rows),
            classes=with_members(gym, classes, squad.classes_of),
            waves=read_waves(gym, self.rows.get("waves", [])),
            written=tuple(gym.written),
        )
        return records, athletes


def _likely_sheets(raw: RawSheet) -> tuple[SheetSpec, ...]:
    """The sheets whose columns it names, most first; all of them where it names none."""
    named = {sheet.key: header_row(raw, sheet)[1] for sheet in SHEETS}
    likely = [sheet for sheet in SHEETS if named[sheet.key]]
    return tuple(sorted(likely, key=lambda sheet: -named[sheet.key])) or SHEETS


def _count(place: Place, spec: SheetSpec, rows: list[ParsedRow]) -> SheetCount:
    good = sum(row.is_good for row in rows)
    waiting = sum(row.is_waiting and not row.is_out for row in rows)
    left_out = len(rows) - good - waiting
    return SheetCount(place.file, place.sheet, spec.title, good, left_out, waiting)
