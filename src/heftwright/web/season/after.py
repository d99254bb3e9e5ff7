"""What follows a main lift: what else could, pinning it, nothing at all, leaving it to the plan."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.urls import reverse

from heftwright.domain.catalogue import LiftKey, Slot
from heftwright.usecases import season as seasons
from heftwright.usecases import season_after as blocks
from heftwright.usecases.permissions import Right, can
from heftwright.usecases.season_after import AfterChoices
from heftwright.usecases.season_editing import Taken
from heftwright.web.access.requests import GymRequest
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, form_of
from heftwright.web.render.page import show
from heftwright.web.season.choices import day_of, monday_field, read, slot_field, to_week

_WHERE = form_of((slot_field, monday_field))
_TAKE = form_of((slot_field, monday_field, Field("wish", "What follows")))


@dataclass(frozen=True, slots=True)
class AfterPart:
    """The menu of what follows one main lift, as a part of the season's page."""

    template: ClassVar[str] = "season/after.html"

    gym: str
    choices: AfterChoices
    may_plan: bool


@dataclass(frozen=True, slots=True)
class AfterPage:
    """The same as a page of its own."""

    template: ClassVar[str] = "season/after_page.html"
    area: ClassVar[str] = "season"

    part: AfterPart


def season_after(request: GymRequest) -> HttpResponse:
    """What could follow the main lift, with what each adds."""
    slot, monday = _where(read(_WHERE, request.GET))
    gym = request.gym.key
    found = blocks.get_after_choices(gym=gym, slot=slot, monday=monday)
    part = AfterPart(gym, found, can(request.actor, gym, Right.PLAN_SEASON))
    if request.headers.get("HX-Request"):
        return show(request, part)
    return show_desk(request, AfterPage(part))


def season_after_take(request: GymRequest) -> HttpResponse:
    """Pin a block after a main lift; an empty wish: nothing shall follow."""
    values = read(_TAKE, request.POST)
    slot, monday = _where(values)
    wish = LiftKey(str(values["wish"])) if values["wish"] else None
    gym = request.gym.key
    version = seasons.get_season_strip(gym=gym).plan_version
    taken = blocks.take_after(gym=gym, by=request.actor, slot=slot, monday=monday, wish=wish)
    return _told(request, taken, version, monday, "Pinned. The main lifts stay as they are.")


def season_after_free(request: GymRequest) -> HttpResponse:
    """Take the pin back: the plan chooses again."""
    slot, monday = _where(read(_WHERE, request.POST))
    gym = request.gym.key
    version = seasons.get_season_strip(gym=gym).plan_version
    taken = blocks.free_after(gym=gym, by=request.actor, slot=slot, monday=monday)
    return _told(request, taken, version, monday, "The pin is gone: the plan has chosen again.")


def _told(
    request: GymRequest, taken: Taken, version: int, monday: date, words: str
) -> HttpResponse:
    gym = request.gym.key
    if taken.strip is not None:
        back = reverse("season_back", kwargs={"gym": gym, "version": version})
        messages.success(request, words, back)
    return to_week(gym, monday)


def _where(values: dict[str, object]) -> tuple[Slot, date]:
    return Slot(str(values["slot"])), day_of(values)
