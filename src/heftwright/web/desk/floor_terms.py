"""The floor's own settings: how long things take, what matters, and who lifts with whom."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.floor.policy import StackOrder
from heftwright.domain.floor.problem import FloorTimes
from heftwright.domain.floor.terms import FloorTerms, FloorWish
from heftwright.domain.floor.times_log import FewTurnsError, LearnedTimes
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.usecases import floor_terms as terms_of
from heftwright.usecases import floor_times
from heftwright.usecases import squad as squads
from heftwright.usecases.stock import get_stock
from heftwright.web.access.requests import GymRequest
from heftwright.web.http.reading import read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.http.saving import saved_or_shown
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of

_ORDERS = (
    (StackOrder.FREE.value, "heavy inside where it costs no move"),
    (StackOrder.HEAVY_INSIDE.value, "heavy inside always"),
)
_TIMES = (
    ("plate_on_s", "One plate on, both sides, s", ""),
    ("plate_off_s", "One plate off, both sides, s", ""),
    ("collars_s", "Collars and a look, s", ""),
    ("set_up_s", "Step in and set up, s", ""),
    ("fixed_s", "Breath and brace, s", ""),
    ("per_rep_s", "One repetition, s", ""),
)
_PRICES = (
    ("warm_up_min", "Warm-up before the first set, min", "0 to 60."),
    ("change_weight", "A second of plate changing weighs", "0 to 10."),
    ("finish_weight", "A second of the last platform's finish weighs", "0 to 10."),
)
TERMS_FORM = form_of(
    (
        *(Field(name, label, Kind.NUMBER, hint, is_required=True, group="How long things take")
          for name, label, hint in _TIMES),
        *(Field(name, label, Kind.NUMBER, hint, is_required=True, group="What matters")
          for name, label, hint in _PRICES),
        Field("stack_order", "Plates lie", Kind.CHOICE, choices=_ORDERS, group="What matters",
              hint="Always: more plates move, but no small plate is ever shut in."),
        Field("coach_platforms", "The coach stands at platforms", hint="Keys with commas between.",
              group="What matters"),
    )
)  # fmt: skip
_WISH_FORM = form_of(
    (
        Field("wants_coach_near", "Near the coach if possible", Kind.CHECK),
        Field("is_beginner", "Beginner: with somebody experienced", Kind.CHECK),
    )
)


@dataclass(frozen=True, slots=True)
class LearnedOne:
    """Somebody whose turns last otherwise than the gym's."""

    name: str
    extra_s: float


@dataclass(frozen=True, slots=True)
class TermsPage:
    """Times and prices, and what the log says of the times."""

    template: ClassVar[str] = "desk/floor_terms.html"
    area: ClassVar[str] = "settings"

    form: Form
    learned: LearnedTimes | None
    too_few: str
    slow: tuple[LearnedOne, ...]
    problem: str = ""


@dataclass(frozen=True, slots=True)
class CompanyChoice:
    """Somebody else, and whether they are wanted near or not."""

    athlete: Athlete
    is_together: bool
    is_apart: bool


@dataclass(frozen=True, slots=True)
class CompanyPage:
    """Whom one athlete lifts with."""

    template: ClassVar[str] = "desk/company.html"
    area: ClassVar[str] = "squad"

    athlete: Athlete
    form: Form
    others: tuple[CompanyChoice, ...]
    problem: str = ""


def floor_terms(request: GymRequest) -> HttpResponse:
    """Times and prices as a form."""
    gym = request.gym.key
    stands = terms_of.get_floor_terms(gym=gym)
    if request.method != "POST":
        return show_desk(request, _terms_page(request, _filled(stands)))

    def save(values: Mapping[str, Any]) -> HttpResponse:
        new = _terms_from(values, stands)
        _check_platforms(request, new)
        terms_of.change_floor_terms(gym=gym, by=request.actor, terms=new)
        messages.success(request, "Saved. The next plan of any class uses it.")
        return redirect("floor_terms", gym=gym)

    return saved_or_shown(request, TERMS_FORM, save, partial(_terms_page, request))


