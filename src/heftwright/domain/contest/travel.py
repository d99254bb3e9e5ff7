"""The days that a contest away from home takes its entrants out of the gym."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from heftwright.domain.contest.calendar import Contest, ContestError, ContestId
from heftwright.domain.squad import AthleteId

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


def away_on(
    contests: Iterable[Contest], travels: Iterable[Travel], day: date
) -> Mapping[AthleteId, Contest]:
    """Whom a contest takes out of the gym on a day: athlete -> the contest.

    Those who enter are away on its own day, whether or not days of travel were entered; of two
    contests the earlier one is named.
    """
    by_contest = {travel.contest: travel for travel in travels}
    away: dict[AthleteId, Contest] = {}
    for contest in sorted(contests, key=lambda item: item.on):
        travel = by_contest.get(contest.id)
        if day == contest.on or (travel is not None and travel.holds(contest, day)):
            away = {entry.athlete: contest for entry in contest.entries} | away
    return away


def why_away(contest: Contest, day: date) -> str:
    """Where somebody is on a day that a contest takes: "at Harbour Day", "on the way to …"."""
    if day == contest.on:
        return f"at {contest.name}"
    return f"on the way {'to' if day < contest.on else 'home from'} {contest.name}"
