"""Who of a dated class is expected to be away, because a contest takes them out of the gym."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from heftwright.domain.contest import why_away
from heftwright.domain.squad import AthleteId
from heftwright.usecases.actor import GymKey
from heftwright.usecases.attendance import AttendanceState, get_attendance
from heftwright.usecases.classes import dated_key
from heftwright.usecases.squad import get_squad
from heftwright.usecases.timetable import get_class_time
from heftwright.usecases.travels import away_at_contests


@dataclass(frozen=True, slots=True)
class Absence:
    """Usual members whom one contest keeps from a class.

    Parameters
    ----------
    contest : str
        Its name.
    why : str
        Where they are: "at Harbour Day", "on the way home from Harbour Day".
    athletes : tuple of AthleteId
        Who, by number; nobody whom the coach marked here or late.
    names : tuple of str
        Theirs, in the same order.
    """

    contest: str
    why: str
    athletes: tuple[AthleteId, ...]
    names: tuple[str, ...]


def get_absences(*, gym: GymKey, class_key: str, on: date) -> tuple[Absence, ...]:
    """Who is left out of a dated class unless marked here, by contest.

    Raises
    ------
    NotFoundError
        If the class is not in the timetable.
    """
    class_time, away = get_class_time(gym=gym, key=class_key), away_at_contests(gym, on)
    if not away:
        return ()
    marked = get_attendance(gym=gym, class_key=dated_key(class_key, on))
    here = {key for key, note in marked.items() if note.state is not AttendanceState.AWAY}
    wanted = set(class_time.members) - here
    missing = [item for item in get_squad(gym=gym) if item.id in away and item.id in wanted]
    missing.sort(key=lambda item: item.number)
    found = []
    for contest in {away[item.id].id: away[item.id] for item in missing}.values():
        mine = [item for item in missing if away[item.id].id == contest.id]
        found.append(
            Absence(
                contest.name, why_away(contest, on), tuple(item.id for item in mine),
                tuple(item.name for item in mine),
            )
        )  # fmt: skip
    return tuple(found)
