"""When the gym is shut: holidays and closed days, which the season respects."""

from __future__ import annotations

from datetime import date

from heftwright.domain.squad.closed import ClosedSpan
from heftwright.store import coaching_rows
from heftwright.store.gym_rows import find_gym
from heftwright.store.records import RecordKind
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change, verb
from heftwright.usecases.permissions import Right


def get_closed_days(*, gym: GymKey) -> tuple[ClosedSpan, ...]:
    """When the gym is shut, by first day."""
    found = coaching_rows.read_settings(find_gym(gym), ClosedSpan)
    return tuple(sorted(found, key=lambda span: span.first))


@verb
def close_days(*, gym: GymKey, by: Actor, span: ClosedSpan) -> None:
    """Enter days on which the gym is shut; an entry of the same first day is replaced."""
    with change(gym, by, "close_days", Right.EDIT_TIMETABLE) as trail:
        trail.put(span)


@verb
def open_days(*, gym: GymKey, by: Actor, first: date) -> None:
    """Take an entry back.

    Raises
    ------
    NotFoundError
        If no entry begins on that day.
    """
    with change(gym, by, "open_days", Right.EDIT_TIMETABLE) as trail:
        trail.drop(RecordKind.CLOSED, first.isoformat())
