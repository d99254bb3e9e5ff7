"""The contest calendar."""

from __future__ import annotations

from heftwright.domain.contest import Contest, ContestId
from heftwright.store import contest_rows
from heftwright.store.gym_rows import find_gym
from heftwright.store.records import RecordKind
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change, no_record, verb
from heftwright.usecases.permissions import Right


def get_contests(*, gym: GymKey) -> tuple[Contest, ...]:
    """All contests by day."""
    return contest_rows.read_contests(find_gym(gym))


def get_contest(*, gym: GymKey, contest: ContestId) -> Contest:
    """One contest.

    Raises
    ------
    NotFoundError
        If it is not in the calendar.
    """
    found = contest_rows.read_contest(find_gym(gym), contest)
    if found is None:
        raise no_record(RecordKind.CONTEST, contest)
    return found


@verb
def add_contest(*, gym: GymKey, by: Actor, contest: Contest) -> ContestId:
    """Add a contest with its events and entries.

    Raises
    ------
    Refusal
        If its key is taken.
    NotFoundError
        If an entry names somebody the gym never had.
    """
    with change(gym, by, "add_contest", Right.EDIT_CONTESTS) as trail:
        trail.add(contest)
    return contest.id


@verb
def change_contest(
    *, gym: GymKey, by: Actor, contest: Contest, was_seen: str | None = None
) -> None:
    """Put a contest's changed record in the place of the old one.

    Raises
    ------
    NotFoundError
        If it is not in the calendar.
    ChangedMeanwhileError
        If somebody changed it after it was shown.
    """
    with change(gym, by, "change_contest", Right.EDIT_CONTESTS) as trail:
        trail.find(RecordKind.CONTEST, contest.id, was_seen)
        trail.put(contest)


@verb
def remove_contest(*, gym: GymKey, by: Actor, contest: ContestId) -> None:
    """Take a contest out of the calendar; the act can be undone.

    Raises
    ------
    NotFoundError
        If it is not there.
    """
    with change(gym, by, "remove_contest", Right.EDIT_CONTESTS) as trail:
        trail.drop(RecordKind.CONTEST, contest)
