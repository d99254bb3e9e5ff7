"""The season: calendar, waves, tapers; the season problem, its checker, its explanations."""

from heftwright.domain.season.build import build_problem
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import (
    Firmness,
    Forbid,
    ForbidPlace,
    Pin,
    SeasonProblem,
    SeasonProblemError,
)
from heftwright.domain.season.rules import SeasonRules
from heftwright.domain.season.weeks import WeekKind
from heftwright.domain.season.work import SlotWork

__all__ = [
    "Firmness",
    "Forbid",
    "ForbidPlace",
    "Pin",
    "SeasonPlan",
    "SeasonProblem",
    "SeasonProblemError",
    "SeasonRules",
    "SlotWork",
    "WeekKind",
    "build_problem",
]
