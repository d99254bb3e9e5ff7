"""What planning starts from: everything the gym knows on a day, read once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from heftwright.domain.catalogue import Catalogue
from heftwright.domain.contest import Contest, Travel
from heftwright.domain.dose.waves import WaveTemplate
from heftwright.domain.prescription.settings import CoachSettings
from heftwright.domain.season.build import build_problem
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.squad import Athlete, AthleteId, Timetable
from heftwright.domain.squad.closed import ClosedSpan
from heftwright.domain.stock import RatingOverride, Stock
from heftwright.domain.strength.belief import Beliefs
from heftwright.usecases.actor import GymKey
from heftwright.usecases.closed_days import get_closed_days
from heftwright.usecases.contests import get_contests
from heftwright.usecases.dose_settings import get_settings, get_waves
from heftwright.usecases.lifts import catalogue_of
from heftwright.usecases.maxes import get_beliefs
from heftwright.usecases.rating_overrides import get_rating_overrides
from heftwright.usecases.squad import get_squad
from heftwright.usecases.stock import get_stock
from heftwright.usecases.timetable import get_timetable
from heftwright.usecases.travels import get_travels


def monday_of(day: date) -> date:
    """The Monday of a day's week."""
    return day - timedelta(days=day.weekday())


@dataclass(frozen=True)
class Gathered:
    """The gym on a day.

    Parameters
    ----------
    gym : GymKey
        Which.
    day : date
        For which beliefs and restrictions hold.
    """

    gym: GymKey
    day: date

    @cached_property
    def athletes(self) -> Mapping[AthleteId, Athlete]:
        """The squad by id."""
        return {athlete.id: athlete for athlete in get_squad(gym=self.gym)}

    @cached_property
    def stock(self) -> Stock:
        """What the gym owns."""
        return get_stock(gym=self.gym)

    @cached_property
    def overrides(self) -> tuple[RatingOverride, ...]:
        """Maker's limits that the owner lifted for this day."""
        found = get_rating_overrides(gym=self.gym)
        return tuple(item for item in found if item.on == self.day)

    @cached_property
    def catalogue(self) -> Catalogue:
        """The lifts."""
        return catalogue_of(self.gym)

    @cached_property
    def timetable(self) -> Timetable:
        """The week's classes."""
        return get_timetable(gym=self.gym)

    @cached_property
    def contests(self) -> tuple[Contest, ...]:
        """The contest calendar."""
        return get_contests(gym=self.gym)

    @cached_property
    def closed(self) -> tuple[ClosedSpan, ...]:
        """When the gym is shut."""
        return get_closed_days(gym=self.gym)

    @cached_property
    def travels(self) -> tuple[Travel, ...]:
        """Travel to and from contests."""
        return get_travels(gym=self.gym)

    @cached_property
    def season_problem(self) -> SeasonProblem:
        """This week's season problem, for substitutions; built only when one is needed."""
        return build_problem(
            athletes=tuple(self.athletes.values()),
            stock=self.stock,
            contests=self.contests,
            timetable=self.timetable,
            catalogue=self.catalogue,
            start=monday_of(self.day),
        )

    @cached_property
    def beliefs(self) -> Beliefs:
        """Every athlete's max in every lift."""
        return get_beliefs(gym=self.gym, on=self.day)

    @cached_property
    def waves(self) -> Mapping[str, WaveTemplate]:
        """The gym's waves: those that ship, and the coach's own in their place."""
        return get_waves(gym=self.gym)

    @cached_property
    def settings(self) -> CoachSettings:
        """The coach's settings about doses and strain."""
        return get_settings(gym=self.gym)
