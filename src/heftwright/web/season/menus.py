"""What the menus of the season share: a place in it, what could stand there, taking a choice.

A menu opens as a part of the season's page, or without scripts as a page of its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from heftwright.domain.catalogue import Slot
from heftwright.domain.refusal import Refusal
from heftwright.usecases.season_editing import Taken
from heftwright.web.access.requests import GymRequest
from heftwright.web.http.reading import read_form
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind
from heftwright.web.render.page import show

slot_field = Field(
    "slot", "Main day", Kind.CHOICE, choices=tuple((s.value, s.shown) for s in Slot),
    is_required=True,
)  # fmt: skip
monday_field = Field("monday", "Week of", Kind.DAY, is_required=True)


@dataclass(frozen=True, slots=True)
class MenuPart:
    """What could stand in one place of the season.

    A menu of its own kind says ``body`` and ``row``, its templates, ``take``, the name of the URL
    that takes a choice, and has ``choices``: a slot, and what is legal, breaking or taken out.

    Parameters
    ----------
    gym : str
        Whose season.
    may_plan : bool
        Whether who looks may take any.
    """

    template: ClassVar[str] = "season/menu.html"
    body: ClassVar[str]
    row: ClassVar[str]
    take: ClassVar[str]

    gym: str
    may_plan: bool

    @property
    def title(self) -> str:
        """What is looked at."""
        raise NotImplementedError

    @property
    def monday(self) -> date:
        """The week that it is about."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class MenuPage:
    """The same as a page of its own."""

    template: ClassVar[str] = "season/menu_page.html"
    area: ClassVar[str] = "season"

    part: MenuPart


def show_menu(request: GymRequest, part: MenuPart) -> HttpResponse:
    """The menu as the part that was asked for, or else as a page."""
    if request.headers.get("HX-Request"):
        return show(request, part)
    return show_desk(request, MenuPage(part))


def told(request: GymRequest, taken: Taken, version: int, monday: date, words: str) -> HttpResponse:
    """Back to the week; where nothing has to be planned anew, with the words and a way back."""
    gym = request.gym.key
    if taken.strip is not None:
        back = reverse("season_back", kwargs={"gym": gym, "version": version})
        messages.success(request, words, back)
    return to_week(gym, monday)


def to_week(gym: str, monday: date | None) -> HttpResponse:
    """Back to the season, at a week."""
    url = reverse("season", kwargs={"gym": gym})
    return redirect(f"{url}#week-{monday}" if monday else url)


def read(form: Form, typed: object) -> dict[str, object]:
    """What was typed, refused with the first thing that is wrong."""
    answers = read_form(form, typed)  # type: ignore[arg-type] # a QueryDict reads like a mapping
    if not answers.is_sound:
        raise Refusal(next(field.wrong for field in answers.form.fields if field.wrong))
    return dict(answers.values)


def day_of(values: dict[str, object]) -> date:
    """The week that was named."""
    monday = values["monday"]
    assert isinstance(monday, date)
    return monday
