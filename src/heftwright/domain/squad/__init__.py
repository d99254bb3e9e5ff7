"""Athletes, their measures, restrictions and weak points; the class timetable."""

from heftwright.domain.squad.athlete import (
    Athlete,
    AthleteError,
    AthleteId,
    BarHeights,
    Restriction,
    Sex,
)
from heftwright.domain.squad.timetable import ClassTime, Timetable, Weekday

__all__ = [
    "Athlete",
    "AthleteError",
    "AthleteId",
    "BarHeights",
    "ClassTime",
    "Restriction",
    "Sex",
    "Timetable",
    "Weekday",
]
