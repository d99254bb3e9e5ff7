"""The gym's lifts: a list, a new one copied from the nearest, and a form for each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.catalogue import Catalogue, Lift, LiftKey, load_catalogue
from heftwright.domain.catalogue.own import copy_of, nearest_lift
from heftwright.domain.refusal import NotFoundError
from heftwright.usecases import lifts as own_lifts
from heftwright.usecases.lifts import catalogue_of
from heftwright.usecases.permissions import Right, can
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.saving import saved_or_shown
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of
from heftwright.web.season.lift_form import LIFT_FORM, filled, lift_from


@dataclass(frozen=True, slots=True)
class LiftLine:
    """One lift in the list."""

    lift: Lift
    slots: str
    is_own: bool
    is_changed: bool


@dataclass(frozen=True, slots=True)
class LiftsPage:
    """Every lift of the gym."""

    template: ClassVar[str] = "season/lifts.html"
    area: ClassVar[str] = "season"

    lines: tuple[LiftLine, ...]
    form: Form
    may_change: bool
    problem: str = ""


@dataclass(frozen=True, slots=True)
class LiftPage:
    """One lift as a form."""

    template: ClassVar[str] = "season/lift.html"
    area: ClassVar[str] = "season"

    line: LiftLine
    form: Form
    may_change: bool
    problem: str = ""


def lifts(request: GymRequest) -> HttpResponse:
    """The list."""
    return show_desk(request, _page(request, _new_form(catalogue_of(request.gym.key))))


def lift_new(request: GymRequest) -> HttpResponse:
    """A new lift, as the one it is copied from; then its form."""
    gym = request.gym.key
    catalogue = catalogue_of(gym)

    def save(values: Mapping[str, Any]) -> HttpResponse:
        name, like = values["name"], values["like"]
        source = catalogue[LiftKey(like)] if like else nearest_lift(catalogue, name)
        lift = copy_of(source, name)
        own_lifts.keep_lift(gym=gym, by=request.actor, lift=lift, is_new=True)
        messages.success(
            request, f"{lift.name} is there, copied from {source.name}. Change what differs."
        )
        return redirect("lift", gym=gym, key=lift.key)

    return saved_or_shown(request, _new_form(catalogue), save, partial(_page, request))


def lift(request: GymRequest, key: str) -> HttpResponse:
    """One lift: look, or save."""
    gym = request.gym.key
    found = catalogue_of(gym).get(LiftKey(key)) if LiftKey(key) in catalogue_of(gym) else None
    if found is None:
        raise NotFoundError(f"There is no lift “{key}” in this gym: see Lifts.")
    if request.method != "POST":
        return show_desk(request, _lift_page(request, found, filled(found)))

    def save(values: Mapping[str, Any]) -> HttpResponse:
        changed = lift_from(found, values)
        own_lifts.keep_lift(gym=gym, by=request.actor, lift=changed)
        say_undoable(request, f"{changed.name} is saved.", f"lift/{key}")
        return redirect("lift", gym=gym, key=key)

    return saved_or_shown(request, LIFT_FORM, save, partial(_lift_page, request, found))


def lift_drop(request: GymRequest, key: str) -> HttpResponse:
    """Back to what ships; an own lift goes."""
    own_lifts.drop_lift(gym=request.gym.key, by=request.actor, lift=LiftKey(key))
    words = "As it ships again." if key in load_catalogue() else "The lift is removed."
    say_undoable(request, words, f"lift/{key}")
    return redirect("lifts", gym=request.gym.key)


def _new_form(catalogue: Catalogue) -> Form:
    names = tuple((lift.key, lift.name) for lift in catalogue.values())
    return form_of(
        (
            Field("name", "New lift's name", is_required=True),
            Field("like", "Copied from", Kind.CHOICE,
                  choices=(("", "the one with the nearest name"), *names)),
        )
    )  # fmt: skip


def _page(request: GymRequest, form: Form, problem: str = "") -> LiftsPage:
    gym = request.gym.key
    own = {lift.key for lift in own_lifts.get_own_lifts(gym=gym)}
    lines = tuple(_line(lift, own) for lift in catalogue_of(gym).values())
    may_change = can(request.actor, gym, Right.EDIT_DOSE)
    return LiftsPage(lines, form, may_change, problem)


def _lift_page(request: GymRequest, lift: Lift, form: Form, problem: str = "") -> LiftPage:
    gym = request.gym.key
    own = {item.key for item in own_lifts.get_own_lifts(gym=gym)}
    return LiftPage(_line(lift, own), form, can(request.actor, gym, Right.EDIT_DOSE), problem)


def _line(lift: Lift, own: set[LiftKey]) -> LiftLine:
    slots = (
        ", ".join(sorted(slot.shown.lower() for slot in lift.slots))
        or "after a lower day's main lift"
    )
    is_shipped = lift.key in load_catalogue()
    return LiftLine(lift, slots, lift.key in own and not is_shipped, lift.key in own and is_shipped)
