"""A max-effort work-up and a circuit, looked at before the class."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from django.http import HttpResponse

from heftwright.domain.catalogue import LiftKey, MaxEffortScheme, Region
from heftwright.domain.mass import MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId
from heftwright.usecases import ramp_view, rep_work
from heftwright.usecases import squad as squads
from heftwright.usecases.actor import GymKey
from heftwright.usecases.lifts import catalogue_of
from heftwright.usecases.ramp_view import RampView
from heftwright.usecases.rep_work import CircuitOrder, CircuitView
from heftwright.web.access.requests import GymRequest
from heftwright.web.http.reading import Answers, read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of

_SCHEMES = (
    (MaxEffortScheme.SINGLE.value, "a heavy single"),
    (MaxEffortScheme.TRIPLE.value, "a heavy triple"),
    (MaxEffortScheme.REP_MAX.value, "a set of 6"),
)
_NOBODY = ("", "the whole squad")


@dataclass(frozen=True, slots=True)
class WorkUpPage:
    """A work-up on this gym's bar and plates; ``view`` is None until one is asked for."""

    template: ClassVar[str] = "strength/work_up.html"
    area: ClassVar[str] = "strength"

    form: Form
    unit: MassUnit
    view: RampView | None = None
    problem: str = ""


@dataclass(frozen=True, slots=True)
class CircuitPage:
    """A circuit for a class."""

    template: ClassVar[str] = "strength/circuit.html"
    area: ClassVar[str] = "strength"

    form: Form
    view: CircuitView | None = None
    problem: str = ""


def work_up(request: GymRequest) -> HttpResponse:
    """The work-up of one athlete in one lift."""
    form, unit = _work_up_form(request.gym.key), request.gym.unit
    if not request.GET.get("athlete"):
        return show_desk(request, WorkUpPage(form, unit))
    answers = read_form(form, request.GET)
    if not answers.is_sound:
        return show_desk(request, WorkUpPage(answers.form, unit), status=422)
    values = answers.values
    try:
        view = ramp_view.get_ramp(
            gym=request.gym.key,
            athlete=AthleteId(values["athlete"]),
            lift=LiftKey(values["lift"]),
            scheme=MaxEffortScheme(values["scheme"]),
        )
    except Refusal as error:
        page = WorkUpPage(answers.form, unit, problem=str(error))
        return show_desk(request, page, status=status_of(error))
    return show_desk(request, WorkUpPage(answers.form, unit, view))


def circuit(request: GymRequest) -> HttpResponse:
    """A circuit with stations, intervals and the kit that the gym owns."""
    form = _circuit_form(request.gym.key)
    is_asked = "minutes" in request.GET
    answers = read_form(form, request.GET) if is_asked else Answers(form, {})
    if not answers.is_sound:
        return show_desk(request, CircuitPage(answers.form), status=422)
    try:
        order = _order(answers) if is_asked else CircuitOrder()
        view = rep_work.get_circuit(gym=request.gym.key, order=order)
    except Refusal as error:
        page = CircuitPage(answers.form, problem=str(error))
        return show_desk(request, page, status=status_of(error) if is_asked else 200)
    return show_desk(request, CircuitPage(answers.form, view))


def _work_up_form(gym: GymKey) -> Form:
    people = tuple((item.id, item.name) for item in squads.get_squad(gym=gym))
    lifts = tuple(
        (lift.key, lift.name)
        for lift in catalogue_of(gym).values()
        if any(slot.is_max_effort for slot in lift.slots)
    )
    return form_of(
        (
            Field("athlete", "Athlete", Kind.CHOICE, choices=people, is_required=True),
            Field("lift", "Lift", Kind.CHOICE, choices=lifts, is_required=True),
            Field("scheme", "Built up to", Kind.CHOICE, choices=_SCHEMES, is_required=True),
        )
    )


def _circuit_form(gym: GymKey) -> Form:
    classes = tuple(
        (item.key, f"{item.slot.shown}, {item.weekday.shown} {item.starts_at:%H:%M}")
        for item in rep_work.class_choices(gym=gym)
    )
    asked = CircuitOrder()
    spare = (Field(f"spare_{r.value}", f"Spare the {r.value}", Kind.CHECK) for r in Region)
    return form_of(
        (
            Field("class_key", "For", Kind.CHOICE, choices=(_NOBODY, *classes)),
            Field("minutes", "Minutes", Kind.NUMBER, is_required=True, value=f"{asked.minutes:g}"),
            Field("work_s", "Work, s", Kind.WHOLE, is_required=True, value=str(asked.work_s)),
            Field("rest_s", "Change-over, s", Kind.WHOLE, is_required=True,
                  value=str(asked.rest_s)),
            Field("stations", "Stations at most", Kind.WHOLE, is_required=True,
                  value=str(asked.stations)),
            *spare,
        )
    )  # fmt: skip


def _order(answers: Answers) -> CircuitOrder:
    values = answers.values
    return CircuitOrder(
        class_key=values["class_key"] or "",
        minutes=values["minutes"],
        work_s=values["work_s"],
        rest_s=values["rest_s"],
        stations=values["stations"],
        spare=frozenset(region for region in Region if values[f"spare_{region.value}"]),
    )
