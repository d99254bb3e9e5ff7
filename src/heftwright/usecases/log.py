"""The log from the floor: append-only facts, each kept exactly once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.log import LoggedSet
from heftwright.domain.log.entry import HEAVIEST_LOGGED_KG
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId
from heftwright.store import log_rows
from heftwright.store.documents import from_document, to_document
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import Athlete, LogConflict
from heftwright.store.squad_rows import athlete_rows, no_athlete
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, Door, GymKey
from heftwright.usecases.changes import Trail, change, check_text, verb
from heftwright.usecases.permissions import Right

LARGEST_BATCH = 500


class LogBatchError(Refusal):
    """A batch that cannot be taken at all; the phone keeps it."""


class Answer(StrEnum):
    """What became of one id. Each answer but REFUSED means: the gym has it."""

    KEPT = "kept"
    ALREADY = "already"
    CONFLICT = "conflict"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class LogAnswer:
    """The answer for one logged set.

    Parameters
    ----------
    id : UUID
        Of the set.
    answer : Answer
        KEPT now; ALREADY kept before; CONFLICT: the id was taken by other content, this one is
        kept beside it for the coach; REFUSED: not kept, ``why`` says what to do.
    why : str
        A sentence; empty for KEPT and ALREADY.
    """

    id: UUID
    answer: Answer
    why: str = ""


@dataclass(frozen=True, slots=True)
class Conflict:
    """Two contents under one id.

    Parameters
    ----------
    key : int
        To settle it by.
    first : LoggedSet or None
        The one that holds the id; None if the id is not this gym's.
    second : LoggedSet
        The one that came later.
    received_at : datetime
        When the later one came.
    """

    key: int
    first: LoggedSet | None
    second: LoggedSet
    received_at: datetime


@verb
def log_sets(*, gym: GymKey, by: Actor, sets: Sequence[LoggedSet]) -> tuple[LogAnswer, ...]:
    """Keep a batch of logged sets: all answers or none, each id exactly once.

    Sending again is always safe. An answer is given in the order of ``sets``.

    Raises
    ------
    LogBatchError
        If more than 500 sets come at once.
    """
    if len(sets) > LARGEST_BATCH:
        raise LogBatchError(f"{len(sets)} sets at once: send at most {LARGEST_BATCH}.")
    with change(gym, by, "log_sets", Right.LOG_SETS) as trail:
        return _Batch(trail, sets).answers()


class _Batch:
    """One batch being answered."""

    def __init__(self, trail: Trail, sets: Sequence[LoggedSet]) -> None:
        self._trail = trail
        self._sets = sets
        self._athletes: Mapping[str, Athlete] = athlete_rows(
            trail.gym, {item.athlete for item in sets}
        )
        self._hashes = log_rows.hashes_of(item.id for item in sets)
        self._new: list[LoggedSet] = []

    def answers(self) -> tuple[LogAnswer, ...]:
        given = tuple(self._answer(item) for item in self._sets)
        log_rows.add_sets(self._trail.gym, self._new, dict(self._athletes), self._trail.moment)
        for class_key in dict.fromkeys(item.class_key for item in self._new):
            ids = [str(item.id) for item in self._new if item.class_key == class_key]
            self._trail.note(f"log/{class_key}", None, {"sets": ids})
        return given

    def _answer(self, item: LoggedSet) -> LogAnswer:
        why = self._why_not(item)
        if why:
            return LogAnswer(item.id, Answer.REFUSED, why)
        kept_hash = self._hashes.get(item.id)
        if kept_hash == item.content_hash:
            return LogAnswer(item.id, Answer.ALREADY)
        if kept_hash is not None:
            return self._conflict(item)
        self._hashes[item.id] = item.content_hash
        self._new.append(item)
        return LogAnswer(item.id, Answer.KEPT)

    def _why_not(self, item: LoggedSet) -> str:
        by = self._trail.by
        if by.door is Door.CARD and by.athlete != item.athlete:
            return f"This is {by.name}'s card: it cannot log for anybody else."
        if by.door is Door.CARD and (day := _day_ahead(self._trail, item.class_key)):
            return (
                f"This class is on {day:%A} {day.day} {day:%B}, not yet today: log its sets then."
            )
        if item.athlete not in self._athletes:
            return str(no_athlete(item.athlete))
        return _why_not_kept(item)

    def _conflict(self, item: LoggedSet) -> LogAnswer:
        _, is_new = LogConflict.objects.get_or_create(
            gym=self._trail.gym,
            set_id=item.id,
            content_hash=item.content_hash,
            defaults={"document": to_document(item), "received_at": self._trail.moment},
        )
        if is_new:
            self._trail.note(f"conflict/{item.id}", None, to_document(item))
        why = "This set's id is taken by another content; the coach sees both and decides."
        return LogAnswer(item.id, Answer.CONFLICT, why)


def _day_ahead(trail: Trail, class_key: str) -> date | None:
    """The day of a dated class that is still ahead; the gym's own clock counts, not the phone's,
    so that what was lifted on the day is kept whenever the phone finds signal."""
    try:
        day = date.fromisoformat(class_key.partition("/")[0])
    except ValueError:
        return None
    today = trail.moment.astimezone(ZoneInfo(trail.gym.time_zone)).date()
    return day if day > today else None


def _why_not_kept(item: LoggedSet) -> str:
    if len(item.class_key) > 80 or len(item.lift) > 60:
        return "The class or the lift has too long a name: open the card anew and log it there."
    if item.load.mass.in_kg > HEAVIEST_LOGGED_KG:
        return f"{item.load} is no load that was lifted: check the number, the point and the unit."
    try:
        check_text(item.class_key + item.lift)
    except Refusal as error:
        return str(error)
    return ""


@dataclass(frozen=True, slots=True)
class LogFilter:
    """Which sets.

    Parameters
    ----------
    athlete, lift, class_key
        Of one athlete, lift, dated class (``"2026-11-23/mon-1830"``).
    since, before : date or None
        Logged on the gym's calendar from ``since`` on, and before ``before``.
    max_attempts_only : bool
        Only the day's top sets.
    """

    athlete: AthleteId | None = None
    lift: LiftKey | None = None
    class_key: str | None = None
    since: date | None = None
    before: date | None = None
    max_attempts_only: bool = False


def get_log(
    *,
    gym: GymKey,
    of: LogFilter | None = None,
    limit: int = 2000,
    with_corrected: bool = False,
) -> tuple[LoggedSet, ...]:
    """The latest ``limit`` sets that stand, in the order of logging.

    Parameters
    ----------
    with_corrected : bool
        Whether facts that a later one corrects are shown too.
    """
    row = find_gym(gym)
    found = log_rows.find_sets(row, _columns(of or LogFilter(), gym))
    if not with_corrected:
        found = log_rows.standing(found)
    return log_rows.read_sets(found.order_by("-logged_at", "-pk")[:limit])[::-1]


def get_log_version(*, gym: GymKey, class_key: str) -> int:
    """How many facts a dated class has: rises with each, for pages that poll."""
    return log_rows.find_sets(find_gym(gym), {"class_key": class_key}).count()


def get_conflicts(*, gym: GymKey) -> tuple[Conflict, ...]:
    """Conflicts that wait for the coach, oldest first."""
    row = find_gym(gym)
    waiting = list(LogConflict.objects.filter(gym=row, settled_at=None).order_by("pk"))
    wanted = {"pk__in": [item.set_id for item in waiting]}
    first = {item.id: item for item in log_rows.read_sets(log_rows.find_sets(row, wanted))}
    return tuple(
        Conflict(
            item.pk,
            first.get(item.set_id),
            from_document(item.document, LoggedSet),
            item.received_at,
        )
        for item in waiting
    )


@verb
def settle_conflict(
    *, gym: GymKey, by: Actor, conflict: int, keep_second_as: UUID | None = None
) -> None:
    """Settle a conflict: leave the first as it stands, or keep the second too under a free id.

    Raises
    ------
    Refusal
        If the conflict is settled already or the new id is taken.
    """
    with change(gym, by, "settle_conflict", Right.EDIT_SQUAD) as trail:
        row = LogConflict.objects.filter(gym=trail.gym, pk=conflict, settled_at=None).first()
        if row is None:
            raise LogBatchError("This conflict is settled already: look at the list again.")
        if keep_second_as is not None:
            _keep_second(trail, replace(from_document(row.document, LoggedSet), id=keep_second_as))
        row.settled_at = trail.moment
        row.save(update_fields=["settled_at"])
        trail.note(f"conflict/{row.set_id}", row.document, {"kept_as": str(keep_second_as)})


def _keep_second(trail: Trail, item: LoggedSet) -> None:
    (answer,) = _Batch(trail, [item]).answers()
    if answer.answer is not Answer.KEPT:
        raise LogBatchError(f"The second set was not kept ({answer.answer}): try again.")


def _columns(of: LogFilter, gym: GymKey) -> dict[str, Any]:
    columns: dict[str, Any] = {}
    if of.athlete is not None:
        columns["athlete__key"] = of.athlete
    if of.lift is not None:
        columns["lift"] = of.lift
    if of.class_key is not None:
        columns["class_key"] = of.class_key
    if of.since is not None:
        columns["logged_at__gte"] = _midnight(of.since, gym)
    if of.before is not None:
        columns["logged_at__lt"] = _midnight(of.before, gym)
    if of.max_attempts_only:
        columns["is_max_attempt"] = True
    return columns


def _midnight(day: date, gym: GymKey) -> datetime:
    return datetime.combine(day, time(), tzinfo=clock.zone(gym))


def days_ago(gym: GymKey, days: int) -> date:
    """The date so many days before the gym's today, for ``since``."""
    return clock.today(gym) - timedelta(days=days)
