"""Files in: a preview that saves nothing, accepting it, and thirty days to take it back."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.squad import AthleteId
from heftwright.imports.cells import RawFile
from heftwright.imports.hardening import FileRefusedError, UploadedFile, read_guarded
from heftwright.imports.preview import Preview, read_files
from heftwright.imports.records import ImportRecords, KnownGym
from heftwright.imports.templates import template_workbook
from heftwright.store import squad_rows
from heftwright.store.coaching_rows import read_waves
from heftwright.store.evidence_rows import keep, read_evidence
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import Gym, ImportBatch
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import ChangedMeanwhileError, change, seen, verb
from heftwright.usecases.contests import get_contests
from heftwright.usecases.maxes import get_beliefs
from heftwright.usecases.permissions import Right, check_may
from heftwright.usecases.squad import check_numbers, get_squad
from heftwright.usecases.stock import get_stock, stock_items
from heftwright.usecases.timetable import get_timetable
from heftwright.usecases.trail import put_back

__all__ = [
    "ImportAcceptError",
    "ImportLine",
    "Preview",
    "UploadedFile",
    "accept_import",
    "get_import_template",
    "get_imports",
    "known_gym",
    "preview_mark",
    "preview_upload",
    "undo_import",
]

UNDO_DAYS = 30
_KIND_WORDS = {
    "athlete": ("athlete", "athletes"),
    "bar": ("bar", "bars"),
    "plate": ("kind of plate", "kinds of plate"),
    "band": ("band", "bands"),
    "chain": ("chain", "chains"),
    "block": ("block", "blocks"),
    "implement": ("implement", "implements"),
    "platform": ("platform", "platforms"),
    "kit": ("piece of kit", "pieces of kit"),
    "class_time": ("class", "classes"),
    "contest": ("contest", "contests"),
    "evidence": ("max or rep set", "maxes and rep sets"),
    "wave": ("wave", "waves"),
}


class ImportAcceptError(Refusal):
    """A preview that cannot be accepted, or an import that cannot be taken back."""


@dataclass(frozen=True, slots=True)
class ImportLine:
    """An accepted import.

    Parameters
    ----------
    key : int
        To take it back by.
    files : tuple of str
        Their names.
    records : int
        How many records it added or changed.
    accepted_at : datetime
        Aware.
    accepted_by : str
        Who.
    undone_at : datetime or None
        When it was taken back.
    can_undo_until : datetime or None
        None when it is too late or done.
    undoing : tuple of str
        What taking it back does: ``"removes 26 athletes"``, ``"sets 3 bars back"``.
    """

    key: int
    files: tuple[str, ...]
    records: int
    accepted_at: datetime
    accepted_by: str
    undone_at: datetime | None
    can_undo_until: datetime | None
    undoing: tuple[str, ...] = ()


def preview_upload(
    *,
    gym: GymKey,
    by: Actor,
    files: Sequence[UploadedFile],
    answers: Mapping[str, str] | None = None,
) -> Preview:
    """Read files against what the gym knows; nothing is saved.

    Raises
    ------
    ForbiddenError
        If they may not import.
    """
    check_may(by, gym, Right.IMPORT)
    return read_files(files, known=known_gym(gym=gym), answers=answers)


def get_import_template(*, gym: GymKey) -> bytes:
    """An XLSX workbook to fill in, in the gym's unit, with an example and notes."""
    return template_workbook(MassUnit(find_gym(gym).unit))


def preview_mark(preview: Preview) -> str:
    """A short mark of what a preview would save: give it back when accepting."""
    return seen(preview.records)


def known_gym(*, gym: GymKey) -> KnownGym:
    """What the gym has on record, against which files are read. Only tested maxes count."""
    beliefs = get_beliefs(gym=gym)
    squad = get_squad(gym=gym)
    maxes: dict[tuple[AthleteId, LiftKey], Mass] = {
        key: Mass.nearest_kg(beliefs[key].median_kg)
        for key in beliefs
        if beliefs[key].last_test is not None
    }
    return KnownGym(
        today=clock.today(gym),
        athletes=squad,
        stock=get_stock(gym=gym),
        contests=get_contests(gym=gym),
        classes=get_timetable(gym=gym).classes,
        maxes=maxes,
        evidence=frozenset(kept.evidence for kept in read_evidence(find_gym(gym))),
        waves=tuple(read_waves(find_gym(gym)).values()),
    )


@verb
def accept_import(
    *,
    gym: GymKey,
    by: Actor,
    files: Sequence[UploadedFile],
    answers: Mapping[str, str] | None = None,
    was_seen: str | None = None,
    leave_waiting_out: bool = False,
) -> ImportLine:
    """Read the same files again and save what is good, with what stood there before.

    Parameters
    ----------
    was_seen : str or None
        ``preview_mark`` of the preview that the coach said yes to.
    leave_waiting_out : bool
        Whether rows whose question is open are left out.

    Raises
    ------
    ChangedMeanwhileError
        If the files or the gym changed after the preview.
    ImportAcceptError
        If questions are open, or there is nothing to save.
    """
    check_may(by, gym, Right.IMPORT)
    parsed = _Parsed(files)  # slow and in another process: not while others wait to write
    with change(gym, by, "accept_import", Right.IMPORT) as trail:
        known = known_gym(gym=gym)
        preview = read_files(files, known=known, answers=answers, read=parsed.read)
        _check_preview(preview, was_seen, leave_waiting_out=leave_waiting_out)
        _check_athletes(trail.gym, preview.records)
        if preview.records.waves:
            check_may(by, gym, Right.EDIT_DOSE)
        for value in _values(preview.records):
            trail.put(value)
        check_numbers(trail.gym)
        before, after = trail.before_and_after()
        row = ImportBatch.objects.create(
            gym=trail.gym,
            files=[_file_document(file) for file in files],
            before=before,
            after=after,
            accepted_by=by.name[:120],
            accepted_at=trail.moment,
        )
        trail.note(f"import/{row.pk}", None, {"files": row.files})
    return _line(row)


