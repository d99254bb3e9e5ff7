"""A season that is none of today's any more: what of it, why, and the one thing to do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import ClassVar

from django.http import HttpResponse

from heftwright.usecases.permissions import Right, can
from heftwright.usecases.season import SeasonOutdatedError
from heftwright.web.access.requests import GymRequest
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.page import show

View = Callable[[GymRequest], HttpResponse]


@dataclass(frozen=True, slots=True)
class OutdatedPart:
    """What keeps the season from being changed by hand, as a part of the season's page."""

    template: ClassVar[str] = "season/outdated.html"

    gym: str
    lines: tuple[str, ...]
    may_plan: bool


@dataclass(frozen=True, slots=True)
class OutdatedPage:
    """The same as a page of its own."""

    template: ClassVar[str] = "season/outdated_page.html"
    area: ClassVar[str] = "season"

    part: OutdatedPart


def offers_a_new_plan(view: View) -> View:
    """Answer a season that cannot be changed by hand with the reasons and *Plan again*."""

    @wraps(view)
    def answer(request: GymRequest) -> HttpResponse:
        try:
            return view(request)
        except SeasonOutdatedError as error:
            gym = request.gym.key
            part = OutdatedPart(gym, error.lines, can(request.actor, gym, Right.PLAN_SEASON))
        # looking is answered; only a change is refused
        status = 422 if request.method == "POST" else 200
        if request.headers.get("HX-Request"):
            return show(request, part, status=status)
        return show_desk(request, OutdatedPage(part), status=status)

    return answer
