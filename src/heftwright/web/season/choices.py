"""What could stand in a day's place, at which price; taking it, ruling out, taking back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from heftwright.domain.catalogue import KitKey, LiftKey, Resistance, Slot
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.season.problem import Forbid, ForbidPlace
from heftwright.usecases import jobs, season_editing
from heftwright.usecases import season as seasons
from heftwright.usecases.permissions import Right, can
from heftwright.usecases.season import REPLAN_LIMIT_S, SeasonEdits
from heftwright.usecases.season_editing import DayChoices
from heftwright.web.access.requests import GymRequest
from heftwright.web.render.forms import Field, Kind, form_of
from heftwright.web.season.menus import (
    MenuPart,
    day_of,
    monday_field,
    read,
    show_menu,
    slot_field,
    to_week,
    told,
)
from heftwright.web.season.outdated import offers_a_new_plan

_LIFT = Field("lift", "Lift", is_required=True)
_RESISTANCE = Field(
    "resistance", "Resistance", Kind.CHOICE,
    choices=(("", "any"), *((r.value, r.value) for r in Resistance)),
)  # fmt: skip
_WHERE = form_of((slot_field, monday_field, _LIFT))
_TAKE = form_of(
    (slot_field, monday_field, _LIFT, Field("wish", "Instead", is_required=True), _RESISTANCE)
)
_UNPIN = form_of((slot_field, monday_field))
_WEEKS = (("1", "this week"), ("4", "four weeks"), ("52", "the rest of the season"))
_PLACES = tuple((place.value, place.value) for place in ForbidPlace)
_FORBID = form_of(
    (
        monday_field,
        _LIFT,
        Field("weeks", "For how long", Kind.CHOICE, choices=_WEEKS, is_required=True),
        Field("place", "Where", Kind.CHOICE, choices=_PLACES),
    )
)
_ALLOW = form_of((_LIFT, Field("place", "Where", Kind.CHOICE, choices=_PLACES)))


@dataclass(frozen=True, slots=True)
class ChoicesPart(MenuPart):
    """The menu of one day."""

    body: ClassVar[str] = "season/choices_body.html"
    row: ClassVar[str] = "season/choice_row.html"
    take: ClassVar[str] = "season_take"

    choices: DayChoices

    @property
    def title(self) -> str:
        """What is looked at."""
        return f"In place of {self.choices.lift_name}"

    @property
    def monday(self) -> date:
        """The first week that it is about."""
        return self.choices.mondays[0]


@offers_a_new_plan
def season_choices(request: GymRequest) -> HttpResponse:
    """What else could stand there, with the price of each."""
    slot, monday, lift = _where(read(_WHERE, request.GET))
    gym = request.gym.key
    found = season_editing.get_choices(gym=gym, slot=slot, monday=monday, lift=lift)
    return show_menu(request, ChoicesPart(gym, can(request.actor, gym, Right.PLAN_SEASON), found))


@offers_a_new_plan
def season_take(request: GymRequest) -> HttpResponse:
    """Pin another lift in a day's place."""
    values = read(_TAKE, request.POST)
    slot, monday, lift = _where(values)
    gym = request.gym.key
    version = seasons.get_season_strip(gym=gym).plan_version
    resistance = values["resistance"]
    taken = season_editing.take_choice(
        gym=gym, by=request.actor, slot=slot, monday=monday, instead_of=lift,
        wish=LiftKey(str(values["wish"])),
        resistance=Resistance(str(resistance)) if resistance else None,
    )  # fmt: skip
    return told(request, taken, version, monday, "Taken and pinned. Nothing else changed.")


def season_unpin(request: GymRequest) -> HttpResponse:
    """Take a pin back and plan again."""
    values = read(_UNPIN, request.POST)
    slot, monday = Slot(str(values["slot"])), day_of(values)
    edits = seasons.edits_without_pin(_edits(request), slot, monday)
    return _plan(request, edits, monday)


def season_forbid(request: GymRequest) -> HttpResponse:
    """Rule a lift out for a while and plan again."""
    values = read(_FORBID, request.POST)
    monday, lift = day_of(values), LiftKey(str(values["lift"]))
    last = monday + timedelta(weeks=int(str(values["weeks"])) - 1)
    before = _edits(request)
    place = _place(values["place"])
    ban = Forbid(lift, monday, last, place=place)
    edits = replace(before, forbids=(*before.forbids, ban))
    return _plan(request, edits, monday)


def season_allow(request: GymRequest) -> HttpResponse:
    """Allow a lift again and plan again."""
    values = read(_ALLOW, request.POST)
    lift, place = LiftKey(str(values["lift"])), _place(values["place"])
    return _plan(request, seasons.edits_without_forbid(_edits(request), lift, place))


def season_kit_back(request: GymRequest) -> HttpResponse:
    """Kit is there again: plan again."""
    kit = KitKey(request.POST.get("kit", ""))
    return _plan(request, seasons.edits_with_kit_back(_edits(request), kit))


def season_settle(request: GymRequest, job: int) -> HttpResponse:
    """Drop some of the pins that cannot hold together, and plan again."""
    card = jobs.get_job(gym=request.gym.key, job=job)
    found = seasons.conflict_of(card.best)
    if found is None:
        raise NotFoundError("This planning did not end in a conflict: look at the season again.")
    conflict, edits = found
    named = (*conflict.clash, *conflict.after)
    dropped = [named[i] for i in map(int, _numbers(request)) if i < len(named)]
    if not dropped:
        raise Refusal("Choose which pin to drop.")
    kept = tuple(pin for pin in edits.pins if pin not in dropped)
    after = tuple(pin for pin in edits.after_pins if pin not in dropped)
    return _plan(request, replace(edits, pins=kept, after_pins=after))


def season_back(request: GymRequest, version: int) -> HttpResponse:
    """Put an earlier season back."""
    gym = request.gym.key
    now = seasons.get_season_strip(gym=gym).plan_version
    seasons.go_back(gym=gym, by=request.actor, to=version)
    back = reverse("season_back", kwargs={"gym": gym, "version": now})
    messages.success(request, f"Plan {version} is back.", back)
    return redirect("season", gym=gym)


def _numbers(request: GymRequest) -> list[str]:
    return [text for text in request.POST.getlist("drop") if text.isdecimal()]


def _edits(request: GymRequest) -> SeasonEdits:
    return seasons.get_planned_season(gym=request.gym.key).edits


def _plan(request: GymRequest, edits: SeasonEdits, monday: date | None = None) -> HttpResponse:
    gym = request.gym.key
    seasons.start_planning(gym=gym, by=request.actor, limit_s=REPLAN_LIMIT_S, edits=edits)
    return to_week(gym, monday)


def _place(typed: object) -> ForbidPlace:
    """Everywhere unless said."""
    return ForbidPlace(str(typed)) if typed else ForbidPlace.EVERYWHERE


def _where(values: dict[str, object]) -> tuple[Slot, date, LiftKey]:
    return Slot(str(values["slot"])), day_of(values), LiftKey(str(values["lift"]))
