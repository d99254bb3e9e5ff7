"""Pain, soreness and readiness as said by an athlete: opening the page is kept in the trail."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId
from heftwright.domain.strain.reports import FIVE_ITEMS, Direction, Report
from heftwright.usecases import clock, readiness
from heftwright.usecases.readiness import HealthNotes
from heftwright.web.access.requests import GymRequest
from heftwright.web.http.reading import Answers, read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of

SCALE = FIVE_ITEMS
_BEST = "5 is best" if SCALE.direction is Direction.HIGHER_IS_BETTER else "1 is best"
_BEST_OF = {"soreness": "5: none at all.", "stress": "5: none at all."}
_CHOICES = (
    ("", "not said"),
    *((str(n), str(n)) for n in range(SCALE.low, SCALE.high + 1)),
)
READINESS_FORM = form_of(
    (
        *(
            Field(item, item.capitalize(), Kind.CHOICE, _BEST_OF.get(item, ""), _CHOICES)
            for item in SCALE.items
        ),
        Field("on", "On", Kind.DAY, "Empty: today."),
    )
)


@dataclass(frozen=True, slots=True)
class HealthPage:
    """What an athlete said in the last twelve weeks."""

    template: ClassVar[str] = "strain/health.html"
    area: ClassVar[str] = "strain"

    notes: HealthNotes
    form: Form
    direction_words: str = f"Each {SCALE.low}–{SCALE.high}, {_BEST}."
    problem: str = ""


def health_notes(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """The notes; the reading is kept."""
    return show_desk(request, _page(request, athlete, READINESS_FORM))


def readiness_add(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """Keep what an athlete said; what was not said stays open, never zero."""
    gym = request.gym.key
    answers = read_form(READINESS_FORM, request.POST)
    try:
        if not answers.is_sound:
            page = _page(request, athlete, answers.form)
            return show_desk(request, page, status=422)
        report = _report(request, athlete, answers)
        readiness.report_readiness(gym=gym, by=request.actor, report=report)
    except Refusal as error:
        page = _page(request, athlete, answers.form, str(error))
        return show_desk(request, page, status=status_of(error))
    messages.success(request, "Kept. A second report of the same day replaces it.")
    return redirect("health_notes", gym=gym, athlete=athlete)


def _report(request: GymRequest, athlete: AthleteId, answers: Answers) -> Report:
    said = [answers.values[item] for item in SCALE.items]
    if not any(said):
        raise Refusal("Nothing was said: choose a number for at least one item.")
    on = answers.values["on"] or clock.today(request.gym.key)
    return Report(athlete, on, SCALE, tuple(int(text) if text else None for text in said))


def _page(request: GymRequest, athlete: AthleteId, form: Form, problem: str = "") -> HealthPage:
    notes = readiness.read_health(gym=request.gym.key, by=request.actor, athlete=athlete)
    return HealthPage(notes, form, problem=problem)
