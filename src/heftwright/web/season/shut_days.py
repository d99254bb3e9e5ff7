"""Holidays and other days on which the gym is shut."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Any, ClassVar

from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.squad.closed import ClosedSpan
from heftwright.usecases import closed_days
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.saving import saved_or_shown
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of

_FORM = form_of(
    (
        Field("first", "First day", Kind.DAY, is_required=True),
        Field("last", "Last day", Kind.DAY, hint="Empty: one day."),
        Field("why", "Why", hint="As public holiday.", is_required=True),
    )
)


@dataclass(frozen=True, slots=True)
class ShutDaysPage:
    """When the gym is shut."""

    template: ClassVar[str] = "season/shut_days.html"
    area: ClassVar[str] = "season"

    spans: tuple[ClosedSpan, ...]
    form: Form
    problem: str = ""


def shut_days(request: GymRequest) -> HttpResponse:
    """The list, and a form for one more."""
    if request.method != "POST":
        return show_desk(request, _page(request, _FORM))

    def save(values: Mapping[str, Any]) -> HttpResponse:
        span = ClosedSpan(values["first"], values["last"] or values["first"], values["why"])
        closed_days.close_days(gym=request.gym.key, by=request.actor, span=span)
        words = "Entered. Plan the season again so that it respects it."
        say_undoable(request, words, f"closed/{span.key}")
        return redirect("shut_days", gym=request.gym.key)

    return saved_or_shown(request, _FORM, save, partial(_page, request))


def shut_day_remove(request: GymRequest, first: date) -> HttpResponse:
    """The gym is open after all."""
    closed_days.open_days(gym=request.gym.key, by=request.actor, first=first)
    say_undoable(request, "The gym is open on those days.", f"closed/{first}")
    return redirect("shut_days", gym=request.gym.key)


def _page(request: GymRequest, form: Form, problem: str = "") -> ShutDaysPage:
    return ShutDaysPage(closed_days.get_closed_days(gym=request.gym.key), form, problem)
