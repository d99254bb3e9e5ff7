"""Bar speed: a device's CSV looked at before anything is kept, and what an athlete's speeds say."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.mass import MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId
from heftwright.imports.limits import MAX_FILE_BYTES
from heftwright.usecases import bar_speed as speeds
from heftwright.usecases import squad as squads
from heftwright.usecases.actor import GymKey
from heftwright.usecases.bar_speed import (
    DayOrder,
    DecimalMark,
    LiftSpeeds,
    SlowLine,
    SpeedColumn,
    SpeedMapping,
    SpeedPreview,
    SpeedUnit,
    UploadedFile,
)
from heftwright.usecases.lifts import catalogue_of
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.reading import read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of
from heftwright.web.render.page import show

MOST_SHOWN = 12
_NONE = ("", "not in the file")


@dataclass(frozen=True, slots=True)
class SpeedPage:
    """The door for a device's file, and whose bar was slow."""

    template: ClassVar[str] = "strength/speed.html"
    area: ClassVar[str] = "strength"

    slow: tuple[SlowLine, ...]


@dataclass(frozen=True, slots=True)
class SpeedPart:
    """What a file would bring in, with its mapping to check; ``mark`` says what was looked at."""

    template: ClassVar[str] = "strength/speed_preview.html"

    gym: str
    form: Form | None
    preview: SpeedPreview | None
    names: Mapping[AthleteId, str]
    lifts: Mapping[LiftKey, str]
    mark: str
    problem: str = ""

    @property
    def shown(self) -> tuple[object, ...]:
        """The first sets."""
        return self.preview.sets[:MOST_SHOWN] if self.preview else ()


@dataclass(frozen=True, slots=True)
class AthleteSpeedPage:
    """What bar speed says about one athlete."""

    template: ClassVar[str] = "strength/athlete_speed.html"
    area: ClassVar[str] = "strength"

    athlete: AthleteId
    name: str
    lifts: tuple[LiftSpeeds, ...]
    unit: MassUnit


def bar_speed(request: GymRequest) -> HttpResponse:
    """The door."""
    return show_desk(request, SpeedPage(speeds.get_slow_bars(gym=request.gym.key)))


def bar_speed_preview(request: GymRequest) -> HttpResponse:
    """Look at a file; nothing is kept."""
    return _preview(request)


def bar_speed_accept(request: GymRequest) -> HttpResponse:
    """Keep exactly what was looked at."""
    gym = request.gym.key
    try:
        mapping = _mapping(request)
        kept = speeds.accept_bar_speed(
            gym=gym, by=request.actor, file=_file(request), mapping=mapping or SpeedMapping(),
            was_seen=request.POST.get("mark", ""),
        )  # fmt: skip
    except Refusal as error:
        return _preview(request, error)
    if kept:
        words = f"{len(kept)} new set{'' if len(kept) == 1 else 's'} kept."
        say_undoable(request, words, f"bar_speed/{kept[-1]}")
    else:
        messages.success(request, "Every set of this file stood already.")
    return HttpResponse(headers={"HX-Redirect": reverse("bar_speed", args=[gym])})


