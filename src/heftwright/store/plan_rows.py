"""Season plans and class plans by version; versions only ever rise."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Generic, TypeVar

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from heftwright.store import models as rows
from heftwright.store.documents import from_document, to_document
from heftwright.store.gym_rows import find_gym, lock_gym

P = TypeVar("P")


@dataclass(frozen=True, slots=True)
class StoredPlan(Generic[P]):
    """A plan as kept.

    Parameters
    ----------
    plan
        The plan.
    version : int
        Rises by one with every plan of the same thing.
    made_at : datetime
        Aware.
    made_by : str
        Who asked for it.
    problem_digest : str
        Of the problem it answers; empty for class plans. Another digest today: it is out of date.
    """

    plan: P
    version: int
    made_at: datetime
    made_by: str
    problem_digest: str = ""


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One kept version, without the plan."""

    class_key: str
    on: date | None
    version: int
    made_at: datetime
    made_by: str


def next_season_version(gym: str) -> int:
    """The version that the next saved season plan will get; hold it inside one transaction."""
    return _top(rows.SeasonPlanRow.objects.filter(gym=lock_gym(gym))) + 1


def latest_season_version(gym: str) -> int:
    """The latest version without reading the plan, 0 if there is none."""
    return _top(rows.SeasonPlanRow.objects.filter(gym=find_gym(gym)))


@transaction.atomic
def save_season_plan(
    *, gym: str, plan: object, kind: Any, problem_digest: str, made_by: str
) -> int:
    """Keep a season plan; returns its version. ``kind`` is the plan's type."""
    row = lock_gym(gym)
    version = _top(rows.SeasonPlanRow.objects.filter(gym=row)) + 1
    rows.SeasonPlanRow.objects.create(
        gym=row,
        version=version,
        document=to_document(plan, kind),
        problem_digest=problem_digest,
        made_by=made_by,
        created_at=timezone.now(),
    )
    return version


def get_season_plan(*, gym: str, kind: type[P], version: int | None = None) -> StoredPlan[P] | None:
    """A season plan by version, the latest by default; None if there is none."""
    found = rows.SeasonPlanRow.objects.filter(gym=find_gym(gym))
    if version is not None:
        found = found.filter(version=version)
    row = found.order_by("-version").first()
    if row is None:
        return None
    plan = from_document(row.document, kind)
    return StoredPlan(plan, row.version, row.created_at, row.made_by, row.problem_digest)


def list_season_plans(*, gym: str, limit: int = 50) -> tuple[PlanLine, ...]:
    """The kept versions, latest first."""
    found = rows.SeasonPlanRow.objects.filter(gym=find_gym(gym)).defer("document")
    return tuple(
        PlanLine("", None, row.version, row.created_at, row.made_by)
        for row in found.order_by("-version")[:limit]
    )


def next_class_version(gym: str, class_key: str, on: date) -> int:
    """The version that the next saved plan of this class will get, inside one transaction."""
    return _top(_class_plans(lock_gym(gym), class_key, on)) + 1


@transaction.atomic
def save_class_plan(
    *, gym: str, class_key: str, on: date, plan: object, kind: Any, made_by: str
) -> int:
    """Keep a plan of a dated class; returns its version. ``kind`` is the plan's type."""
    row = lock_gym(gym)
    version = _top(_class_plans(row, class_key, on)) + 1
    rows.ClassPlanRow.objects.create(
        gym=row,
        class_key=class_key,
        on=on,
        version=version,
        document=to_document(plan, kind),
        made_by=made_by,
        planned_at=timezone.now(),
    )
    return version


def get_class_plan(
    *, gym: str, class_key: str, on: date, kind: type[P], version: int | None = None
) -> StoredPlan[P] | None:
    """A plan of a dated class by version, the latest by default; None if there is none."""
    found = _class_plans(find_gym(gym), class_key, on)
    if version is not None:
        found = found.filter(version=version)
    row = found.order_by("-version").first()
    if row is None:
        return None
    return StoredPlan(from_document(row.document, kind), row.version, row.planned_at, row.made_by)


def latest_class_version(*, gym: str, class_key: str, on: date) -> int:
    """The latest version without reading the plan, 0 if none: for a board that polls."""
    return _top(_class_plans(find_gym(gym), class_key, on))


def list_class_plans(*, gym: str, on: date | None = None, limit: int = 50) -> tuple[PlanLine, ...]:
    """The kept versions, latest first; of one date if said."""
    found = rows.ClassPlanRow.objects.filter(gym=find_gym(gym)).defer("document")
    if on is not None:
        found = found.filter(on=on)
    return tuple(
        PlanLine(row.class_key, row.on, row.version, row.planned_at, row.made_by)
        for row in found.order_by("-on", "class_key", "-version")[:limit]
    )


def _class_plans(gym: rows.Gym, class_key: str, on: date) -> Any:
    return rows.ClassPlanRow.objects.filter(gym=gym, class_key=class_key, on=on)


def _top(found: Any) -> int:
    return int(found.aggregate(top=Max("version"))["top"] or 0)


def season_names(gym: str, word: str) -> bool:
    """Whether the latest season plan's document names a word, such as a lift's key."""
    row = rows.SeasonPlanRow.objects.filter(gym=find_gym(gym)).order_by("-version").first()
    return row is not None and f'"{word}"' in json.dumps(row.document)
