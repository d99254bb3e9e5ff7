"""The season: the strip, the week sheet, planning it with progress and a stop, pins."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.catalogue import LiftKey, Slot, load_catalogue
from heftwright.domain.refusal import Refusal
from heftwright.domain.season.problem import Pin
from heftwright.domain.sheet import SeasonStrip
from heftwright.usecases import jobs
from heftwright.usecases import season as seasons
from heftwright.usecases.jobs import JobCard
from heftwright.usecases.permissions import Right, can
from heftwright.usecases.season import PLAN_JOB
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.season_weeks import SeasonWeek, weeks_of
from heftwright.web.http.reading import read_form
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of
from heftwright.web.render.page import show

_SLOTS = tuple((slot.value, slot.shown) for slot in Slot)
_LIFTS = tuple((lift.key, lift.name) for lift in load_catalogue().values())
_WHERE = (
    Field("slot", "Main day", Kind.CHOICE, choices=_SLOTS, is_required=True),
    Field("monday", "Week of", Kind.DAY, is_required=True),
)
_PIN = form_of((*_WHERE, Field("lift", "Lift", Kind.CHOICE, choices=_LIFTS, is_required=True)))
_UNPIN = form_of(_WHERE)


@dataclass(frozen=True, slots=True)
class SeasonPage:
    """The season as planned; ``strip`` is None before the first plan.

    Parameters
    ----------
    gap_words : str
        How near the plan is to a proven bound.
    warnings : tuple of str
        What to know before trusting it.
    job : JobCard or None
        Planning that is under way, or the last one that failed.
    weeks : tuple of SeasonWeek
        The week sheet, from this week on.
    """

    template: ClassVar[str] = "desk/season.html"
    area: ClassVar[str] = "season"

    strip: SeasonStrip | None
    gap_words: str
    warnings: tuple[str, ...]
    job: JobCard | None
    weeks: tuple[SeasonWeek, ...]
    may_plan: bool
    problem: str = ""


@dataclass(frozen=True, slots=True)
class ProgressPart:
    """The part of the page that follows a running plan."""

    template: ClassVar[str] = "desk/season_progress.html"

    job: JobCard
    gym: str


def season(request: GymRequest) -> HttpResponse:
    """The strip and the week sheet."""
    return show_desk(request, _page(request))


def season_plan(request: GymRequest) -> HttpResponse:
    """Plan it in the background."""
    seasons.start_planning(gym=request.gym.key, by=request.actor)
    return redirect("season", gym=request.gym.key)


def season_progress(request: GymRequest, job: int) -> HttpResponse:
    """How far the planning is; when it ended, the page is fetched anew."""
    card = jobs.get_job(gym=request.gym.key, job=job)
    if not card.is_live:
        return HttpResponse(headers={"HX-Refresh": "true"})
    return show(request, ProgressPart(card, request.gym.key))


def season_stop(request: GymRequest, job: int) -> HttpResponse:
    """Stop planning and keep the best so far."""
    jobs.cancel_job(gym=request.gym.key, by=request.actor, job=job)
    return redirect("season", gym=request.gym.key)


def season_pin(request: GymRequest) -> HttpResponse:
    """Fix a lift in one slot and week."""
    answers = read_form(_PIN, request.POST)
    if not answers.is_sound:
        return _wrong(request, answers.form)
    values = answers.values
    wish = Pin(Slot(values["slot"]), values["monday"], LiftKey(values["lift"]))
    try:
        seasons.pin(gym=request.gym.key, by=request.actor, wish=wish)
    except Refusal as error:
        return show_desk(request, _page(request, str(error)), status=422)
    messages.success(request, "Pinned, and the season planned around it.")
    return redirect("season", gym=request.gym.key)


def season_unpin(request: GymRequest) -> HttpResponse:
    """Take a pin back."""
    answers = read_form(_UNPIN, request.POST)
    if not answers.is_sound:
        return _wrong(request, answers.form)
    slot, monday = Slot(answers.values["slot"]), answers.values["monday"]
    seasons.unpin(gym=request.gym.key, by=request.actor, slot=slot, monday=monday)
    messages.success(request, "The pin is taken back.")
    return redirect("season", gym=request.gym.key)


def _wrong(request: GymRequest, form: Form) -> HttpResponse:
    why = next(field.wrong for field in form.fields if field.wrong)
    return show_desk(request, _page(request, why), status=422)


def _page(request: GymRequest, problem: str = "") -> SeasonPage:
    gym = request.gym.key
    found = seasons.find_planned_season(gym=gym)
    return SeasonPage(
        strip=found.strip if found else None,
        gap_words="" if found is None else _gap_words(found.gap_pct),
        warnings=found.warnings if found else (),
        job=_job_to_show(request),
        weeks=weeks_of(found) if found else (),
        may_plan=can(request.actor, gym, Right.PLAN_SEASON),
        problem=problem,
    )


def _job_to_show(request: GymRequest) -> JobCard | None:
    """The latest planning while it runs, or if it failed."""
    latest = next((job for job in jobs.get_jobs(gym=request.gym.key) if job.kind == PLAN_JOB), None)
    if latest is None or latest.state in (jobs.JobState.DONE, jobs.JobState.CANCELLED):
        return None
    return latest


def _gap_words(gap_pct: float | None) -> str:
    if gap_pct is None:
        return ""
    if gap_pct < 0.05:
        return "Proven: no better plan exists by these rules."
    return f"At most {gap_pct:.1f} % short of the best plan by these rules."