def athlete_speed(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """One athlete's lines, sets and signs of fatigue."""
    gym = request.gym.key
    name = squads.get_athlete(gym=gym, athlete=athlete).name
    found = speeds.get_athlete_speeds(gym=gym, athlete=athlete)
    return show_desk(request, AthleteSpeedPage(athlete, name, found, request.gym.unit))


def speed_take(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """Take the max that a line points at as evidence, with a way back."""
    gym = request.gym.key
    lift = LiftKey(request.POST.get("lift", ""))
    key = speeds.take_speed_max(gym=gym, by=request.actor, athlete=athlete, lift=lift)
    say_undoable(request, "Taken as evidence, with bar speed's own wide ±.", f"evidence/{key}")
    return redirect("athlete_speed", gym=gym, athlete=athlete)


def _preview(request: GymRequest, error: Refusal | None = None) -> HttpResponse:
    gym = request.gym.key
    names = {item.id: item.name for item in squads.get_squad(gym=gym)}
    lifts = {key: lift.name for key, lift in catalogue_of(gym).items()}
    try:
        preview = speeds.preview_bar_speed(
            gym=gym, by=request.actor, file=_file(request), mapping=_mapping(request)
        )
    except Refusal as why:
        part = SpeedPart(gym, None, None, names, lifts, "", str(why))
        return show(request, part, status=422)
    part = SpeedPart(
        gym, _mapping_form(gym, preview), preview, names, lifts, speeds.speed_mark(preview),
        str(error) if error else "",
    )  # fmt: skip
    return show(request, part, status=status_of(error) if error else 200)


def _file(request: GymRequest) -> UploadedFile:
    sent = request.FILES.get("file")
    if sent is None:
        raise Refusal("Choose a file: CSV or XLSX.")
    sent.seek(0)  # a refused file is read once more, for its preview
    return UploadedFile(sent.name or "file", sent.read(MAX_FILE_BYTES + 1))


def _column_fields(heads: tuple[tuple[int, str, str], ...]) -> tuple[Field, ...]:
    choices = (
        _NONE,
        *((str(at), f"{head}, first row {first or 'empty'}") for at, head, first in heads),
    )
    return tuple(
        Field(f"col_{column.value}", column.shown, Kind.CHOICE, choices=choices, group="Columns")
        for column in SpeedColumn
    )


def _whole_file_fields(gym: GymKey | str) -> tuple[Field, ...]:
    squad = squads.get_squad(gym=GymKey(gym))
    people = (("", "as each row says"), *((item.id, item.name) for item in squad))
    every = catalogue_of(GymKey(gym)).values()
    lifts = (("", "as each row says"), *((item.key, item.name) for item in every))
    group = "For the whole file"
    return (
        Field("all_athlete", "Athlete", Kind.CHOICE, choices=people, group=group),
        Field("all_lift", "Lift", Kind.CHOICE, choices=lifts, group=group),
        Field("all_on", "Day", Kind.DAY, group=group),
        Field("load_unit", "Loads are in", Kind.CHOICE, choices=_words(MassUnit), group=group),
        Field("speed_unit", "Speeds are in", Kind.CHOICE, choices=_words(SpeedUnit), group=group),
        Field("days", "Days look like", Kind.CHOICE, choices=_words(DayOrder), group=group),
        Field("decimals", "Decimals have a", Kind.CHOICE, choices=_words(DecimalMark), group=group),
    )


def _words(kind: Any) -> tuple[tuple[str, str], ...]:
    return tuple((item.value, item.value) for item in kind)


def _mapping_form(gym: GymKey, preview: SpeedPreview) -> Form:
    mapping = preview.mapping
    values: dict[str, object] = {
        f"col_{column.value}": mapping.columns.get(column, "") for column in SpeedColumn
    }
    values |= {
        "all_athlete": mapping.athlete or "", "all_lift": mapping.lift or "",
        "all_on": mapping.on or "", "load_unit": mapping.load_unit.value,
        "speed_unit": mapping.speed_unit.value, "days": mapping.days.value,
        "decimals": mapping.decimals.value,
    }  # fmt: skip
    return form_of((*_column_fields(preview.heads), *_whole_file_fields(gym))).filled(values)


def _mapping(request: GymRequest) -> SpeedMapping | None:
    """The mapping as checked by the coach; None while it was not shown yet."""
    if "load_unit" not in request.POST:
        return None
    answers = read_form(form_of(_whole_file_fields(request.gym.key)), request.POST)
    wrong = [field.wrong for field in answers.form.fields if field.wrong]
    if wrong:
        raise Refusal(wrong[0])
    values = answers.values
    return SpeedMapping(
        columns=_columns(request),
        athlete=AthleteId(values["all_athlete"]) if values["all_athlete"] else None,
        lift=LiftKey(values["all_lift"]) if values["all_lift"] else None,
        on=values["all_on"],
        load_unit=MassUnit(values["load_unit"]),
        speed_unit=SpeedUnit(values["speed_unit"]),
        days=DayOrder(values["days"]),
        decimals=DecimalMark(values["decimals"]),
    )


def _columns(request: GymRequest) -> dict[SpeedColumn, int]:
    found = {}
    for column in SpeedColumn:
        text = request.POST.get(f"col_{column.value}", "")
        if text.isascii() and text.isdigit() and len(text) <= 4:
            found[column] = int(text)
    return found
