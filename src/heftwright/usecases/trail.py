"""Who did what; and taking it back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.store import records
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import AuditRow
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import Trail, change, verb
from heftwright.usecases.permissions import Right, check_may_in
from heftwright.usecases.rating_overrides import check_override
from heftwright.usecases.squad import check_numbers


class UndoError(Refusal):
    """An act that cannot be taken back (any more)."""


@dataclass(frozen=True, slots=True)
class TrailLine:
    """One change.

    Parameters
    ----------
    act : UUID
        Of the whole act; changes of one act are undone together.
    at : datetime
        Aware.
    who, door, verb, subject : str
        For example ``"Iris"``, ``"desk"``, ``"change_athlete"``, ``"athlete/ada"``.
    before, after
        Documents; None for nothing.
    can_undo : bool
        Whether it is of a kind that can be taken back.
    """

    act: UUID
    at: datetime
    who: str
    door: str
    verb: str
    subject: str
    before: Any
    after: Any
    can_undo: bool


def get_trail(
    *, gym: GymKey, subject: str | None = None, limit: int = 100
) -> tuple[TrailLine, ...]:
    """The latest changes, latest first; of one subject such as ``"athlete/ada"`` if said."""
    found = AuditRow.objects.filter(gym=find_gym(gym))
    if subject is not None:
        found = found.filter(subject=subject)
    return tuple(_line(row) for row in found.order_by("-at", "-pk")[:limit])


@verb
def undo(*, gym: GymKey, by: Actor, act: UUID) -> None:
    """Put everything that one act changed back as it was.

    Raises
    ------
    NotFoundError
        If there is no such act in this gym.
    UndoError
        If it is not of a kind that can be taken back, or something changed since.
    ForbiddenError, RatingOverrideError
        If it would go over a maker's limit again and that is not theirs, or no longer allowed.
    """
    with change(gym, by, "undo", Right.UNDO) as trail:
        lines = list(AuditRow.objects.filter(gym=trail.gym, act=act).order_by("pk"))
        if not lines:
            raise NotFoundError("There is no such act in this gym: look at the trail again.")
        before: dict[str, Any] = {}
        after: dict[str, Any] = {}
        for line in lines:
            before.setdefault(line.subject, line.before)
            after[line.subject] = line.after
        _check_limits_again(trail, before)
        put_back(trail, before, after)
        check_numbers(trail.gym)


def _check_limits_again(trail: Trail, before: dict[str, Any]) -> None:
    """Going over a maker's limit again is the owner's decision, and judged as on the first day."""
    for subject, document in before.items():
        kind, _ = _record(subject)
        if kind is not records.RecordKind.RATING_OVERRIDE or document is None:
            continue
        check_may_in(trail.by, trail.gym, Right.MANAGE_GYM)
        override = records.value_of(kind, document)
        check_override(trail, override, clock.today(GymKey(trail.gym.slug)))


def put_back(trail: Trail, before: dict[str, Any], after: dict[str, Any]) -> None:
    """Put records back as they were before, if they still stand as they were left after.

    Raises
    ------
    UndoError
        Naming what cannot be put back, or what changed since.
    """
    current = {subject: _current(trail, subject) for subject in before}
    changed = [subject for subject in before if current[subject] != after[subject]]
    if changed:
        raise UndoError(
            f"{', '.join(changed[:5])} changed since: undo that first, or change it by hand."
        )
    subjects = records.in_leaning_order(list(before))
    for subject in subjects:
        if before[subject] is not None:
            kind, _ = _record(subject)
            trail.put(records.value_of(kind, before[subject]))
    for subject in reversed(subjects):
        if before[subject] is None and after[subject] is not None:
            trail.drop(*_record(subject))


def _current(trail: Trail, subject: str) -> Any:
    kind, key = _record(subject)
    return records.document_of(records.read_record(trail.gym, kind, key))


def _record(subject: str) -> tuple[records.RecordKind, str]:
    found = records.split_subject(subject)
    if found is None:
        raise UndoError(f"{subject} cannot be taken back: facts and sign-ins stand.")
    return found


def _line(row: AuditRow) -> TrailLine:
    return TrailLine(
        act=row.act,
        at=row.at,
        who=row.who,
        door=row.via,
        verb=row.verb,
        subject=row.subject,
        before=row.before,
        after=row.after,
        can_undo=records.split_subject(row.subject) is not None,
    )
