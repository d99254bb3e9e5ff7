"""Files in: look, answer, accept, take back. Nothing is kept before the yes.

The browser holds the files and sends them each time, so the server keeps no half-read upload.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile as DjangoFile
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from heftwright.domain.refusal import Refusal
from heftwright.imports.limits import MAX_FILE_BYTES
from heftwright.imports.templates import template_workbook
from heftwright.imports.witnesses import Change, Witness
from heftwright.usecases import export, imports
from heftwright.usecases.imports import ImportLine, Preview, UploadedFile
from heftwright.usecases.permissions import Right, can
from heftwright.web.access.requests import GymRequest
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.page import show

_ANSWER = "answer:"
MOST_FILES = 12
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@dataclass(frozen=True, slots=True)
class ImportPage:
    """The door for files, and what came through it before."""

    template: ClassVar[str] = "desk/import.html"
    area: ClassVar[str] = "import"

    accepted: tuple[ImportLine, ...]
    may_export: bool


@dataclass(frozen=True, slots=True)
class PreviewPart:
    """What is in the files, shown under the door; ``mark`` says which preview was agreed to."""

    template: ClassVar[str] = "desk/import_preview.html"

    preview: Preview | None
    mark: str
    gym: str
    given: dict[str, str]
    problem: str = ""

    @property
    def changes(self) -> tuple[tuple[Witness, Change], ...]:
        """What would change for the people shown as witnesses."""
        return tuple(
            (witness, change)
            for witness in (self.preview.witnesses if self.preview else ())
            for change in witness.changes
            if change.before != change.after
        )

    @property
    def left_out(self) -> int:
        """Problems that leave a row, sheet or file out."""
        return sum(one.is_blocking for one in self.preview.problems) if self.preview else 0

    @property
    def noted(self) -> int:
        """What is only said, and leaves nothing out."""
        return len(self.preview.problems) - self.left_out if self.preview else 0


def import_door(request: GymRequest) -> HttpResponse:
    """The door."""
    gym = request.gym.key
    may_export = can(request.actor, gym, Right.EXPORT)
    return show_desk(request, ImportPage(imports.get_imports(gym=gym), may_export))


def import_preview(request: GymRequest) -> HttpResponse:
    """Look at files; nothing is saved."""
    return _preview(request)


def import_accept(request: GymRequest) -> HttpResponse:
    """Save what was looked at."""
    gym = request.gym.key
    try:
        line = imports.accept_import(
            gym=gym, by=request.actor, files=_files(request), answers=_answers(request),
            was_seen=request.POST.get("mark") or None,
            leave_waiting_out=request.POST.get("leave_out") == "yes",
        )  # fmt: skip
    except Refusal as error:
        return _preview(request, error)
    words = f"{line.records} records saved from {', '.join(line.files)}."
    messages.success(request, words, reverse("import_undo", args=[gym, line.key]))
    return HttpResponse(headers={"HX-Redirect": reverse("import", args=[gym])})


def import_undo(request: GymRequest, batch: int) -> HttpResponse:
    """Put everything back as it stood before an import."""
    gym = request.gym.key
    line = next((one for one in imports.get_imports(gym=gym) if one.key == batch), None)
    imports.undo_import(gym=gym, by=request.actor, batch=batch)
    files = ", ".join(line.files) if line else "the files"
    messages.success(
        request,
        f"Everything is back as it stood before. To have it again, import {files} once more.",
    )
    return redirect("import", gym=gym)


def import_template(request: GymRequest) -> HttpResponse:
    """An empty workbook with every sheet, its units and notes."""
    return _download(template_workbook(request.gym.unit), "heftwright-template.xlsx")


def export_book(request: GymRequest) -> HttpResponse:
    """Everything entered, as a workbook that imports again."""
    book = export.export_workbook(gym=request.gym.key, by=request.actor)
    return _download(book, f"{request.gym.key}.xlsx")


def _preview(request: GymRequest, error: Refusal | None = None) -> HttpResponse:
    given = _answers(request)
    try:
        files = _files(request)
        preview = imports.preview_upload(
            gym=request.gym.key, by=request.actor, files=files, answers=given
        )
    except Refusal as why:
        return show(request, PreviewPart(None, "", request.gym.key, given, str(why)), status=422)
    part = PreviewPart(
        preview, imports.preview_mark(preview), request.gym.key, given,
        str(error) if error else "",
    )  # fmt: skip
    return show(request, part, status=status_of(error) if error else 200)


def _files(request: GymRequest) -> tuple[UploadedFile, ...]:
    sent = request.FILES.getlist("files")
    if not sent:
        raise Refusal("Choose at least one file: CSV or XLSX.")
    if len(sent) > MOST_FILES:
        raise Refusal(f"{len(sent)} files at once: choose at most {MOST_FILES}.")
    return tuple(_file(item) for item in sent)


def _file(item: DjangoFile[bytes]) -> UploadedFile:
    item.seek(0)  # a refused yes looks at the same files once more
    # one byte more than is taken, so that the door itself says that it is too large
    return UploadedFile(item.name or "file", item.read(MAX_FILE_BYTES + 1))


def _answers(request: GymRequest) -> dict[str, str]:
    return {
        name.removeprefix(_ANSWER): value
        for name, value in request.POST.items()
        if name.startswith(_ANSWER) and isinstance(value, str)
    }


def _download(content: bytes, name: str) -> HttpResponse:
    disposition = f'attachment; filename="{name}"'
    return HttpResponse(content, content_type=_XLSX, headers={"Content-Disposition": disposition})
