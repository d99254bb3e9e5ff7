"""The weekly timetable."""

from __future__ import annotations

from heftwright.domain.squad import ClassTime, Timetable
from heftwright.store import squad_rows
from heftwright.store.gym_rows import find_gym
from heftwright.store.records import RecordKind
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change, no_record, verb
from heftwright.usecases.permissions import Right


def get_timetable(*, gym: GymKey) -> Timetable:
    """All classes of the week."""
    return Timetable(squad_rows.read_class_times(find_gym(gym)))


def get_class_time(*, gym: GymKey, key: str) -> ClassTime:
    """One class of the week.

    Raises
    ------
    NotFoundError
        If it is not in the timetable.
    """
    found = squad_rows.read_class_time(find_gym(gym), key)
    if found is None:
        raise no_record(RecordKind.CLASS_TIME, key)
    return found


@verb
def add_class_time(*, gym: GymKey, by: Actor, class_time: ClassTime) -> None:
    """Add a class to the week.

    Raises
    ------
    Refusal
        If its key is taken.
    """
    with change(gym, by, "add_class_time", Right.EDIT_TIMETABLE) as trail:
        trail.add(class_time)


@verb
def change_class_time(
    *, gym: GymKey, by: Actor, class_time: ClassTime, was_seen: str | None = None
) -> None:
    """Put a class's changed record in the place of the old one.

    Raises
    ------
    NotFoundError
        If it is not in the timetable.
    ChangedMeanwhileError
        If somebody changed it after it was shown.
    """
    with change(gym, by, "change_class_time", Right.EDIT_TIMETABLE) as trail:
        trail.find(RecordKind.CLASS_TIME, class_time.key, was_seen)
        trail.put(class_time)


@verb
def remove_class_time(*, gym: GymKey, by: Actor, key: str) -> None:
    """Take a class out of the week; plans and logs of its dates stay, the act can be undone.

    Raises
    ------
    NotFoundError
        If it is not there.
    """
    with change(gym, by, "remove_class_time", Right.EDIT_TIMETABLE) as trail:
        trail.drop(RecordKind.CLASS_TIME, key)
