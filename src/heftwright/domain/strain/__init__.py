"""Loads, exposures and habits of training; descriptive only."""

from heftwright.domain.strain.load import (
    StrainError,
    WorkDone,
    exposures,
    lifts_by_tens,
    session_load,
    tonnage_kg,
)
from heftwright.domain.strain.reports import Direction, Report, Scale
from heftwright.domain.strain.week import (
    HabitView,
    SdConvention,
    Seed,
    WeekStrain,
    habit,
    moving_average,
    rolling_ratio,
    week_strain,
)

__all__ = [
    "Direction",
    "HabitView",
    "Report",
    "Scale",
    "SdConvention",
    "Seed",
    "StrainError",
    "WeekStrain",
    "WorkDone",
    "exposures",
    "habit",
    "lifts_by_tens",
    "moving_average",
    "rolling_ratio",
    "session_load",
    "tonnage_kg",
    "week_strain",
]
