"""The running class from the coach's phone: the clock, changes shown first, taken, left, undone."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from django.http import HttpResponse

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.dose import Scheme
from heftwright.domain.squad import AthleteId
from heftwright.usecases import floor_drafts, live_class
from heftwright.usecases.live_class import DatedClass
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.floor import WHO, act_on_floor
from heftwright.web.render.forms import Field, Kind, form_of

_NOTHING = form_of(())
_ROUND = form_of(
    (
        Field("platform", "Platform", is_required=True),
        Field("done_sets", "Rounds over", Kind.WHOLE, is_required=True),
    )
)
_MOVE = form_of((WHO, Field("platform", "Platform", is_required=True)))
_TURN = form_of((WHO, Field("turn", "Turn", Kind.WHOLE, is_required=True)))
_BAND = form_of((Field("band", "Band", is_required=True),))
_LIFT = form_of((Field("lift", "Lift", is_required=True),))
_SCHEME = form_of(
    (
        Field("sets", "Sets", Kind.WHOLE, is_required=True),
        Field("reps", "Reps", Kind.WHOLE, is_required=True),
        Field("rest_s", "Rest", Kind.WHOLE, is_required=True),
    )
)
Verb = Callable[..., Any]


def _plain(verb: Verb) -> Callable[[GymRequest, date, str], HttpResponse]:
    """A view of a verb that needs nothing but the class."""

    def view(request: GymRequest, on: date, class_key: str) -> HttpResponse:
        of = DatedClass(request.gym.key, class_key, on)
        return act_on_floor(request, on, class_key, _NOTHING, lambda _: verb(of, by=request.actor))

    view.__doc__ = verb.__doc__
    return view


floor_start = _plain(live_class.start_class)
floor_start_back = _plain(live_class.take_back_start)
floor_people = _plain(floor_drafts.propose_people)
floor_take = _plain(floor_drafts.take_draft)
floor_leave = _plain(floor_drafts.leave_draft)
floor_put_back = _plain(floor_drafts.put_back_plan)


def floor_round(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """So many rounds are over on a platform."""
    of = DatedClass(request.gym.key, class_key, on)
    return act_on_floor(
        request, on, class_key, _ROUND,
        lambda values: live_class.mark_round(
            of, by=request.actor, platform=values["platform"], done_sets=int(values["done_sets"])
        ),
    )  # fmt: skip


def floor_move(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """Another platform for one athlete: what it costs is shown."""
    of = DatedClass(request.gym.key, class_key, on)
    return act_on_floor(
        request, on, class_key, _MOVE,
        lambda values: floor_drafts.propose_move(
            of, by=request.actor, athlete=AthleteId(values["athlete"]), platform=values["platform"]
        ),
    )  # fmt: skip


def floor_turn(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """Another turn for one athlete: what it costs is shown."""
    of = DatedClass(request.gym.key, class_key, on)
    return act_on_floor(
        request, on, class_key, _TURN,
        lambda values: floor_drafts.propose_turn(
            of, by=request.actor, athlete=AthleteId(values["athlete"]), turn=int(values["turn"])
        ),
    )  # fmt: skip


def floor_broken(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """One pair of a band is out of use: what changes is shown."""
    of = DatedClass(request.gym.key, class_key, on)
    return act_on_floor(
        request, on, class_key, _BAND,
        lambda values: floor_drafts.propose_broken_band(of, by=request.actor, band=values["band"]),
    )  # fmt: skip


def floor_scheme(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """Another way of splitting the repetitions: what changes is shown."""
    of = DatedClass(request.gym.key, class_key, on)

    def act(values: dict[str, str]) -> None:
        scheme = Scheme(*(int(values[name]) for name in ("sets", "reps", "rest_s")))
        floor_drafts.propose_scheme(of, by=request.actor, scheme=scheme)

    return act_on_floor(request, on, class_key, _SCHEME, act)


def floor_lift(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """Another lift for those who are ticked: what changes is shown."""
    of = DatedClass(request.gym.key, class_key, on)
    who = tuple(AthleteId(key) for key in request.POST.getlist("who"))
    return act_on_floor(
        request, on, class_key, _LIFT,
        lambda values: floor_drafts.propose_lift(
            of, by=request.actor, athletes=who, lift=LiftKey(values["lift"])
        ),
    )  # fmt: skip
