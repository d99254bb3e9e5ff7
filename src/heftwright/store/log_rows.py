"""Logged sets: rows and domain values."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta, timezone
from typing import Any
from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet

from heftwright.domain.log import LoggedSet
from heftwright.domain.mass import EnteredMass, MassUnit
from heftwright.domain.squad import AthleteId
from heftwright.store import models as rows

_PLAIN = (
    "id", "lift", "class_key", "set_number", "reps_done", "outcome", "reps_in_reserve",
    "plan_version", "logged_at", "corrects", "is_max_attempt", "content_hash",
)  # fmt: skip
_READ = tuple(name for name in _PLAIN if name not in ("logged_at", "content_hash"))
_COLUMNS = (
    "athlete__key", "load_thousandths", "load_unit", "logged_offset_s", "logged_at", *_READ,
)  # fmt: skip


def hashes_of(ids: Iterable[UUID]) -> dict[UUID, str]:
    """Content hashes of the ids that are taken, in any gym."""
    found = rows.LoggedSet.objects.filter(pk__in=list(ids))
    return dict(found.values_list("pk", "content_hash"))


def add_sets(
    gym: rows.Gym,
    sets: list[LoggedSet],
    athletes: dict[str, rows.Athlete],
    received_at: datetime,
) -> None:
    """Append facts whose ids are free."""
    rows.LoggedSet.objects.bulk_create(
        rows.LoggedSet(
            gym=gym,
            athlete=athletes[item.athlete],
            load_thousandths=item.load.thousandths,
            load_unit=item.load.unit,
            logged_offset_s=_offset_s(item.logged_at),
            received_at=received_at,
            **{name: getattr(item, name) for name in _PLAIN},
        )
        for item in sets
    )


def find_sets(gym: rows.Gym, wanted: dict[str, Any]) -> QuerySet[rows.LoggedSet, rows.LoggedSet]:
    """Sets of a gym that answer the given column filters."""
    return rows.LoggedSet.objects.filter(gym=gym, **wanted)


def standing(
    found: QuerySet[rows.LoggedSet, rows.LoggedSet],
) -> QuerySet[rows.LoggedSet, rows.LoggedSet]:
    """Without the facts that a later fact of the same athlete corrects."""
    corrections = rows.LoggedSet.objects.filter(
        corrects=OuterRef("pk"), athlete=OuterRef("athlete")
    )
    return found.filter(~Exists(corrections))


def mark_of(gym: rows.Gym, since: datetime) -> tuple[object, ...]:
    """How many facts there are since, and which came last: other facts, other mark."""
    found = find_sets(gym, {"logged_at__gte": since})
    latest = found.order_by("-received_at", "-pk").values_list("received_at", "pk").first()
    return found.count(), latest


def read_sets(found: QuerySet[rows.LoggedSet, rows.LoggedSet]) -> tuple[LoggedSet, ...]:
    """Domain values of rows, in one query."""
    return tuple(_set(*row) for row in found.values_list(*_COLUMNS))


def stream_sets(found: QuerySet[rows.LoggedSet, rows.LoggedSet]) -> Iterator[LoggedSet]:
    """Domain values of rows one by one, for logs that do not fit a page."""
    columns = found.values_list(*_COLUMNS)
    return (_set(*row) for row in columns.iterator(chunk_size=2000))


def _set(
    athlete: str, thousandths: int, unit: MassUnit, offset_s: int, logged_at: datetime, *rest: Any
) -> LoggedSet:
    zone = timezone(timedelta(seconds=offset_s))
    return LoggedSet(
        athlete=AthleteId(athlete),
        load=EnteredMass(thousandths, unit),
        logged_at=logged_at.astimezone(zone),
        **dict(zip(_READ, rest, strict=True)),
    )


def _offset_s(moment: datetime) -> int:
    offset = moment.utcoffset()
    assert offset is not None
    return int(offset.total_seconds())
