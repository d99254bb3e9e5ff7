"""Today: tonight's class, planned and planned again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.sheet import ClassSheet
from heftwright.domain.sheet.shared_cautions import SharedCaution, shared_cautions
from heftwright.domain.squad import ClassTime
from heftwright.usecases import classes, timetable
from heftwright.usecases.absences import Absence, get_absences
from heftwright.usecases.class_changes import get_changed_since
from heftwright.usecases.squad_asks import SquadAsk, get_urgent_asks
from heftwright.web.access.requests import GymRequest
from heftwright.web.render.chrome import show_desk


@dataclass(frozen=True, slots=True)
class ClassChoice:
    """One class of the day, to switch to."""

    words: str
    url: str
    is_here: bool


@dataclass(frozen=True, slots=True)
class ClassLinks:
    """What can be done with the class that is shown."""

    plan: str
    floor: str
    board: str
    paper: str
    cards: str


@dataclass(frozen=True, slots=True)
class TodayPage:
    """A class with its plan.

    Parameters
    ----------
    people : int
        How many have a bar.
    asks : tuple of SquadAsk
        What the coach is asked of the squad.
    away : tuple of Absence
        Whom a contest keeps away.
    changed : tuple of str
        What the plan leans on and was changed since.
    shared : tuple of SharedCaution
        Cautions of several athletes, said once.
    """

    template: ClassVar[str] = "desk/today.html"
    area: ClassVar[str] = "today"

    sheet: ClassSheet
    day: date
    people: int
    links: ClassLinks
    choices: tuple[ClassChoice, ...]
    asks: tuple[SquadAsk, ...] = ()
    away: tuple[Absence, ...] = ()
    changed: tuple[str, ...] = ()
    shared: tuple[SharedCaution, ...] = ()

    @property
    def has_away_planned(self) -> bool:
        """Whether the plan still counts on somebody whom a contest keeps away."""
        return any(self.sheet.line_of(who) for absence in self.away for who in absence.athletes)

    @property
    def title(self) -> str:
        """The lift; all of them where a good part of the class does another one."""
        return " and ".join(self.sheet.lift_names)

    @property
    def shared_words(self) -> frozenset[str]:
        """Their words, which stand quietly on the lines."""
        return frozenset(one.words for one in self.shared)


@dataclass(frozen=True, slots=True)
class UnplannedPage:
    """A class without a plan, or no class at all."""

    template: ClassVar[str] = "desk/unplanned.html"
    area: ClassVar[str] = "today"

    day: date | None
    class_time: ClassTime | None
    plan_url: str
    choices: tuple[ClassChoice, ...] = ()
    away: tuple[Absence, ...] = ()
    floor_url: str = ""

    @property
    def usually_come(self) -> int:
        """Usual members less those at a contest."""
        members = self.class_time.members if self.class_time else ()
        return len(members) - sum(len(absence.athletes) for absence in self.away)


def today(request: GymRequest) -> HttpResponse:
    """The first class of today, or of the next day with one."""
    view = classes.get_today(gym=request.gym.key)
    if view.day is None:
        return show_desk(request, UnplannedPage(None, None, ""))
    return _class_page(request, view.classes[0].class_time, view.day)


def class_day(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """One dated class."""
    return _class_page(request, _class_time(request, class_key, on), on)


def class_plan(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """Plan it, or plan it again."""
    gym = request.gym.key
    _class_time(request, class_key, on)
    try:
        sheet = classes.plan_class(gym=gym, class_key=class_key, on=on, by=request.actor)
    except Refusal as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"Plan {sheet.plan_version} is made.")
    if request.POST.get("back") == "floor":
        return redirect("floor", gym=gym, on=on, class_key=class_key)
    return redirect("class_day", gym=gym, on=on, class_key=class_key)


def _class_page(request: GymRequest, class_time: ClassTime, on: date) -> HttpResponse:
    gym = request.gym.key
    way = {"gym": gym, "on": on, "class_key": class_time.key}
    choices = _choices(request, class_time, on)
    plan_url, floor_url = reverse("class_plan", kwargs=way), reverse("floor", kwargs=way)
    away = get_absences(gym=gym, class_key=class_time.key, on=on)
    if not classes.get_class_version(gym=gym, class_key=class_time.key, on=on):
        return show_desk(request, UnplannedPage(on, class_time, plan_url, choices, away, floor_url))
    planned = classes.get_planned_class(gym=gym, class_key=class_time.key, on=on)
    sheet = planned.sheet
    links = ClassLinks(
        plan_url,
        floor_url,
        reverse("board_here", args=[gym]),
        reverse("class_paper", kwargs=way),
        reverse("class_cards", kwargs=way),
    )
    people = sum(len(platform.lifters) for platform in sheet.platforms)
    page = TodayPage(
        sheet, on, people, links, choices, get_urgent_asks(gym=gym), away,
        get_changed_since(gym=gym, planned=planned), shared_cautions(sheet),
    )  # fmt: skip
    return show_desk(request, page)


def _choices(request: GymRequest, here: ClassTime, on: date) -> tuple[ClassChoice, ...]:
    gym = request.gym.key
    return tuple(
        ClassChoice(
            words=f"{item.starts_at:%H:%M} {item.slot.shown}",
            url=reverse("class_day", kwargs={"gym": gym, "on": on, "class_key": item.key}),
            is_here=item.key == here.key,
        )
        for item in timetable.get_timetable(gym=gym).on(on)
    )


def _class_time(request: GymRequest, class_key: str, on: date) -> ClassTime:
    found = timetable.get_class_time(gym=request.gym.key, key=class_key)
    if found.weekday != on.weekday():
        raise NotFoundError(f"{class_key} does not meet on {on}.")
    return found
