"""Who came to a dated class."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId
from heftwright.store import models as rows
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import AttendanceState
from heftwright.store.squad_rows import athlete_row
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import Trail, change, verb
from heftwright.usecases.permissions import Right

__all__ = ["AttendanceError", "AttendanceState", "Attended", "get_attendance", "mark_attendance"]

LATEST_MIN = 240


class AttendanceError(Refusal):
    """Attendance that cannot be."""


@dataclass(frozen=True, slots=True)
class Attended:
    """Whether somebody is there.

    Parameters
    ----------
    athlete : AthleteId
        Who.
    state : AttendanceState
        Here, late or away.
    minutes_late : int
        0–240 [min]; 0 unless late.
    noted_at : datetime
        Aware.
    """

    athlete: AthleteId
    state: AttendanceState
    minutes_late: int
    noted_at: datetime


@verb
def mark_attendance(
    *,
    gym: GymKey,
    by: Actor,
    class_key: str,
    states: Mapping[AthleteId, AttendanceState],
    minutes_late: int = 0,
) -> None:
    """Note who is here, late or away at a dated class; a later note replaces an earlier one.

    Parameters
    ----------
    class_key : str
        For example ``"2026-11-23/mon-1830"``.
    minutes_late : int
        Of those marked late, 0–240 [min].

    Raises
    ------
    AttendanceError
        If the minutes are outside 0–240.
    NotFoundError
        If the gym never had such an athlete.
    """
    if not 0 <= minutes_late <= LATEST_MIN:
        raise AttendanceError(f"{minutes_late} min late is outside 0–{LATEST_MIN} min.")
    with change(gym, by, "mark_attendance", Right.TAKE_ATTENDANCE) as trail:
        for athlete, state in states.items():
            late = minutes_late if state is AttendanceState.LATE else 0
            _mark(trail, class_key, athlete, state, late)


def get_attendance(*, gym: GymKey, class_key: str) -> dict[AthleteId, Attended]:
    """What was noted at a dated class; nobody noted, nobody in it."""
    found = rows.Attendance.objects.filter(gym=find_gym(gym), class_key=class_key)
    return {
        AthleteId(row.athlete.key): Attended(
            AthleteId(row.athlete.key), row.state, row.minutes_late, row.noted_at
        )
        for row in found.select_related("athlete").order_by("athlete__number")
    }


def _mark(
    trail: Trail, class_key: str, athlete: AthleteId, state: AttendanceState, late: int
) -> None:
    who = athlete_row(trail.gym, athlete)
    old = rows.Attendance.objects.filter(gym=trail.gym, class_key=class_key, athlete=who).first()
    before = None if old is None else {"state": str(old.state), "minutes_late": old.minutes_late}
    after = {"state": str(state), "minutes_late": late}
    if before == after:
        return
    rows.Attendance.objects.update_or_create(
        gym=trail.gym,
        class_key=class_key,
        athlete=who,
        defaults={"state": state, "minutes_late": late, "noted_at": trail.moment},
    )
    trail.note(f"attendance/{class_key}/{athlete}", before, after)
