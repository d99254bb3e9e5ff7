"""Erasing an athlete for good, at their own wish."""

from __future__ import annotations

from django.db import transaction

from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId
from heftwright.store import erasure
from heftwright.store.squad_rows import athlete_row
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change, verb
from heftwright.usecases.permissions import Right


class ErasureError(Refusal):
    """An erasure that was not confirmed."""


@verb
def erase_athlete(*, gym: GymKey, by: Actor, athlete: AthleteId, typed_name: str) -> None:
    """Delete everything about an athlete: record, log, health notes, maxes, links, and the copies
    in plans, imports and the trail. It cannot be undone; backups keep their own copies until they
    are replaced.

    Parameters
    ----------
    typed_name : str
        The athlete's name, typed by the owner, so that nobody else is erased by a slip.

    Raises
    ------
    NotFoundError
        If the gym never had them.
    ErasureError
        If the typed name is not theirs.
    """
    with change(gym, by, "erase_athlete", Right.MANAGE_GYM) as trail:
        row = athlete_row(trail.gym, athlete)
        if typed_name.strip() != row.name:
            raise ErasureError(f"To erase “{athlete}” for good, type the athlete's name exactly.")
        erasure.erase_athlete_row(row)
        trail.note(f"athlete/{erasure.ERASED_KEY}")
        transaction.on_commit(erasure.overwrite_free_space)
