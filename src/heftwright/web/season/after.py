"""What follows a main lift: what else could, pinning it, nothing at all, leaving it to the plan."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from django.http import HttpResponse

from heftwright.domain.catalogue import LiftKey, Slot
from heftwright.usecases import season as seasons
from heftwright.usecases import season_after as blocks
from heftwright.usecases.permissions import Right, can
from heftwright.usecases.season_after import AfterChoices
from heftwright.web.access.requests import GymRequest
from heftwright.web.render.forms import Field, form_of
from heftwright.web.season.menus import (
    MenuPart,
    day_of,
    monday_field,
    read,
    show_menu,
    slot_field,
    told,
)
from heftwright.web.season.outdated import offers_a_new_plan

_WHERE = form_of((slot_field, monday_field))
_TAKE = form_of((slot_field, monday_field, Field("wish", "What follows")))


@dataclass(frozen=True, slots=True)
class AfterPart(MenuPart):
    """The menu of what follows one main lift."""

    body: ClassVar[str] = "season/after_body.html"
    row: ClassVar[str] = "season/after_row.html"
    take: ClassVar[str] = "season_after_take"

    choices: AfterChoices

    @property
    def title(self) -> str:
        """What is looked at."""
        return f"After {self.choices.main_name}"

    @property
    def monday(self) -> date:
        """The week that it is about."""
        return self.choices.monday


@offers_a_new_plan
def season_after(request: GymRequest) -> HttpResponse:
    """What could follow the main lift, with what each adds."""
    slot, monday = _where(read(_WHERE, request.GET))
    gym = request.gym.key
    found = blocks.get_after_choices(gym=gym, slot=slot, monday=monday)
    return show_menu(request, AfterPart(gym, can(request.actor, gym, Right.PLAN_SEASON), found))


def season_after_take(request: GymRequest) -> HttpResponse:
    """Pin a block after a main lift; an empty wish: nothing shall follow."""
    values = read(_TAKE, request.POST)
    slot, monday = _where(values)
    wish = LiftKey(str(values["wish"])) if values["wish"] else None
    gym = request.gym.key
    version = seasons.get_season_strip(gym=gym).plan_version
    taken = blocks.take_after(gym=gym, by=request.actor, slot=slot, monday=monday, wish=wish)
    return told(request, taken, version, monday, "Pinned. The main lifts stay as they are.")


def season_after_free(request: GymRequest) -> HttpResponse:
    """Take the pin back: the plan chooses again."""
    slot, monday = _where(read(_WHERE, request.POST))
    gym = request.gym.key
    version = seasons.get_season_strip(gym=gym).plan_version
    taken = blocks.free_after(gym=gym, by=request.actor, slot=slot, monday=monday)
    return told(request, taken, version, monday, "The pin is gone: the plan has chosen again.")


def _where(values: dict[str, object]) -> tuple[Slot, date]:
    return Slot(str(values["slot"])), day_of(values)
