"""Asking after the class: how hard was the whole session, 0–10, for everybody on one page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.mass import parse_thousandths
from heftwright.domain.refusal import Refusal
from heftwright.usecases import strain as strains
from heftwright.usecases.strain import EffortLine, EffortSheet, SessionEffort
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk

ANCHORS = (
    ("0", "rest"), ("2", "easy"), ("3", "moderate"), ("5", "hard"), ("7", "very hard"),
    ("10", "as hard as it gets"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class RatingRow:
    """One athlete's row as typed."""

    line: EffortLine
    rpe: str
    minutes: str
    wrong: str = ""


@dataclass(frozen=True, slots=True)
class RatingPage:
    """The sheet of one class."""

    template: ClassVar[str] = "strain/rating.html"
    area: ClassVar[str] = "strain"

    sheet: EffortSheet
    rows: tuple[RatingRow, ...]
    anchors: tuple[tuple[str, str], ...] = ANCHORS
    problem: str = ""


def strain_class(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """Rate a class; nothing typed is lost when something is wrong."""
    gym = request.gym.key
    sheet = strains.get_effort_sheet(gym=gym, class_key=class_key, on=on)
    if request.method != "POST":
        return show_desk(request, RatingPage(sheet, tuple(_stands(line) for line in sheet.lines)))
    read = [_read(line, sheet, request.POST) for line in sheet.lines]
    rows = tuple(row for row, _ in read)
    efforts = tuple(effort for _, effort in read if effort is not None)
    if any(row.wrong for row in rows):
        page = RatingPage(sheet, rows, problem="Nothing was kept yet: look at the marked rows.")
        return show_desk(request, page, status=422)
    try:
        strains.rate_sessions(gym=gym, by=request.actor, efforts=efforts)
    except Refusal as error:
        page = RatingPage(sheet, rows, problem=str(error))
        return show_desk(request, page, status=status_of(error))
    words = f"{len(efforts)} session{'' if len(efforts) == 1 else 's'} rated."
    say_undoable(request, words, f"session/{efforts[-1].key}")
    return redirect("strain", gym=gym)


def _stands(line: EffortLine) -> RatingRow:
    rpe = "" if line.rpe is None else f"{line.rpe:g}"
    return RatingRow(line, rpe, str(line.minutes))


def _read(
    line: EffortLine, sheet: EffortSheet, typed: Mapping[str, str]
) -> tuple[RatingRow, SessionEffort | None]:
    """The row as typed, and the rating in it; an empty rating is no rating, never zero."""
    rpe = typed.get(f"rpe_{line.athlete.id}", "").strip()
    minutes = typed.get(f"minutes_{line.athlete.id}", "").strip()
    row = RatingRow(line, rpe, minutes)
    if not rpe:
        return row, None
    try:
        effort = SessionEffort(
            line.athlete.id, sheet.on, sheet.dated_key, parse_thousandths(rpe) / 1000,
            _minutes(minutes),
        )  # fmt: skip
    except Refusal as error:
        return RatingRow(line, rpe, minutes, str(error)), None
    return row, effort


def _minutes(text: str) -> int:
    thousandths = parse_thousandths(text)
    if thousandths % 1000:
        raise Refusal(f"Minutes are whole numbers, not {text}.")
    return thousandths // 1000
