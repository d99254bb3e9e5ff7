"""Contests abroad: the days that they take their entrants out of the gym."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from heftwright.domain.contest import Contest, ContestId, Travel, away_on
from heftwright.domain.squad import AthleteId
from heftwright.store import coaching_rows
from heftwright.store.gym_rows import find_gym
from heftwright.store.records import RecordKind
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change, verb
from heftwright.usecases.contests import get_contest, get_contests
from heftwright.usecases.permissions import Right


def get_travels(*, gym: GymKey) -> tuple[Travel, ...]:
    """Travel to and from contests."""
    return tuple(coaching_rows.read_settings(find_gym(gym), Travel))


def find_travel(*, gym: GymKey, contest: ContestId) -> Travel | None:
    """Travel to one contest, or None."""
    return next((item for item in get_travels(gym=gym) if item.contest == contest), None)


def away_at_contests(gym: GymKey, on: date) -> Mapping[AthleteId, Contest]:
    """Whom a contest takes out of the gym on a day: athlete -> the contest."""
    return away_on(get_contests(gym=gym), get_travels(gym=gym), on)


@verb
def set_travel(*, gym: GymKey, by: Actor, travel: Travel) -> None:
    """Enter the days of travel to and from a contest, in place of what stood there.

    Raises
    ------
    NotFoundError
        If the contest is not in the calendar.
    """
    get_contest(gym=gym, contest=travel.contest)
    with change(gym, by, "set_travel", Right.EDIT_CONTESTS) as trail:
        trail.put(travel)


@verb
def drop_travel(*, gym: GymKey, by: Actor, contest: ContestId) -> None:
    """Nobody travels for it after all.

    Raises
    ------
    NotFoundError
        If no travel was entered.
    """
    with change(gym, by, "drop_travel", Right.EDIT_CONTESTS) as trail:
        trail.drop(RecordKind.TRAVEL, contest)