def get_imports(*, gym: GymKey) -> tuple[ImportLine, ...]:
    """Accepted imports, latest first."""
    found = ImportBatch.objects.filter(gym=find_gym(gym)).order_by("-pk")
    return tuple(_line(row) for row in found)


@verb
def undo_import(*, gym: GymKey, by: Actor, batch: int) -> None:
    """Put everything back as it stood before an import, within 30 days.

    Raises
    ------
    NotFoundError
        If there is no such import.
    ImportAcceptError
        If it was taken back already, or is older than 30 days.
    UndoError
        If something of it was changed since.
    """
    with change(gym, by, "undo_import", Right.IMPORT) as trail:
        row = ImportBatch.objects.filter(gym=trail.gym, pk=batch).first()
        if row is None:
            raise NotFoundError("There is no such import in this gym: look at the list again.")
        if row.undone_at is not None:
            raise ImportAcceptError("This import was taken back already.")
        if _undo_until(row) is None:
            raise ImportAcceptError(
                f"This import is older than {UNDO_DAYS} days: change its records by hand."
            )
        put_back(trail, row.before, row.after)
        check_numbers(trail.gym)
        row.undone_at = trail.moment
        row.save(update_fields=["undone_at"])
        trail.note(f"import/{batch}", {"undone": False}, {"undone": True})


class _Parsed:
    """The cells of files, or why a file was refused."""

    def __init__(self, files: Sequence[UploadedFile]) -> None:
        self._cells = {file: self._parse(file) for file in files}

    def read(self, file: UploadedFile) -> RawFile:
        cells = self._cells[file]
        if isinstance(cells, FileRefusedError):
            raise cells
        return cells

    @staticmethod
    def _parse(file: UploadedFile) -> RawFile | FileRefusedError:
        try:
            return read_guarded(file)
        except FileRefusedError as error:
            return error


def _check_preview(preview: Preview, was_seen: str | None, *, leave_waiting_out: bool) -> None:
    if was_seen is not None and was_seen != preview_mark(preview):
        raise ChangedMeanwhileError(
            "The gym's records or the files changed after the preview: look at it once more."
        )
    if preview.questions and not leave_waiting_out:
        raise ImportAcceptError(
            f"{len(preview.questions)} questions are open, the first: "
            f"{preview.questions[0].sentence} Answer them, or leave their rows out."
        )
    if preview.is_known:
        raise ImportAcceptError("There is nothing to save: the gym knows all of it already.")
    if not preview.has_something_to_save:
        raise ImportAcceptError(
            "There is nothing to save in these files: see the questions and problems named."
        )


def _check_athletes(gym: Gym, records: ImportRecords) -> None:
    """A key of somebody who left must never become somebody else: their log hangs on it."""
    rows = squad_rows.athlete_rows(gym, {athlete.id for athlete in records.athletes})
    for athlete in records.athletes:
        row = rows.get(athlete.id)
        if row is None or row.removed_at is None:
            continue
        if row.name.casefold() != athlete.name.casefold():
            raise ImportAcceptError(
                f"Number {athlete.number} was {row.name}'s, who left: give {athlete.name} "
                f"another number, so that the two logs stay apart."
            )


def _values(records: ImportRecords) -> Iterator[Any]:
    """Records in the order in which they lean on each other."""
    yield from records.athletes
    yield from stock_items(records.stock)
    yield from records.classes
    yield from records.contests
    yield from (keep(item) for item in records.maxes)
    yield from records.waves


def _file_document(file: UploadedFile) -> dict[str, str]:
    return {"name": file.name, "sha256": hashlib.sha256(file.content).hexdigest()}


def _undo_until(row: ImportBatch) -> datetime | None:
    until = row.accepted_at + timedelta(days=UNDO_DAYS)
    return until if row.undone_at is None and clock.now() <= until else None


def _line(row: ImportBatch) -> ImportLine:
    return ImportLine(
        key=row.pk,
        files=tuple(file["name"] for file in row.files),
        records=len(row.after),
        accepted_at=row.accepted_at,
        accepted_by=row.accepted_by,
        undone_at=row.undone_at,
        can_undo_until=_undo_until(row),
        undoing=tuple(_undoing(row)),
    )


def _undoing(row: ImportBatch) -> Iterator[str]:
    """What `put_back` will do, by kind of record, in the words of a coach."""
    added = [subject for subject, before in row.before.items() if before is None]
    others = [subject for subject in row.before if row.before[subject] is not None]
    changed = [subject for subject in others if row.before[subject] != row.after.get(subject)]
    for verb_words, subjects in (("removes {}", added), ("sets {} back", changed)):
        counts = Counter(subject.partition("/")[0] for subject in subjects)
        for kind, count in counts.items():
            one, many = _KIND_WORDS.get(kind, ("record", "records"))
            yield verb_words.format(f"{count} {one if count == 1 else many}")
