"""Which lift a logged set is of: the one on the athlete's line, which may be a substitution."""

from __future__ import annotations

from datetime import date

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.squad import AthleteId
from heftwright.usecases import classes
from heftwright.usecases.actor import GymKey
from heftwright.usecases.lifts import catalogue_of


def lift_in_class(gym: GymKey, dated_key: str, athlete: AthleteId) -> LiftKey:
    """The main lift of an athlete in a dated class.

    Raises
    ------
    NotFoundError
        If there is no plan of such a class.
    """
    day, _, class_key = dated_key.partition("/")
    try:
        on = date.fromisoformat(day)
    except ValueError:
        raise NotFoundError(f"“{dated_key[:40]}” is no class of this gym.") from None
    planned = classes.get_planned_class(gym=gym, class_key=class_key, on=on)
    mine = planned.sheet.line_of(athlete)
    named = catalogue_of(gym).named(mine[1].lift_name) if mine else None
    return named.key if named else planned.work[0].lift
