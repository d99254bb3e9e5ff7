"""Contests: rows and domain values."""

from __future__ import annotations

from dataclasses import fields

from django.db.models import QuerySet

from heftwright.domain.contest import Contest, ContestEvent, ContestId, Entry
from heftwright.domain.squad import AthleteId
from heftwright.store import models as rows
from heftwright.store.gym_rows import plain_fields
from heftwright.store.squad_rows import athlete_rows, no_athlete

_EVENT = tuple(field.name for field in fields(ContestEvent))
_PLAIN = ("name", "on", "importance", "squad_taper")


def read_contests(gym: rows.Gym) -> tuple[Contest, ...]:
    """All contests by day, in four queries."""
    return tuple(_contest(row) for row in _found(gym).order_by("on", "pk"))


def read_contest(gym: rows.Gym, key: str) -> Contest | None:
    """One contest, or None."""
    row = _found(gym).filter(key=key).first()
    return None if row is None else _contest(row)


def write_contest(gym: rows.Gym, contest: Contest) -> None:
    """Add or change a contest with its events and entries.

    Raises
    ------
    NotFoundError
        If an entry names somebody the gym never had.
    """
    known = athlete_rows(gym, {entry.athlete for entry in contest.entries})
    missing = [entry.athlete for entry in contest.entries if entry.athlete not in known]
    if missing:
        raise no_athlete(missing[0])
    row, _ = rows.Contest.objects.update_or_create(
        gym=gym, key=contest.id, defaults={name: getattr(contest, name) for name in _PLAIN}
    )
    row.event_rows.all().delete()
    row.entry_rows.all().delete()
    _write_events(row, contest)
    _write_entries(row, contest, known)


def drop_contest(gym: rows.Gym, key: str) -> None:
    """Take a contest out of the calendar."""
    rows.Contest.objects.filter(gym=gym, key=key).delete()


def _found(gym: rows.Gym) -> QuerySet[rows.Contest, rows.Contest]:
    found = rows.Contest.objects.filter(gym=gym)
    return found.prefetch_related("event_rows", "entry_rows__athlete")


def _contest(row: rows.Contest) -> Contest:
    entries = (entry for entry in row.entry_rows.all() if entry.athlete.removed_at is None)
    return Contest(
        id=ContestId(row.key),
        events=tuple(ContestEvent(**plain_fields(event, _EVENT)) for event in row.event_rows.all()),
        entries=tuple(
            Entry(AthleteId(entry.athlete.key), entry.contest_class, entry.need)
            for entry in entries
        ),
        **plain_fields(row, _PLAIN),
    )


def _write_events(row: rows.Contest, contest: Contest) -> None:
    rows.ContestEvent.objects.bulk_create(
        rows.ContestEvent(
            contest=row, position=position, **{name: getattr(event, name) for name in _EVENT}
        )
        for position, event in enumerate(contest.events)
    )


def _write_entries(row: rows.Contest, contest: Contest, known: dict[str, rows.Athlete]) -> None:
    rows.Entry.objects.bulk_create(
        rows.Entry(
            contest=row,
            athlete=known[entry.athlete],
            position=position,
            contest_class=entry.contest_class,
            need=dict(entry.need),
        )
        for position, entry in enumerate(contest.entries)
    )
