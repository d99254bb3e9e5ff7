"""Athletes and classes: rows and domain values."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from django.db.models import Max, QuerySet
from django.utils import timezone

from heftwright.domain.refusal import NotFoundError
from heftwright.domain.squad import (
    Athlete,
    AthleteId,
    BarHeights,
    ClassTime,
    Restriction,
    Weekday,
)
from heftwright.store import models as rows
from heftwright.store.gym_rows import plain_fields
from heftwright.store.once import once

_NESTED = ("id", "heights", "weak_points", "restrictions")
_PLAIN = tuple(field.name for field in fields(Athlete) if field.name not in _NESTED)
_HEIGHTS = tuple(field.name for field in fields(BarHeights))
_RESTRICTION = tuple(field.name for field in fields(Restriction))


@once
def read_athletes(gym: rows.Gym) -> tuple[Athlete, ...]:
    """The squad by number, in three queries."""
    found = _present(gym).order_by("number", "pk")
    return tuple(_athlete(row) for row in found)


def read_athlete(gym: rows.Gym, key: str) -> Athlete | None:
    """One athlete of the squad, or None."""
    row = _present(gym).filter(key=key).first()
    return None if row is None else _athlete(row)


def write_athlete(gym: rows.Gym, athlete: Athlete) -> None:
    """Add the athlete, change them, or bring them back into the squad."""
    columns = {name: getattr(athlete, name) for name in _PLAIN}
    columns |= {name: getattr(athlete.heights, name) for name in _HEIGHTS}
    row, _ = rows.Athlete.objects.update_or_create(
        gym=gym, key=athlete.id, defaults={**columns, "removed_at": None}
    )
    row.weak_point_rows.all().delete()
    row.restriction_rows.all().delete()
    rows.AthleteWeakPoint.objects.bulk_create(
        rows.AthleteWeakPoint(athlete=row, point=point, weight=weight)
        for point, weight in athlete.weak_points.items()
    )
    rows.AthleteRestriction.objects.bulk_create(
        rows.AthleteRestriction(athlete=row, position=position, **_columns(rule))
        for position, rule in enumerate(athlete.restrictions)
    )


def drop_athlete(gym: rows.Gym, key: str) -> None:
    """Take the athlete out of the squad; the row, the log and the maxes stay."""
    rows.Athlete.objects.filter(gym=gym, key=key).update(removed_at=timezone.now())


def athlete_row(gym: rows.Gym, key: str) -> rows.Athlete:
    """The row of an athlete, in the squad or not.

    Raises
    ------
    NotFoundError
        If this gym never had one.
    """
    row = rows.Athlete.objects.filter(gym=gym, key=key).first()
    if row is None:
        raise no_athlete(key)
    return row


def athlete_rows(gym: rows.Gym, keys: set[str]) -> dict[str, rows.Athlete]:
    """Rows by key of the athletes that the gym has or had."""
    return {row.key: row for row in rows.Athlete.objects.filter(gym=gym, key__in=keys)}


def known_athlete_keys(gym: rows.Gym) -> frozenset[str]:
    """Every key ever used, of athletes who left too: a key never names somebody else."""
    return frozenset(rows.Athlete.objects.filter(gym=gym).values_list("key", flat=True))


def next_number(gym: rows.Gym) -> int:
    """One more than the highest squad number ever given."""
    found = rows.Athlete.objects.filter(gym=gym).aggregate(top=Max("number"))
    return int(found["top"] or 0) + 1


def no_athlete(key: str) -> NotFoundError:
    """The sentence for an athlete who is not there."""
    return NotFoundError(f"There is no athlete “{key}” in this gym: see the squad list.")


def read_class_times(gym: rows.Gym) -> tuple[ClassTime, ...]:
    """The week's classes in order, in two queries."""
    found = rows.ClassTime.objects.filter(gym=gym).order_by("weekday", "starts_at", "pk")
    return tuple(_class_time(row) for row in found.prefetch_related("member_rows__athlete"))


def read_class_time(gym: rows.Gym, key: str) -> ClassTime | None:
    """One class of the week, or None."""
    found = rows.ClassTime.objects.filter(gym=gym, key=key)
    row = found.prefetch_related("member_rows__athlete").first()
    return None if row is None else _class_time(row)


def write_class_time(gym: rows.Gym, value: ClassTime) -> None:
    """Add or change a class of the week."""
    known = athlete_rows(gym, set(value.members))
    missing = [key for key in value.members if key not in known]
    if missing:
        raise no_athlete(missing[0])
    names = ("weekday", "starts_at", "minutes", "slot", "coach")
    row, _ = rows.ClassTime.objects.update_or_create(
        gym=gym, key=value.key, defaults={name: getattr(value, name) for name in names}
    )
    row.member_rows.all().delete()
    rows.ClassMember.objects.bulk_create(
        rows.ClassMember(class_time=row, athlete=known[key], position=position)
        for position, key in enumerate(dict.fromkeys(value.members))
    )


def drop_class_time(gym: rows.Gym, key: str) -> None:
    """Take a class out of the timetable; plans and logs of its dates stay."""
    rows.ClassTime.objects.filter(gym=gym, key=key).delete()


def _present(gym: rows.Gym) -> QuerySet[rows.Athlete, rows.Athlete]:
    found = rows.Athlete.objects.filter(gym=gym, removed_at=None)
    return found.prefetch_related("weak_point_rows", "restriction_rows")


def _athlete(row: rows.Athlete) -> Athlete:
    return Athlete(
        id=AthleteId(row.key),
        heights=BarHeights(**plain_fields(row, _HEIGHTS)),
        weak_points={item.point: item.weight for item in row.weak_point_rows.all()},
        restrictions=tuple(
            Restriction(**plain_fields(item, _RESTRICTION)) for item in row.restriction_rows.all()
        ),
        **plain_fields(row, _PLAIN),
    )


def _class_time(row: rows.ClassTime) -> ClassTime:
    members = (member.athlete for member in row.member_rows.all())
    return ClassTime(
        key=row.key,
        weekday=Weekday(row.weekday),
        starts_at=row.starts_at,
        minutes=row.minutes,
        slot=row.slot,
        coach=row.coach,
        members=tuple(AthleteId(item.key) for item in members if item.removed_at is None),
    )


def _columns(rule: Restriction) -> dict[str, Any]:
    return {name: getattr(rule, name) for name in _RESTRICTION}
