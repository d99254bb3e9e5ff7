"""The squad: athletes, their measures, restrictions and weak points."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from heftwright.domain.names import first_free, short_name
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete, AthleteId, Restriction
from heftwright.domain.squad.measures import measure_faults
from heftwright.store import records, squad_rows
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import Gym
from heftwright.store.records import RecordKind
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import Trail, change, verb
from heftwright.usecases.permissions import Right


class SquadError(Refusal):
    """A change that would confuse two athletes."""


class MeasuresRefusedError(Refusal):
    """Body measures that cannot be true.

    Parameters
    ----------
    faults : Mapping
        Field -> what is wrong with it.
    """

    def __init__(self, faults: Mapping[str, str]) -> None:
        super().__init__(f"Nothing was kept. {' '.join(faults.values())}")
        self.faults = faults


def get_squad(*, gym: GymKey) -> tuple[Athlete, ...]:
    """All athletes of the squad by number."""
    return squad_rows.read_athletes(find_gym(gym))


def get_athlete(*, gym: GymKey, athlete: AthleteId) -> Athlete:
    """One athlete of the squad.

    Raises
    ------
    NotFoundError
        If the squad has no such athlete.
    """
    found = squad_rows.read_athlete(find_gym(gym), athlete)
    if found is None:
        raise squad_rows.no_athlete(athlete)
    return found


def propose_athlete_id(*, gym: GymKey, name: str) -> AthleteId:
    """A free steady key made from a name: ``"ada-lind"``, ``"ada-lind-2"``."""
    wanted = short_name(name)[:50].rstrip("-") or "athlete"
    return AthleteId(first_free(wanted, squad_rows.known_athlete_keys(find_gym(gym))))


def propose_number(*, gym: GymKey) -> int:
    """The next squad number that nobody ever had."""
    return squad_rows.next_number(find_gym(gym))


@verb
def add_athlete(*, gym: GymKey, by: Actor, athlete: Athlete) -> AthleteId:
    """Add an athlete to the squad.

    Raises
    ------
    SquadError
        If the key was ever used or the number is somebody's.
    MeasuresRefusedError
        If a body measure cannot be true.
    """
    _check_measures(athlete)
    with change(gym, by, "add_athlete", Right.EDIT_SQUAD) as trail:
        if athlete.id in squad_rows.known_athlete_keys(trail.gym):
            raise SquadError(
                f"“{athlete.id}” is or was another athlete's key here: give {athlete.name} another."
            )
        _check_number(trail.gym, athlete)
        trail.put(athlete)
    return athlete.id


@verb
def change_athlete(
    *, gym: GymKey, by: Actor, athlete: Athlete, was_seen: str | None = None
) -> None:
    """Put an athlete's changed record in the place of the old one.

    Parameters
    ----------
    was_seen : str or None
        ``changes.seen(athlete)`` of what the coach was looking at; guards others' changes.

    Raises
    ------
    NotFoundError
        If the squad has no such athlete.
    ChangedMeanwhileError
        If somebody changed the record meanwhile.
    MeasuresRefusedError
        If a body measure cannot be true.
    """
    _check_measures(athlete)
    _change(gym, by, "change_athlete", athlete.id, lambda _: athlete, was_seen=was_seen)


@verb
def remove_athlete(*, gym: GymKey, by: Actor, athlete: AthleteId) -> None:
    """Take an athlete out of the squad; log and maxes are kept, and the act can be undone."""
    with change(gym, by, "remove_athlete", Right.EDIT_SQUAD) as trail:
        trail.drop(RecordKind.ATHLETE, athlete)


@verb
def restore_athlete(*, gym: GymKey, by: Actor, athlete: AthleteId) -> None:
    """Bring somebody who left back, with everything that was kept.

    Raises
    ------
    NotFoundError
        If the gym never had them.
    SquadError
        If they are in the squad, or their number is somebody else's by now.
    """
    with change(gym, by, "restore_athlete", Right.EDIT_SQUAD) as trail:
        row = squad_rows.athlete_row(trail.gym, athlete)
        if row.removed_at is None:
            raise SquadError(f"{row.name} is in the squad already.")
        row.removed_at = None
        row.save(update_fields=["removed_at"])
        value = records.read_record(trail.gym, RecordKind.ATHLETE, athlete)
        assert value is not None
        _check_number(trail.gym, value)
        trail.note(
            records.subject_of(RecordKind.ATHLETE, athlete), None, records.document_of(value)
        )


@verb
def add_restriction(
    *, gym: GymKey, by: Actor, athlete: AthleteId, restriction: Restriction
) -> None:
    """Take lifts off; they stay off until cleared, also after the day to ask again."""
    _change(
        gym,
        by,
        "add_restriction",
        athlete,
        lambda old: replace(old, restrictions=(*old.restrictions, restriction)),
    )


@verb
def clear_restriction(
    *,
    gym: GymKey,
    by: Actor,
    athlete: AthleteId,
    restriction: Restriction,
    cleared_on: date,
    cleared_by: str,
) -> None:
    """Let restricted lifts come back from a day on; the way back is a ramp after 14 days off.

    Parameters
    ----------
    cleared_on : date
        First day on which they are back.
    cleared_by : str
        Who says so; the record keeps it.

    Raises
    ------
    SquadError
        If the athlete has no such open restriction.
    AthleteError
        If nobody is named, or the day is before it began.
    """

    def cleared(old: Athlete) -> Athlete:
        if restriction not in old.restrictions or not restriction.is_open:
            raise SquadError(f"{old.name} has no open restriction “{restriction.tag}” like that.")
        done = replace(restriction, cleared_on=cleared_on, cleared_by=cleared_by.strip())
        rules = (done if item == restriction else item for item in old.restrictions)
        return replace(old, restrictions=tuple(dict.fromkeys(rules)))

    _change(gym, by, "clear_restriction", athlete, cleared)


def check_numbers(gym: Gym) -> None:
    """Refuse a squad in which two athletes share a number.

    Raises
    ------
    SquadError
        Naming both.
    """
    holders: dict[int, str] = {}
    for athlete in squad_rows.read_athletes(gym):
        if athlete.number in holders:
            raise _shared_number(athlete.number, athlete.name, holders[athlete.number])
        holders[athlete.number] = athlete.name


def _change(
    gym: GymKey,
    by: Actor,
    verb_name: str,
    athlete: AthleteId,
    make: Callable[[Athlete], Athlete],
    **guard: Any,
) -> None:
    with change(gym, by, verb_name, Right.EDIT_SQUAD) as trail:
        value = make(_find(trail, athlete, **guard))
        _check_number(trail.gym, value)
        trail.put(value)


def _find(trail: Trail, athlete: AthleteId, was_seen: str | None = None) -> Athlete:
    found: Athlete = trail.find(RecordKind.ATHLETE, athlete, was_seen)
    return found


def _check_measures(athlete: Athlete) -> None:
    faults = measure_faults(athlete)
    if faults:
        raise MeasuresRefusedError(faults)


def _check_number(gym: Gym, athlete: Athlete) -> None:
    for other in squad_rows.read_athletes(gym):
        if other.number == athlete.number and other.id != athlete.id:
            raise _shared_number(athlete.number, athlete.name, other.name)


def _shared_number(number: int, name: str, holder: str) -> SquadError:
    return SquadError(f"Number {number} is {holder}'s: give {name} another.")
