"""One athlete's own season."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from django.http import HttpResponse

from heftwright.domain.season.own import OwnDay, OwnWeek
from heftwright.domain.sheet.build_strip import after_words, detail_of
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.usecases import own_seasons
from heftwright.usecases.own_seasons import OwnSeason
from heftwright.web.access.requests import GymRequest
from heftwright.web.render.chrome import show_desk

KIND_WORDS = {
    "normal": "",
    "taper": "easing for a contest",
    "contest": "contest week",
    "easy": "easy week",
}


@dataclass(frozen=True, slots=True)
class OwnDayLine:
    """One main day in words; ``own_name`` is empty where it is the class's lift."""

    on: date
    slot_name: str
    class_name: str
    detail: str
    own_name: str
    volume_pct: int
    why: tuple[str, ...]
    after: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OwnWeekLine:
    """One week in words."""

    monday: date
    kind_words: str
    contests: tuple[str, ...]
    days: tuple[OwnDayLine, ...]


@dataclass(frozen=True, slots=True)
class OwnSeasonPage:
    """An athlete's weeks ahead; ``differing`` counts days that are not the class's."""

    template: ClassVar[str] = "season/own.html"
    area: ClassVar[str] = "season"

    athlete: Athlete
    weeks: tuple[OwnWeekLine, ...]
    differing: int


def own_season(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """The season as this athlete trains it."""
    found = own_seasons.get_own_season(gym=request.gym.key, athlete=athlete)
    weeks = tuple(_week(found, week) for week in found.weeks)
    differing = sum(day.differs for week in found.weeks for day in week.days)
    return show_desk(request, OwnSeasonPage(found.athlete, weeks, differing))


def _week(found: OwnSeason, week: OwnWeek) -> OwnWeekLine:
    return OwnWeekLine(
        week.monday,
        KIND_WORDS.get(week.kind, week.kind),
        tuple(f"{contest.name}, {contest.on:%A %-d %B}" for contest in week.contests),
        tuple(_day(found, day) for day in week.days),
    )


def _day(found: OwnSeason, day: OwnDay) -> OwnDayLine:
    own = ""
    if day.volume_ratio == 0:
        own = "rest"
    elif day.lift is None:
        own = "rep work"
    elif day.lift != day.work.lift:
        own = found.catalogue[day.lift].name
    detail = detail_of(day.work)
    if day.top is not None and not own:
        detail = f"up to a {day.top.value.replace('_', ' ')}"
    return OwnDayLine(
        day.on, day.slot.shown, found.catalogue[day.work.lift].name, detail, own,
        round(100 * day.volume_ratio), day.why,
        tuple(f"{found.catalogue[i.lift].name}, {after_words(i)}" for i in day.after),
    )  # fmt: skip
