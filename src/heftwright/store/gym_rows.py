"""The gym's own row."""

from __future__ import annotations

from typing import Any

from django.db import connection, models

from heftwright.domain.refusal import NotFoundError
from heftwright.store.models import Gym
from heftwright.store.once import once, stop_remembering


@once
def find_gym(slug: str) -> Gym:
    """The gym's row.

    Raises
    ------
    NotFoundError
        If there is none.
    """
    gym = Gym.objects.filter(slug=slug).first()
    if gym is None:
        raise no_gym(slug)
    return gym


def lock_gym(slug: str) -> Gym:
    """The gym's row, locked to the end of the transaction: one writer a gym at a time.

    SQLite has one writer anyway; on PostgreSQL the row lock does the same, so that versions,
    numbers and duplicates are decided one after the other on both.
    """
    stop_remembering()
    rows: models.QuerySet[Gym, Gym] = Gym.objects.all()
    if connection.features.has_select_for_update:
        rows = rows.select_for_update()
    gym = rows.filter(slug=slug).first()
    if gym is None:
        raise no_gym(slug)
    return gym


def no_gym(slug: str) -> NotFoundError:
    """The same sentence for a gym that is not there and one that is not yours."""
    return NotFoundError(f"There is no gym “{slug}” here that you may open: check its short name.")


def plain_fields(row: models.Model, names: tuple[str, ...]) -> dict[str, Any]:
    """The named columns of a row, whose names are the domain's field names."""
    return {name: getattr(row, name) for name in names}
