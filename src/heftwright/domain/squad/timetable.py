"""The weekly class timetable."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time, timedelta
from enum import IntEnum

from heftwright.domain.catalogue import Slot
from heftwright.domain.squad.athlete import AthleteError, AthleteId

DAYS_A_WEEK = 7


class Weekday(IntEnum):
    """ISO weekdays less one, as ``date.weekday()``."""

    MONDAY = 0
    TUESDAY = 1
    WEDNESDAY = 2
    THURSDAY = 3
    FRIDAY = 4
    SATURDAY = 5
    SUNDAY = 6

    @property
    def shown(self) -> str:
        """The day's English name."""
        return self.name.capitalize()


@dataclass(frozen=True, slots=True)
class ClassTime:
    """One class of the week.

    Parameters
    ----------
    key : str
        Steady name, for example ``"mon-1830"``.
    weekday, starts_at, minutes
        When, in the gym's own wall time, and how long [min], 20–240.
    slot : Slot
        What the day trains.
    coach : str
        Who runs it.
    members : tuple of AthleteId
        Who usually comes.
    """

    key: str
    weekday: Weekday
    starts_at: time
    minutes: int
    slot: Slot
    coach: str = ""
    members: tuple[AthleteId, ...] = ()

    def __post_init__(self) -> None:
        if not 20 <= self.minutes <= 240:
            raise AthleteError(f"Class {self.key}: {self.minutes} min is outside 20–240 min.")


@dataclass(frozen=True, slots=True)
class Timetable:
    """All classes of the week."""

    classes: tuple[ClassTime, ...]

    def on(self, day: date) -> tuple[ClassTime, ...]:
        """Classes on a date, by start time."""
        found = [item for item in self.classes if item.weekday == day.weekday()]
        return tuple(sorted(found, key=lambda item: item.starts_at))

    def next_day_with_class(self, today: date) -> date | None:
        """Today if it has a class, else the next date that has one; None without classes."""
        days = (today + timedelta(days=ahead) for ahead in range(DAYS_A_WEEK))
        return next((day for day in days if self.on(day)), None)
