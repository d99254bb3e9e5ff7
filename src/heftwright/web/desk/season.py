"""The season: the strip, the week sheet, planning it with progress and a stop."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.catalogue import Catalogue, LiftKey
from heftwright.domain.season.after_work import AfterPin
from heftwright.domain.season.problem import Forbid, Pin
from heftwright.domain.sheet import SeasonStrip
from heftwright.usecases import jobs
from heftwright.usecases import season as seasons
from heftwright.usecases.jobs import JobCard
from heftwright.usecases.lifts import catalogue_of
from heftwright.usecases.permissions import Right, can
from heftwright.usecases.season import PLAN_JOB, KitAway, PlannedSeason, SeasonVersion
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.season_weeks import SeasonWeek, weeks_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.page import show


@dataclass(frozen=True, slots=True)
class ClashLine:
    """One pin of a conflict; ``is_cheapest`` is the one that costs least to drop.

    ``index`` counts main pins, then those after main lifts.
    """

    index: int
    words: str
    is_cheapest: bool


@dataclass(frozen=True, slots=True)
class RuleLine:
    """Something the coach ruled out or does without; ``key`` and ``place`` take it back."""

    key: str
    words: str
    place: str = ""


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
    clash : tuple of ClashLine
        Pins that cannot hold together, if that is why it failed.
    weeks : tuple of SeasonWeek
        The week sheet, from this week on.
    ruled_out, away : tuple of RuleLine
        Lifts ruled out; kit to do without.
    versions : tuple of SeasonVersion
        Earlier plans.
    """

    template: ClassVar[str] = "desk/season.html"
    area: ClassVar[str] = "season"

    strip: SeasonStrip | None
    gap_words: str
    warnings: tuple[str, ...]
    job: JobCard | None
    weeks: tuple[SeasonWeek, ...]
    may_plan: bool
    clash: tuple[ClashLine, ...] = ()
    ruled_out: tuple[RuleLine, ...] = ()
    away: tuple[RuleLine, ...] = ()
    versions: tuple[SeasonVersion, ...] = ()


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


def _page(request: GymRequest) -> SeasonPage:
    gym = request.gym.key
    found = seasons.find_planned_season(gym=gym)
    versions = seasons.get_season_versions(gym=gym)
    job = _job_to_show(request, versions)
    catalogue = catalogue_of(gym)
    return SeasonPage(
        strip=found.strip if found else None,
        gap_words="" if found is None else found.gap_words,
        warnings=found.warnings if found else (),
        job=job,
        weeks=weeks_of(found, catalogue) if found else (),
        may_plan=can(request.actor, gym, Right.PLAN_SEASON),
        clash=_clash(job, catalogue),
        ruled_out=_ruled_out(found, catalogue),
        away=_away(found.away if found else ()),
        versions=versions[1:],
    )


def _job_to_show(request: GymRequest, versions: tuple[SeasonVersion, ...]) -> JobCard | None:
    """The latest planning while it runs, or if it failed and nothing was planned since."""
    latest = next((job for job in jobs.get_jobs(gym=request.gym.key) if job.kind == PLAN_JOB), None)
    if latest is None or latest.state in (jobs.JobState.DONE, jobs.JobState.CANCELLED):
        return None
    if latest.ended_at is not None and versions and versions[0].made_at > latest.ended_at:
        return None
    return latest


def _clash(job: JobCard | None, catalogue: Catalogue) -> tuple[ClashLine, ...]:
    found = seasons.conflict_of(job.best) if job else None
    if found is None:
        return ()
    conflict = found[0]
    named = [(_pin_words(pin, catalogue), pin in conflict.cheapest) for pin in conflict.clash]
    named += [
        (_after_words(pin, catalogue), pin in conflict.cheapest_after) for pin in conflict.after
    ]
    return tuple(ClashLine(i, words, is_cheapest) for i, (words, is_cheapest) in enumerate(named))


def _pin_words(pin: Pin, catalogue: Catalogue) -> str:
    return f"{_name(pin.lift, catalogue)}, {pin.slot.shown.lower()}, week of {pin.monday:%-d %b}"


def _after_words(pin: AfterPin, catalogue: Catalogue) -> str:
    name = _name(pin.lift, catalogue) if pin.lift else "Nothing"
    return f"{name} after {pin.slot.shown.lower()}, week of {pin.monday:%-d %b}"


def _name(lift: LiftKey, catalogue: Catalogue) -> str:
    return catalogue[lift].name if lift in catalogue else lift


def _ruled_out(found: PlannedSeason | None, catalogue: Catalogue) -> tuple[RuleLine, ...]:
    return tuple(_forbid_line(item, catalogue) for item in (found.forbids if found else ()))


def _forbid_line(item: Forbid, catalogue: Catalogue) -> RuleLine:
    name = _name(item.lift, catalogue)
    span = f"weeks of {item.from_monday:%-d %b} to {item.to_monday:%-d %b %Y}"
    if item.from_monday == item.to_monday:
        span = f"week of {item.from_monday:%-d %b}"
    where = "" if item.place.is_main else "; only as second lift or event practice"
    return RuleLine(item.lift, f"{name}, {span}{where}", item.place)


def _away(away: tuple[KitAway, ...]) -> tuple[RuleLine, ...]:
    return tuple(
        RuleLine(item.kit, f"{item.units} × {item.kit.replace('_', ' ')}") for item in away
    )
