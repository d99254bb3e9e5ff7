"""The week's classes: when, how long, what they train, who usually comes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.catalogue import Slot
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete, AthleteId, ClassTime, Weekday
from heftwright.usecases import squad as squads
from heftwright.usecases import timetable
from heftwright.usecases.changes import seen
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.reading import read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of

_DAYS = tuple((str(day.value), day.shown) for day in Weekday)
_SLOTS = tuple((slot.value, slot.shown) for slot in Slot)
CLASS_FORM = form_of(
    (
        Field("weekday", "Day", Kind.CHOICE, choices=_DAYS, is_required=True),
        Field("starts_at", "Starts at", Kind.TIME, is_required=True),
        Field("minutes", "Minutes", Kind.WHOLE, is_required=True),
        Field("slot", "Trains", Kind.CHOICE, choices=_SLOTS, is_required=True),
        Field("coach", "Coach"),
        Field("was_seen", "", Kind.HIDDEN),
    )
)


@dataclass(frozen=True, slots=True)
class MemberChoice:
    """One athlete and whether they usually come."""

    athlete: Athlete
    comes: bool


@dataclass(frozen=True, slots=True)
class ClassTimePage:
    """A class of the week as a form; ``key`` is empty for a new one."""

    template: ClassVar[str] = "desk/class_time.html"
    area: ClassVar[str] = "settings"

    form: Form
    members: tuple[MemberChoice, ...]
    key: str = ""
    problem: str = ""


def class_time_new(request: GymRequest) -> HttpResponse:
    """One more class."""
    gym = request.gym.key
    if request.method != "POST":
        return show_desk(request, _page(request, CLASS_FORM.filled({"minutes": 75}), ()))
    answers, members = read_form(CLASS_FORM, request.POST), _members(request)
    try:
        if not answers.is_sound:
            return show_desk(request, _page(request, answers.form, members), status=422)
        new = _class_from(answers.values, members)
        timetable.add_class_time(gym=gym, by=request.actor, class_time=new)
    except Refusal as error:
        page = _page(request, answers.form, members, problem=str(error))
        return show_desk(request, page, status=status_of(error))
    messages.success(request, "The class is in the timetable.")
    return redirect("settings", gym=gym)


def class_time(request: GymRequest, key: str) -> HttpResponse:
    """A class of the week."""
    gym = request.gym.key
    old = timetable.get_class_time(gym=gym, key=key)
    if request.method != "POST":
        return show_desk(request, _page(request, _filled(old), old.members, key))
    answers, members = read_form(CLASS_FORM, request.POST), _members(request)
    try:
        if not answers.is_sound:
            return show_desk(request, _page(request, answers.form, members, key), status=422)
        new = replace(_class_from(answers.values, members), key=key)
        was_seen = answers.values["was_seen"] or None
        timetable.change_class_time(gym=gym, by=request.actor, class_time=new, was_seen=was_seen)
    except Refusal as error:
        page = _page(request, answers.form, members, key, str(error))
        return show_desk(request, page, status=status_of(error))
    say_undoable(request, "The class is saved.", f"class_time/{key}")
    return redirect("settings", gym=gym)


def class_time_remove(request: GymRequest, key: str) -> HttpResponse:
    """Out of the week, with a way back."""
    timetable.remove_class_time(gym=request.gym.key, by=request.actor, key=key)
    say_undoable(request, "The class is out of the timetable.", f"class_time/{key}")
    return redirect("settings", gym=request.gym.key)


def _page(
    request: GymRequest, form: Form, members: Iterable[AthleteId], key: str = "", problem: str = ""
) -> ClassTimePage:
    come = set(members)
    squad = squads.get_squad(gym=request.gym.key)
    choices = tuple(MemberChoice(athlete, athlete.id in come) for athlete in squad)
    return ClassTimePage(form, choices, key, problem)


def _members(request: GymRequest) -> tuple[AthleteId, ...]:
    return tuple(AthleteId(key) for key in request.POST.getlist("member"))


def _class_from(values: Mapping[str, Any], members: tuple[AthleteId, ...]) -> ClassTime:
    day, starts_at = Weekday(int(values["weekday"])), values["starts_at"]
    return ClassTime(
        key=f"{day.shown[:3].lower()}-{starts_at:%H%M}",
        weekday=day,
        starts_at=starts_at,
        minutes=values["minutes"],
        slot=Slot(values["slot"]),
        coach=values["coach"],
        members=members,
    )


def _filled(class_time: ClassTime) -> Form:
    return CLASS_FORM.filled(
        {
            "weekday": class_time.weekday.value,
            "starts_at": f"{class_time.starts_at:%H:%M}",
            "minutes": class_time.minutes,
            "slot": class_time.slot.value,
            "coach": class_time.coach,
            "was_seen": seen(class_time),
        }
    )
