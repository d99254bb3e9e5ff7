"""Erasing a person: their rows go, and every kept document forgets them."""

from __future__ import annotations

from typing import Any

from django.db import connection, models

from heftwright.store import models as rows

ERASED_NAME = "erased athlete"
ERASED_KEY = "erased"
_OWN_ROWS: tuple[type[models.Model], ...] = (
    rows.LoggedSet,
    rows.Attendance,
    rows.Pain,
    rows.SessionEffort,
    rows.ReadinessReport,
    rows.BarSpeedSet,
    rows.MaxEvidence,
    rows.MaxProposal,
    rows.Entry,
    rows.ClassMember,
    rows.Token,
    rows.AthleteWeakPoint,
    rows.AthleteRestriction,
)
# Where whole documents are about a person; in all others only name and key are replaced.
_DOCUMENTS: tuple[tuple[type[models.Model], tuple[str, ...]], ...] = (
    (rows.SeasonPlanRow, ("document",)),
    (rows.ClassPlanRow, ("document",)),
    (rows.ImportBatch, ("before", "after")),
    (rows.Job, ("arguments", "best", "result")),
)


def erase_athlete_row(athlete: rows.Athlete) -> None:
    """Delete everything of an athlete and take them out of all kept documents."""
    gym, forget = athlete.gym, _Forgetting(athlete.key, athlete.name)
    for conflict in rows.LogConflict.objects.filter(gym=gym):
        if conflict.document.get("athlete") == athlete.key:
            conflict.delete()
    _forget_in_trail(gym, forget)
    for model, columns in _DOCUMENTS:
        _forget_in(model, gym, columns, forget)
    for model in _OWN_ROWS:
        model._default_manager.filter(athlete=athlete).delete()
    athlete.delete()


def overwrite_free_space() -> None:
    """Write the database anew without what was deleted; outside any transaction."""
    with connection.cursor() as cursor:
        cursor.execute("VACUUM")
        if connection.vendor == "sqlite":
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")


class _Forgetting:
    """Replaces a name and a key in documents, and drops what is about the person alone."""

    def __init__(self, key: str, name: str) -> None:
        self._key, self._name = key, name

    def is_about(self, subject: str, document: Any) -> bool:
        """Whether a record or an audit entry is about the person alone."""
        kind, _, key = subject.partition("/")
        if kind in ("athlete", "health", "attendance") and key.split("/")[-1] == self._key:
            return True
        return self._is_own(document)

    def _is_own(self, document: Any) -> bool:
        if not isinstance(document, dict):
            return False
        held = document.get("evidence")
        return self._key == document.get("athlete") or self._is_own(held)

    def __call__(self, document: Any) -> Any:
        """The document without the person."""
        if isinstance(document, str):
            named = document.replace(self._name, ERASED_NAME)
            return ERASED_KEY if document == self._key else named
        if isinstance(document, list):
            return [self(item) for item in document]
        if isinstance(document, dict):
            return self._in_mapping(document)
        return document

    def _in_mapping(self, document: dict[str, Any]) -> dict[str, Any]:
        kept = {k: v for k, v in document.items() if not ("/" in k and self.is_about(k, v))}
        return {self(key): self(value) for key, value in kept.items()}


def _forget_in_trail(gym: rows.Gym, forget: _Forgetting) -> None:
    for row in rows.AuditRow.objects.filter(gym=gym).iterator(chunk_size=500):
        if forget.is_about(row.subject, row.before) or forget.is_about(row.subject, row.after):
            row.subject = f"{row.subject.partition('/')[0]}/{ERASED_KEY}"
            row.before = row.after = None
            row.save()
        else:
            _forget_in_row(row, ("before", "after", "who"), forget)


def _forget_in(
    model: type[models.Model], gym: rows.Gym, columns: tuple[str, ...], forget: _Forgetting
) -> None:
    for row in model._default_manager.filter(gym=gym).iterator(chunk_size=50):
        _forget_in_row(row, columns, forget)


def _forget_in_row(row: models.Model, columns: tuple[str, ...], forget: _Forgetting) -> None:
    changed = {name: forget(getattr(row, name)) for name in columns}
    changed = {name: value for name, value in changed.items() if value != getattr(row, name)}
    for name, value in changed.items():
        setattr(row, name, value)
    if changed:
        row.save(update_fields=list(changed))
