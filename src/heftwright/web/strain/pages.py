"""The squad's strain and one athlete's, each against their own habit."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import ClassVar

from django.http import HttpResponse

from heftwright.domain.mass import MassUnit
from heftwright.domain.squad import AthleteId
from heftwright.pictures.strain_lines import StrainLine
from heftwright.usecases import strain as strains
from heftwright.usecases.permissions import Right, can
from heftwright.usecases.strain import DESCRIPTIVE, AthleteStrain, StrainLineView
from heftwright.web.access.requests import GymRequest
from heftwright.web.render.chrome import show_desk

LAST_DAYS = 14
_SD_WORDS = {"population": "divided by 7", "sample": "divided by 6"}


@dataclass(frozen=True, slots=True)
class SquadStrainPage:
    """Everybody's last week, and the classes to rate."""

    template: ClassVar[str] = "strain/squad.html"
    area: ClassVar[str] = "strain"

    lines: tuple[StrainLineView, ...]
    classes: tuple[tuple[str, date, str], ...]
    may_rate: bool
    descriptive: str = DESCRIPTIVE


@dataclass(frozen=True, slots=True)
class DayLoad:
    """One day of the last two weeks; ``load`` None: trained and not rated."""

    on: date
    load: float | None


@dataclass(frozen=True, slots=True)
class AthleteStrainPage:
    """One athlete."""

    template: ClassVar[str] = "strain/athlete.html"
    area: ClassVar[str] = "strain"

    strain: AthleteStrain
    unit: MassUnit
    lines: tuple[StrainLine, ...]
    weeks: tuple[str, ...]
    days: tuple[DayLoad, ...]
    sd_words: str
    seed_words: str
    may_read_health: bool
    descriptive: str = DESCRIPTIVE


def strain(request: GymRequest) -> HttpResponse:
    """The squad."""
    gym = request.gym.key
    page = SquadStrainPage(
        strains.get_squad_strain(gym=gym),
        strains.get_recent_classes(gym=gym),
        can(request.actor, gym, Right.LOG_SETS),
    )
    return show_desk(request, page)


def strain_athlete(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """One athlete."""
    gym = request.gym.key
    found = strains.get_athlete_strain(gym=gym, athlete=athlete)
    page = AthleteStrainPage(
        strain=found,
        unit=request.gym.unit,
        lines=tuple(
            StrainLine(item.region.value.capitalize(), item.values, item.habit, item.words)
            for item in found.regions
        ),
        weeks=tuple(f"{week.monday.day} {week.monday:%b}" for week in found.weeks[:-1]),
        days=_last_days(found),
        sd_words=_SD_WORDS[found.sd.value],
        seed_words=found.seed.value.replace("_", " "),
        may_read_health=can(request.actor, gym, Right.READ_HEALTH),
    )
    return show_desk(request, page)


def _last_days(found: AthleteStrain) -> tuple[DayLoad, ...]:
    loads = found.days.loads
    first = max(0, len(loads) - LAST_DAYS)
    return tuple(
        DayLoad(found.days.first + timedelta(days=at), loads[at]) for at in range(first, len(loads))
    )
