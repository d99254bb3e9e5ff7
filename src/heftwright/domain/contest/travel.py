"""The days that a contest away from home takes its entrants out of the gym."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from heftwright.domain.contest.calendar import Contest, ContestError, ContestId

LONGEST_DAYS = 14


@dataclass(frozen=True, slots=True)
class Travel:
    """Travel to and from a contest.

    Parameters
    ----------
    contest : ContestId
        Which.
    days_before, days_after : int
        Days on the way or abroad before and after its day, 0–14; nobody who is entered trains at
        the gym on them.
    """

    contest: ContestId
    days_before: int
    days_after: int

    def __post_init__(self) -> None:
        both = (self.days_before, self.days_after)
        if not all(0 <= days <= LONGEST_DAYS for days in both) or not any(both):
            raise ContestError(
                f"Days of travel are 0 to {LONGEST_DAYS} before and after, at least one of them."
            )

    @property
    def key(self) -> str:
        """Its key among the gym's settings: the contest."""
        return self.contest

    def days_of(self, contest: Contest) -> tuple[date, date]:
        """First and last day away, the contest's own day between them."""
        return (
            contest.on - timedelta(days=self.days_before),
            contest.on + timedelta(days=self.days_after),
        )

    def holds(self, contest: Contest, day: date) -> bool:
        """Whether whoever enters is away on a day."""
        first, last = self.days_of(contest)
        return first <= day <= last
