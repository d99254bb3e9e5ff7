"""One athlete's season: the squad's plan with their own substitutions, contests and tapers."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.catalogue import Catalogue
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.season.own import OwnWeek, own_season
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.usecases import clock
from heftwright.usecases.actor import GymKey
from heftwright.usecases.gathering import Gathered
from heftwright.usecases.season import find_planned_season
from heftwright.usecases.season_planning import problem_of


@dataclass(frozen=True, slots=True)
class OwnSeason:
    """An athlete's weeks ahead, none while no season is planned; ``catalogue`` names the lifts."""

    athlete: Athlete
    weeks: tuple[OwnWeek, ...]
    catalogue: Catalogue


def get_own_season(*, gym: GymKey, athlete: AthleteId) -> OwnSeason:
    """The season as one athlete trains it.

    Raises
    ------
    NotFoundError
        If there is no such athlete.
    """
    gathered = Gathered(gym, clock.today(gym))
    person = gathered.athletes.get(athlete)
    if person is None:
        raise NotFoundError(f"There is no athlete “{athlete}” in this gym: see its list.")
    planned = find_planned_season(gym=gym)
    if planned is None:
        return OwnSeason(person, (), gathered.catalogue)
    problem = problem_of(gathered, planned, planned.edits)
    weeks = own_season(problem, planned.plan, person, gathered.day)
    return OwnSeason(person, weeks, gathered.catalogue)
