"""What the strain pages show: values only, against an athlete's own habit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from statistics import median

from heftwright.domain.catalogue import Region
from heftwright.domain.squad import Athlete
from heftwright.domain.strain import (
    HabitView,
    SdConvention,
    Seed,
    WeekStrain,
)
from heftwright.usecases.classes import dated_key


@dataclass(frozen=True, slots=True)
class EffortLine:
    """One athlete's row in the rating sheet of a class; ``rpe`` is None until it is given."""

    athlete: Athlete
    was_here: bool
    rpe: float | None
    minutes: int


@dataclass(frozen=True, slots=True)
class EffortSheet:
    """The rating sheet of one dated class."""

    class_key: str
    on: date
    title: str
    lines: tuple[EffortLine, ...]

    @property
    def dated_key(self) -> str:
        """As the log and ratings use it."""
        return dated_key(self.class_key, self.on)


@dataclass(frozen=True, slots=True)
class DailyLoads:
    """Loads of successive days.

    Parameters
    ----------
    first : date
        Of the first day.
    loads : tuple of float or None
        0 is a day without training; None a day trained and not rated: missing is not zero.
    """

    first: date
    loads: tuple[float | None, ...]

    @property
    def missing(self) -> int:
        """Days trained and not rated."""
        return sum(load is None for load in self.loads)

    def filled(self) -> tuple[float, ...]:
        """With the athlete's own middle session in place of what is missing."""
        known = [load for load in self.loads if load]
        middle = median(known) if known else 0.0
        return tuple(middle if load is None else load for load in self.loads)


@dataclass(frozen=True, slots=True)
class StrainLineView:
    """One athlete in the squad's list.

    Parameters
    ----------
    athlete : Athlete
        Who.
    week : WeekStrain
        The seven days to today.
    habit : HabitView
        The last week beside the last four.
    missing : int
        Days trained and not rated in the last four weeks; filled with the own middle for ``habit``.
    sessions : int
        Rated in the last four weeks.
    """

    athlete: Athlete
    week: WeekStrain
    habit: HabitView
    missing: int
    sessions: int

    @property
    def habit_words(self) -> str:
        """A short word for the list; the long one stands on the athlete's page."""
        if not self.sessions:
            return "no session rated in four weeks"
        if self.habit.is_warming_up:
            return "warming up"
        if self.habit.ratio is None:
            return "no load in four weeks"
        return f"{self.habit.ratio:.2f} × the last four weeks"


@dataclass(frozen=True, slots=True)
class WeekWork:
    """What was lifted in a week; ``accommodating_kg`` is the part that bands and chains gave.

    ``load`` is None in weeks before anything was rated, ``missing`` the days trained and not rated.
    """

    monday: date
    lifts: int
    tonnage_kg: float
    accommodating_kg: float
    load: float | None
    missing: int


@dataclass(frozen=True, slots=True)
class RegionWeeks:
    """A body region week by week.

    Parameters
    ----------
    region : Region
        Which.
    values : tuple of float or None
        Exposure of each shown week; None where nothing was logged.
    habit : tuple of ((float, float) or None)
        The athlete's own usual range before each week; None below eight logged weeks.
    words : str
        The last whole week against that range; empty while it is not known.
    """

    region: Region
    values: tuple[float | None, ...]
    habit: tuple[tuple[float, float] | None, ...]
    words: str


@dataclass(frozen=True, slots=True)
class AthleteStrain:
    """One athlete's strain on a day."""

    athlete: Athlete
    today: date
    days: DailyLoads
    week: WeekStrain
    habit: HabitView
    sd: SdConvention
    seed: Seed
    weeks: tuple[WeekWork, ...]
    regions: tuple[RegionWeeks, ...]
    by_tens: Mapping[str, int]
    load_words: str