def floor_times_take(request: GymRequest) -> HttpResponse:
    """Plan with what the log says from now on."""
    gym = request.gym.key
    learned = floor_times.take_learned_times(gym=gym, by=request.actor)
    messages.success(
        request, f"Times of {learned.turns} logged turns are taken. Change any of them."
    )
    return redirect("floor_terms", gym=gym)


def company(request: GymRequest, athlete: str) -> HttpResponse:
    """Whom an athlete lifts with."""
    gym = request.gym.key
    who = squads.get_athlete(gym=gym, athlete=AthleteId(athlete))
    if request.method != "POST":
        return show_desk(request, _company_page(request, who))
    answers = read_form(_WISH_FORM, request.POST)
    try:
        wish = FloorWish(
            key=who.id,
            together=_named(request, "together"),
            apart=_named(request, "apart"),
            wants_coach_near=bool(answers.values["wants_coach_near"]),
            is_beginner=bool(answers.values["is_beginner"]),
        )
        terms_of.change_floor_wish(gym=gym, by=request.actor, wish=wish)
    except Refusal as error:
        page = replace(_company_page(request, who), problem=str(error))
        return show_desk(request, page, status=status_of(error))
    messages.success(request, "Saved. The next plan of any class uses it.")
    return redirect("athlete", gym=gym, athlete=who.id)


def _terms_page(request: GymRequest, form: Form, problem: str = "") -> TermsPage:
    gym = request.gym.key
    try:
        learned = floor_times.get_learned_times(gym=gym)
    except FewTurnsError as error:
        return TermsPage(form, None, str(error), (), problem)
    names = {item.id: item.name for item in squads.get_squad(gym=gym)}
    slow = sorted(learned.extra_s.items(), key=lambda item: -abs(item[1]))
    shown = tuple(LearnedOne(names.get(who, who), extra_s) for who, extra_s in slow[:6])
    return TermsPage(form, learned, "", shown, problem)


def _filled(terms: FloorTerms) -> Form:
    times = terms.times
    values: dict[str, object] = {
        name: f"{getattr(times, name):g}"
        for name in ("collars_s", "set_up_s", "fixed_s", "per_rep_s")
    }
    for name in ("plate_on_s", "plate_off_s", "warm_up_min", "change_weight", "finish_weight"):
        values[name] = f"{getattr(terms, name):g}"
    values["stack_order"] = terms.stack_order.value
    values["coach_platforms"] = ", ".join(terms.coach_platforms)
    return TERMS_FORM.filled(values)


def _terms_from(values: Mapping[str, Any], stands: FloorTerms) -> FloorTerms:
    seconds = {
        name: float(values[name]) for name in ("collars_s", "set_up_s", "fixed_s", "per_rep_s")
    }
    named = (values["coach_platforms"] or "").split(",")
    return replace(
        stands,
        times=FloorTimes(**seconds),
        plate_on_s=float(values["plate_on_s"]),
        plate_off_s=float(values["plate_off_s"]),
        warm_up_min=float(values["warm_up_min"]),
        change_weight=float(values["change_weight"]),
        finish_weight=float(values["finish_weight"]),
        stack_order=StackOrder(values["stack_order"]),
        coach_platforms=tuple(key.strip() for key in named if key.strip()),
    )


def _check_platforms(request: GymRequest, terms: FloorTerms) -> None:
    known = {platform.key for platform in get_stock(gym=request.gym.key).platforms}
    unknown = [key for key in terms.coach_platforms if key not in known]
    if unknown:
        raise Refusal(
            f"There is no platform {unknown[0]}: the stock has {', '.join(sorted(known))}."
        )


def _company_page(request: GymRequest, who: Athlete) -> CompanyPage:
    gym = request.gym.key
    wish = terms_of.get_floor_wish(gym=gym, athlete=who.id)
    values = {"wants_coach_near": wish.wants_coach_near, "is_beginner": wish.is_beginner}
    others = tuple(
        CompanyChoice(item, item.id in wish.together, item.id in wish.apart)
        for item in squads.get_squad(gym=gym)
        if item.id != who.id
    )
    return CompanyPage(who, _WISH_FORM.filled(values), others)


def _named(request: GymRequest, field: str) -> tuple[AthleteId, ...]:
    return tuple(AthleteId(key) for key in request.POST.getlist(field))
